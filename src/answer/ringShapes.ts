import type { Design } from "../design/index.ts";
import { outlineEdges } from "../geometry/index.ts";
import { type Problem, type RingSolver, type Solver, sideLoads } from "../solver/index.ts";
import type { Model } from "./toothLoads.ts";

/**
 * A stress along the pitch of a strip of face teeth that changes the shape of the ring, with what takes its traction off the free surfaces.
 * This is the latter: a load more on the stiffness of the strip, whose pitch does not change in it.
 */
export interface RingShape {
  readonly problem: Problem;
  /** 2 × nodes, mm. */
  readonly displacement: Float64Array;
}

/** An even stress of 1 MPa, which lets the ring grow in diameter, and one of 1 MPa a mm of height, which lets it dish into a cone. */
export interface RingShapes {
  readonly grow: RingShape;
  readonly dish: RingShape;
}

/** False of splines, whose model is the ring itself, and of a strip held along its back. */
export const canChangeShape = ({ profile, load }: Design): boolean =>
  profile.kind === "face tooth" && load.reaction !== "held";

/** Null where it cannot. */
export function ringShapes(
  design: Design,
  { outline }: Model,
  problem: Problem,
  solver: Solver | RingSolver,
): RingShapes | null {
  if (!canChangeShape(design)) return null;
  const surfaces = outlineEdges(outline).filter(({ zone }) => zone !== "cut");
  const edges = [...new Set(surfaces.map(({ name }) => name))];
  const shape = (stress: (y: number) => number): RingShape => {
    const traction = (_x: number, y: number, nx: number, _ny: number, out: Float64Array) => {
      out[0] = -nx * stress(y);
      out[1] = 0;
    };
    const freed: Problem = { ...problem, loads: [{ edges, traction }] };
    return { problem: freed, displacement: solver.solveNodal(sideLoads(freed, freed.loads)) };
  };
  return { grow: shape(() => 1), dish: shape((y) => y) };
}
