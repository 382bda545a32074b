import { type Band, leastBand } from "../arithmetic/band.ts";
import type { PlaceSampler } from "./openingPath.ts";

/** A straight section through the wall that joins two teeth, mm: from (x, 0) outward at an angle, between two distances from there. */
export interface WallSection {
  readonly x: number;
  /** rad: of a ring the polar angle, and x 0; of a face tooth's base a right angle. */
  readonly angle: number;
  readonly from: number;
  readonly to: number;
}

/** Forces at one section of the wall that joins two teeth, per N·mm of torque on the whole part: N and mm in N·mm. */
export interface WallForces {
  /** Along ring or base, tension positive, 1/mm. */
  readonly normal: number;
  /** Across it, 1/mm. */
  readonly shear: number;
  /** About the wall's middle, no unit. */
  readonly moment: number;
  /** Of the wall there, mm. */
  readonly thickness: number;
}

type Forces = Omit<WallForces, "thickness">;

export const WALL_FORMULA =
  "|M|/(b w² Sy/4) + (N/(b w Sy))² + (V/(b w Sy/√3))² = 1, N, V, M in the wall w between two teeth";
export const WALL_SOURCE =
  "finite elements, section by section; rectangular section in bending, tension and shear (plasticity textbooks, from memory); " +
  "collapse of the whole ring: up to 1.2 times the first section's (elastic–plastic computations of our own)";

export const BASE_SOURCE =
  "finite elements, section by section; rectangular section in bending, tension and shear (plasticity textbooks, from memory); " +
  "high end: in plane strain; both feet of a gap give in at once, so that no moment is moved";

/** Torque of collapse over that of the first plastic section: 1.03 to 1.2 in elastic–plastic computations of two rings and a hollow shaft. */
const REDISTRIBUTION = 1.2;
/** What plane strain makes of yield strength in tension. */
const HINDERED = 2 / Math.sqrt(3);

/** Gauss points of the line across the wall: in each of so many equal stretches, two. */
const STRETCHES = 40;
const GAUSS = 1 / Math.sqrt(3);

/** Section forces across the wall: `at` writes sxx, syy, sxy. `width` is the face width, `scale` what the stresses are multiplied with. */
export function wallForces(
  at: PlaceSampler,
  { x, angle, from, to }: WallSection,
  width: number,
  scale: number,
): WallForces {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const middle = (from + to) / 2;
  const half = (to - from) / STRETCHES / 2;
  const place = new Float64Array(2);
  const stress = new Float64Array(3);
  let normal = 0;
  let shear = 0;
  let moment = 0;
  for (let k = 0; k < 2 * STRETCHES; k++) {
    const r = from + half * (2 * (k >> 1) + 1 + (k % 2 === 0 ? -GAUSS : GAUSS));
    place[0] = x + r * c;
    place[1] = r * s;
    if (!at(place, stress)) continue; // a rounded gap may bite into the wall
    const hoop = s * s * stress[0] + c * c * stress[1] - 2 * s * c * stress[2];
    normal += hoop;
    moment += hoop * (r - middle);
    shear += s * c * (stress[1] - stress[0]) + (c * c - s * s) * stress[2];
  }
  const by = half * width * scale;
  return { normal: normal * by, shear: shear * by, moment: moment * by, thickness: to - from };
}

/**
 * Torque at which a wall section is fully plastic at yield strength Sy, N·mm. The stresses of the elastic field are in equilibrium, so that
 * a ring whose every section stands them does not collapse (static theorem of limit analysis).
 *
 * @param hindered what plane strain makes of that strength in tension and bending; shear yields at Sy/√3 in either state
 */
export function wallTorque(
  { normal, shear, moment }: Forces,
  wall: number,
  width: number,
  yieldStrength: number,
  hindered = 1,
): number {
  const area = wall * width * yieldStrength;
  // a T + b T² = 1
  const a = Math.abs(moment) / ((hindered * area * wall) / 4);
  const b = (normal / (hindered * area)) ** 2 + (Math.sqrt(3) * (shear / area)) ** 2;
  if (a === 0 && b === 0) return Number.POSITIVE_INFINITY;
  return 2 / (a + Math.sqrt(a * a + 4 * b));
}

/** Those of some sections that no other outdoes in every force and in thinness: one of them gives in first, cracked or whole. */
export function decidingWalls(all: readonly WallForces[]): WallForces[] {
  const outdone = (a: WallForces, b: WallForces): boolean =>
    Math.abs(b.moment) >= Math.abs(a.moment) &&
    Math.abs(b.normal) >= Math.abs(a.normal) &&
    Math.abs(b.shear) >= Math.abs(a.shear) &&
    b.thickness <= a.thickness;
  // of equal ones the first stays
  return all.filter(
    (one, k) => !all.some((other, j) => outdone(one, other) && (j < k || !outdone(other, one))),
  );
}

/**
 * The band of the section that gives in first, `gone` mm of each cracked: the force along what is left of it is then eccentric, which is
 * counted as if it made every moment worse.
 */
export function wallsBand(
  walls: readonly WallForces[],
  width: number,
  yieldStrength: Band,
  ring: boolean,
  gone = 0,
): Band {
  return walls
    .map(({ thickness, ...forces }) => {
      const moment = Math.abs(forces.moment) + (Math.abs(forces.normal) * gone) / 2;
      return wallBand({ ...forces, moment }, thickness - gone, width, yieldStrength, ring);
    })
    .reduce(leastBand);
}

/**
 * From the first section fully plastic to all that a ring may gain from there on: moments moved, plane strain; never more than tension
 * and shear alone let it. A base gains nothing by moving moments (`ring` false): in each gap the moment runs from one tooth's foot to the
 * next from one sign to the other, by equilibrium alone, and both feet give in at once.
 */
export function wallBand(
  forces: Forces,
  wall: number,
  width: number,
  yieldStrength: Band,
  ring: boolean,
): Band {
  const best = (of: Forces) => wallTorque(of, wall, width, yieldStrength.high, HINDERED);
  const straight = best({ ...forces, moment: 0 });
  return {
    low: wallTorque(forces, wall, width, yieldStrength.low),
    high: Math.min((ring ? REDISTRIBUTION : 1) * best(forces), straight),
  };
}
