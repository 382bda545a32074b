import { arc, type Edge, line, type Outline } from "../src/geometry/index.ts";
import { type Mesh, meshOutline, outlineSize } from "../src/mesh/index.ts";
import type { NodalStress, Problem } from "../src/solver/index.ts";

const INNER = 20; // mm
const OUTER = 30;
const ANGLE = 0.8; // rad
const SPOTS = 5;
const PRESSURE = 100; // MPa
/** Spots with elements of a tenth of the size elsewhere, as at five roots. */
const FINER = 0.1;
/** Unknowns of a mesh with base size 1 mm, and how they grow as it falls: measured, only to choose sizes by. */
const UNKNOWNS_AT_1 = 4430;

const at = (r: number, a: number): [number, number] => [r * Math.cos(a), r * Math.sin(a)];
const edge = (name: string, curve: Edge["curve"]): Edge => ({ name, zone: name, curve });

/** Sector of a thick ring under inner pressure: plain, and its stresses known exactly. */
export const ringOutline: Outline = {
  loops: [
    [
      edge("start", line(...at(INNER, 0), ...at(OUTER, 0))),
      edge("outer", arc(0, 0, OUTER, 0, ANGLE)),
      edge("end", line(...at(OUTER, ANGLE), ...at(INNER, ANGLE))),
      edge("inner", arc(0, 0, INNER, ANGLE, 0)),
    ],
  ],
};

/** Largest stress, the hoop stress at the bore, MPa: G. Lamé; S. Timoshenko and J. Goodier, art. 28 (from memory). */
export const EXACT_PEAK = (PRESSURE * (OUTER ** 2 + INNER ** 2)) / (OUTER ** 2 - INNER ** 2);

/** An unstructured mesh of about `unknowns` unknowns with five fine spots on the inner arc; always the same one. */
export function gradedRingMesh(unknowns: number): Mesh {
  const base = Math.sqrt(UNKNOWNS_AT_1 / unknowns);
  const sources = Array.from({ length: SPOTS }, (_, s) => {
    const [x, y] = at(INNER, (ANGLE * (s + 0.5)) / SPOTS);
    return { x, y, size: FINER * base };
  });
  return meshOutline(ringOutline, {
    size: outlineSize(ringOutline, { base, sources, gradation: 0.25 * base, across: 0 }),
  });
}

export function ringProblem(mesh: Mesh): Problem {
  return {
    outline: ringOutline,
    mesh,
    material: { E: 206_000, nu: 0.3, state: "plane stress" },
    thickness: 10,
    loads: [{ edges: ["inner"], pressure: PRESSURE }],
    supports: [
      { edges: ["start"], v: 0 },
      { edges: ["end"], v: 0, angle: ANGLE },
    ],
  };
}

/** Hoop stress at that node of the inner arc where it is furthest from the exact value (the same at all), MPa. */
export function innerPeak({ mesh }: Problem, stress: NodalStress): number {
  let worst = EXACT_PEAK;
  for (let i = 0; 2 * i < mesh.xy.length; i++) {
    const x = mesh.xy[2 * i];
    const y = mesh.xy[2 * i + 1];
    if (Math.abs(Math.hypot(x, y) - INNER) > 1e-9 * INNER) continue;
    const c = x / INNER;
    const s = y / INNER;
    const hoop = s * s * stress[3 * i] + c * c * stress[3 * i + 1] - 2 * s * c * stress[3 * i + 2];
    if (Math.abs(hoop - EXACT_PEAK) > Math.abs(worst - EXACT_PEAK)) worst = hoop;
  }
  return worst;
}
