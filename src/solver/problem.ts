import type { Outline } from "../geometry/index.ts";
import type { Mesh } from "../mesh/index.ts";

/** Isotropic, linear elastic. `E` MPa, `nu` dimensionless (−1 < nu < 0.5). */
export interface Material {
  readonly E: number;
  readonly nu: number;
  readonly state: "plane stress" | "plane strain";
}

/**
 * Force per area on the boundary at (x, y), MPa, written into `out` as [tx, ty]; (nx, ny) is the unit outward normal.
 */
export type Traction = (x: number, y: number, nx: number, ny: number, out: Float64Array) => void;

/** A traction on the named edges: a constant vector [tx, ty] in MPa, a normal pressure (positive pushes inward), or a function. */
export interface EdgeLoad {
  readonly edges: readonly string[];
  readonly traction?: readonly [number, number] | Traction;
  readonly pressure?: number;
}

/**
 * Displacement prescribed on the named edges, or at the mesh node nearest to a point. A component that is
 * absent is free. `value` is mm. `angle` turns the axes in which `u` and `v` are counted by that many radians
 * (so that `v` can be the tangential direction at a point on a rim); `polar` counts u along the radius from
 * the origin and v along the hoop direction at each node.
 */
export interface Support {
  readonly edges?: readonly string[];
  readonly point?: readonly [number, number];
  readonly u?: number | ((x: number, y: number) => number);
  readonly v?: number | ((x: number, y: number) => number);
  readonly angle?: number;
  readonly polar?: boolean;
}

/** A plane problem on a ready mesh. `thickness` mm. Loads are summed. */
export interface Problem {
  readonly outline: Outline;
  readonly mesh: Mesh;
  readonly material: Material;
  readonly thickness: number;
  readonly loads: readonly EdgeLoad[];
  readonly supports: readonly Support[];
}

/** Displacements and what proves them. */
export interface Solution {
  /** Nodal displacement in the global frame, mm: `[u0, v0, u1, v1, …]`, 2 × nodes. */
  readonly displacement: Float64Array;
  /** Consistent nodal loads, N, global frame, 2 × nodes (followers' own share, before any tie). */
  readonly load: Float64Array;
  /** Internal forces K u minus load, N: support reactions at held nodes, tie forces at tied ones, round-off elsewhere. */
  readonly reaction: Float64Array;
  /** max |r| of the free equations over max of (|K| |u| + |f|): scaled residual after the solve. */
  readonly residual: number;
  /** Strain energy ½ u·K u, N·mm, and half the work of loads (and prescribed displacements) ½ u·(f + reactions). */
  readonly strainEnergy: number;
  readonly halfWork: number;
  /** Number of equations solved. */
  readonly unknowns: number;
  /** Non-zeros in the factor. */
  readonly factorNonZeros: number;
  /** Milliseconds by stage. */
  readonly times: {
    readonly assemble: number;
    readonly order: number;
    readonly factor: number;
    readonly solve: number;
  };
}

/** Recovered stress at nodes, MPa: `[sxx, syy, sxy]` per node, 3 × nodes, global frame. */
export type NodalStress = Float64Array;
