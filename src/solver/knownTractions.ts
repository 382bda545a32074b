import { outlineEdges } from "../geometry/index.ts";
import { sidesOfEdges, supportAngle } from "./equations.ts";
import type { Problem, Support, Traction } from "./problem.ts";
import { loadTraction } from "./sideLoads.ts";

/** What is known of the traction on the sides of one outline edge. */
export interface KnownTraction {
  /** Adds up the loads on that edge, MPa. */
  readonly traction: Traction;
  /**
   * Supports acting on it. None: the whole traction is known. One that prescribes a single component: the traction across
   * that component is. Otherwise nothing.
   */
  readonly supports: readonly Support[];
}

/** For each outline edge what is known of its traction; null where nothing is (held, or tied to another edge). */
export function knownTractions(problem: Problem): (KnownTraction | null)[] {
  const { outline, loads, supports } = problem;
  const edges = outlineEdges(outline);
  const tied = new Set((outline.ties ?? []).flatMap((tie) => [...tie.leader, ...tie.follower]));
  for (const load of loads) sidesOfEdges(problem, load.edges, "load"); // names are checked once
  return edges.map(({ name }) => {
    if (tied.has(name)) return null;
    const holding = supports.filter(
      (s) => s.edges?.includes(name) && (s.u !== undefined || s.v !== undefined),
    );
    const single = holding.length === 1 && (holding[0].u === undefined || holding[0].v === undefined);
    if (holding.length > 0 && !single) return null;
    const acting = loads.filter((load) => load.edges.includes(name)).map(loadTraction);
    const one = new Float64Array(2);
    return {
      supports: holding,
      traction: (x, y, nx, ny, out) => {
        let tx = 0;
        let ty = 0;
        for (const traction of acting) {
          traction(x, y, nx, ny, one);
          tx += one[0];
          ty += one[1];
        }
        out[0] = tx;
        out[1] = ty;
      },
    };
  });
}

/** Angle of the direction across the one held component of a partly held edge at (x, y), rad. */
export function freeDirection(support: Support, x: number, y: number): number {
  return supportAngle(support, x, y) + (support.u === undefined ? 0 : Math.PI / 2);
}
