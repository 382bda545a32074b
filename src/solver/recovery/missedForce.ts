import type { Problem } from "../problem.ts";
import { addElementForce, elasticity, enterElement, RULE6, strainAtPoint } from "../triangle6.ts";

/**
 * ∫ Bᵀ (σ* − σ(I u*)) dA × thickness of every element, N, with u* the mean of the fields fitted at its three vertices and I u*
 * what its six nodes make of it: the nodal forces that interpolation misses. Gathered vertex by vertex, put together once.
 */
export interface MissedForce {
  /** Places of the six integration points of each element, mm: `[x, y]` at `12 e + 2 g`. */
  readonly points: Float64Array;
  /** Sums of the fitted displacements at its nodes, mm, two at `12 e + 2 a`. */
  readonly displacement: Float64Array;
  /** Sums of the fitted stresses at its integration points, MPa, three at `18 e + 3 g`. */
  readonly stress: Float64Array;
}

export function missedForce({ mesh }: Pick<Problem, "mesh">): MissedForce {
  const count = mesh.elements.length / 6;
  const points = new Float64Array(12 * count);
  for (let e = 0; e < count; e++) placePoints(mesh, e, points);
  return { points, displacement: new Float64Array(12 * count), stress: new Float64Array(18 * count) };
}

/** Writes the places of the integration points of element e. */
function placePoints({ xy, elements }: Problem["mesh"], e: number, points: Float64Array): void {
  const { shape } = RULE6;
  for (let g = 0; g < 6; g++) {
    let x = 0;
    let y = 0;
    for (let a = 0; a < 6; a++) {
      const i = 2 * elements[6 * e + a];
      x += shape[6 * g + a] * xy[i];
      y += shape[6 * g + a] * xy[i + 1];
    }
    points[12 * e + 2 * g] = x;
    points[12 * e + 2 * g + 1] = y;
  }
}

/** Adds the forces to `out`, 12 × elements, once each element has had its three vertices. */
export function addMissedForce(
  { mesh, material, thickness }: Pick<Problem, "mesh" | "material" | "thickness">,
  { displacement, stress }: MissedForce,
  out: Float64Array,
): void {
  const { xy, elements } = mesh;
  const { d11, d12, d33 } = elasticity(material);
  const { weight } = RULE6;
  const u = new Float64Array(xy.length); // only the six nodes at hand are read
  const strain = new Float64Array(3);
  for (let e = 0; 6 * e < elements.length; e++) {
    for (let a = 0; a < 6; a++) {
      const i = 2 * elements[6 * e + a];
      u[i] = displacement[12 * e + 2 * a];
      u[i + 1] = displacement[12 * e + 2 * a + 1];
    }
    enterElement(xy, elements, u, e);
    for (let g = 0; g < 6; g++) {
      const w = (strainAtPoint(RULE6, g, e, strain) * weight[g] * thickness) / 3;
      const s = 18 * e + 3 * g;
      const sxx = stress[s] - (d11 * strain[0] + d12 * strain[1]);
      const syy = stress[s + 1] - (d12 * strain[0] + d11 * strain[1]);
      const sxy = stress[s + 2] - d33 * strain[2];
      addElementForce(w, sxx, syy, sxy, out, 12 * e);
    }
  }
}
