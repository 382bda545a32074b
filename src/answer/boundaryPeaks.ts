import type { Mesh } from "../mesh/index.ts";
import { firstPrincipal, type Material, type NodalStress, vonMises } from "../solver/index.ts";
import type { PlacedStress } from "./result.ts";

/** Largest values found along a set of boundary sides. */
export interface Peaks {
  readonly principal: PlacedStress;
  readonly vonMises: PlacedStress;
}

/** Points looked at along each boundary side; the field is quadratic there, so its maximum is met to about 1e-3 of its rise. */
const POINTS_PER_SIDE = 16;

/**
 * Largest first principal and von Mises stress along the boundary sides that `wanted` accepts, MPa and mm.
 * Components are interpolated quadratically between the three nodes of a side, so a peak between nodes is not missed. Returns
 * null when no side is accepted.
 */
export function boundaryPeaks(
  mesh: Mesh,
  stress: NodalStress,
  material: Material,
  wanted: (side: number, x: number, y: number) => boolean,
): Peaks | null {
  const { xy, elements, sideElement, sideLocal } = mesh;
  let p = -Infinity;
  let px = 0;
  let py = 0;
  let v = -Infinity;
  let vx = 0;
  let vy = 0;
  for (let b = 0; b < sideElement.length; b++) {
    const e = 6 * sideElement[b];
    const s = sideLocal[b];
    const i0 = elements[e + s];
    const i1 = elements[e + ((s + 1) % 3)];
    const im = elements[e + 3 + s];
    if (!wanted(b, xy[2 * im], xy[2 * im + 1])) continue;
    for (let k = 0; k <= POINTS_PER_SIDE; k++) {
      const t = k / POINTS_PER_SIDE;
      const n0 = (1 - t) * (1 - 2 * t);
      const n1 = t * (2 * t - 1);
      const nm = 4 * t * (1 - t);
      const sxx = n0 * stress[3 * i0] + n1 * stress[3 * i1] + nm * stress[3 * im];
      const syy = n0 * stress[3 * i0 + 1] + n1 * stress[3 * i1 + 1] + nm * stress[3 * im + 1];
      const sxy = n0 * stress[3 * i0 + 2] + n1 * stress[3 * i1 + 2] + nm * stress[3 * im + 2];
      const principal = firstPrincipal(sxx, syy, sxy);
      const equivalent = vonMises(sxx, syy, sxy, material);
      if (principal > p || equivalent > v) {
        const x = n0 * xy[2 * i0] + n1 * xy[2 * i1] + nm * xy[2 * im];
        const y = n0 * xy[2 * i0 + 1] + n1 * xy[2 * i1 + 1] + nm * xy[2 * im + 1];
        if (principal > p) {
          p = principal;
          px = x;
          py = y;
        }
        if (equivalent > v) {
          v = equivalent;
          vx = x;
          vy = y;
        }
      }
    }
  }
  if (p === -Infinity) return null;
  return { principal: { stress: p, x: px, y: py }, vonMises: { stress: v, x: vx, y: vy } };
}
