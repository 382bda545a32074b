import { ElementLocator } from "../mesh/index.ts";
import type { NodalStress, Problem, Solution } from "./problem.ts";
import { shapes } from "./triangle6.ts";

/** Displacement, mm, and stress, MPa, at a point, and the element it lies in. */
export interface FieldPoint {
  readonly u: number;
  readonly v: number;
  readonly sxx: number;
  readonly syy: number;
  readonly sxy: number;
  readonly element: number;
}

/** Reads a solved field at any place. Points in sequence are found fastest. Not re-entrant. */
export interface Evaluator {
  /** Everything at (x, y), or null outside the part. */
  at(x: number, y: number): FieldPoint | null;
  /** Writes [sxx, syy, sxy], MPa, into `out`; false, with `out` untouched, outside the part. */
  stressAt(x: number, y: number, out: Float64Array): boolean;
  /** The same with the place in an array, for those who read thousands. */
  stressAtPlace(place: Float64Array, out: Float64Array): boolean;
  /**
   * Writes the six nodes of the element at (x, y) and the shape functions there, by which nodal values are summed;
   * false, with both untouched, outside the part.
   */
  sharesAt(x: number, y: number, nodes: Uint32Array, shares: Float64Array): boolean;
  /** Writes [u, v], mm, into `out`; false, with `out` untouched, outside the part. */
  displacementAt(x: number, y: number, out: Float64Array): boolean;
}

/**
 * Displacements and nodal stresses (as `recoverStress` gives them) interpolated with the elements' quadratic shape functions,
 * so both are continuous over the whole part.
 */
export function evaluator(
  { mesh }: Pick<Problem, "mesh">,
  { displacement }: Pick<Solution, "displacement">,
  nodal: NodalStress,
): Evaluator {
  const nodes = mesh.xy.length / 2;
  if (displacement.length !== 2 * nodes || nodal.length !== 3 * nodes) {
    throw new Error(
      `evaluator: ${displacement.length} displacements and ${nodal.length} stresses for ${nodes} nodes`,
    );
  }
  const locator = new ElementLocator(mesh);
  const given = new Float64Array(2);
  const local = new Float64Array(2);
  const n = new Float64Array(6);
  const s = new Float64Array(3);
  const d = new Float64Array(2);
  let element = -1;

  const enterPlace = (place: Float64Array): boolean => {
    const e = locator.find(place, local, element);
    if (e < 0) return false;
    element = e;
    shapes(local[0], local[1], n);
    return true;
  };
  const enter = (x: number, y: number): boolean => {
    given[0] = x;
    given[1] = y;
    return enterPlace(given);
  };
  const stressAtPlace = (place: Float64Array, out: Float64Array): boolean => {
    if (!enterPlace(place)) return false;
    let sxx = 0;
    let syy = 0;
    let sxy = 0;
    for (let a = 0; a < 6; a++) {
      const i = 3 * mesh.elements[6 * element + a];
      sxx += n[a] * nodal[i];
      syy += n[a] * nodal[i + 1];
      sxy += n[a] * nodal[i + 2];
    }
    out[0] = sxx;
    out[1] = syy;
    out[2] = sxy;
    return true;
  };
  const sum = (values: Float64Array, width: number, out: Float64Array): void => {
    for (let c = 0; c < width; c++) {
      let total = 0;
      for (let a = 0; a < 6; a++) total += n[a] * values[width * mesh.elements[6 * element + a] + c];
      out[c] = total;
    }
  };
  return {
    at(x, y) {
      if (!enter(x, y)) return null;
      sum(displacement, 2, d);
      sum(nodal, 3, s);
      return { u: d[0], v: d[1], sxx: s[0], syy: s[1], sxy: s[2], element };
    },
    stressAt(x, y, out) {
      given[0] = x;
      given[1] = y;
      return stressAtPlace(given, out);
    },
    stressAtPlace,
    sharesAt(x, y, nodes, shares) {
      if (!enter(x, y)) return false;
      for (let a = 0; a < 6; a++) {
        nodes[a] = mesh.elements[6 * element + a];
        shares[a] = n[a];
      }
      return true;
    },
    displacementAt(x, y, out) {
      if (!enter(x, y)) return false;
      sum(displacement, 2, out);
      return true;
    },
  };
}
