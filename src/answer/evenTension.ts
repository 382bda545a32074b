import type { Design } from "../design/index.ts";
import { outlineEdges } from "../geometry/index.ts";
import { type Problem, type RingSolver, type Solver, sideLoads, type Traction } from "../solver/index.ts";
import type { Model } from "./toothLoads.ts";

/**
 * An even tension of 1 MPa along the pitch of a strip of face teeth is that stress everywhere and what takes its traction off the free
 * surfaces. This is the latter: a load more on the stiffness of the strip, whose pitch does not change in it.
 */
export interface EvenTension {
  readonly problem: Problem;
  /** 2 × nodes, mm. */
  readonly displacement: Float64Array;
}

/** Traction of −1 MPa along the pitch on whatever surface. */
const untension: Traction = (_x, _y, nx, _ny, out) => {
  out[0] = -nx;
  out[1] = 0;
};

/** Null where nothing can grow: splines, whose model is the ring itself, and a strip held along its back. */
export function evenTension(
  { profile, load }: Design,
  { outline }: Model,
  problem: Problem,
  solver: Solver | RingSolver,
): EvenTension | null {
  if (profile.kind !== "face tooth" || load.reaction === "held") return null;
  const surfaces = outlineEdges(outline).filter(({ zone }) => zone !== "cut");
  const loads = [{ edges: [...new Set(surfaces.map(({ name }) => name))], traction: untension }];
  const untensioned: Problem = { ...problem, loads };
  return { problem: untensioned, displacement: solver.solveNodal(sideLoads(untensioned, loads)) };
}
