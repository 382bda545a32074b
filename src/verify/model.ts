import { curvePoint, type Edge, type Outline, outlineEdges } from "../geometry/index.ts";
import { type Mesh, meshOutline, outlineSize, type SizeSource } from "../mesh/index.ts";
import {
  createWorkspace,
  type EdgeLoad,
  type Evaluator,
  evaluator,
  firstPrincipal,
  type Material,
  type NodalStress,
  type Problem,
  recoverStress,
  type Solution,
  type Support,
  secondPrincipal,
  solveProblem,
  type Traction,
} from "../solver/index.ts";

export const STEEL: Material = { E: 210000, nu: 0.3, state: "plane stress" };

/** Writes [sxx, syy, sxy] at (x, y), MPa. */
export type StressField = (x: number, y: number, out: Float64Array) => void;

export interface Question {
  readonly outline: Outline;
  readonly loads: readonly EdgeLoad[];
  readonly supports: readonly Support[];
  readonly material?: Material;
  readonly thickness?: number;
  /** The one knob: element sides in 45° of a concave arc; everything else follows from it. Default 12. */
  readonly fineness?: number;
  /** Points where the load or the outline has a singularity. */
  readonly sources?: readonly SizeSource[];
  /** Elements across the material; default the fineness. */
  readonly across?: number;
}

export interface Model {
  readonly problem: Problem;
  readonly mesh: Mesh;
  readonly solution: Solution;
  readonly stress: NodalStress;
  readonly field: Evaluator;
  readonly unknowns: number;
}

const workspace = createWorkspace();

/**
 * Meshes by the suite's one rule, solves and recovers. The rule, for fineness f: no element larger than the shorter side of
 * the outline's box over f, f sides in 45° of concave arc, half as many of convex, f elements across the material, growth 0.25.
 */
export function solveQuestion(question: Question): Model {
  const { outline, loads, supports, material = STEEL, thickness = 1, fineness = 12 } = question;
  const size = outlineSize(outline, {
    base: shorterSide(outline) / fineness,
    concaveSides: fineness,
    convexSides: fineness / 2,
    across: question.across ?? fineness,
    gradation: 0.25,
    sources: question.sources ?? [],
  });
  return solveOn(meshOutline(outline, { size }), { outline, loads, supports, material, thickness });
}

/** Solves and recovers on a ready mesh. */
export function solveOn(mesh: Mesh, posed: Omit<Problem, "mesh">): Model {
  const problem: Problem = { ...posed, mesh };
  const solution = solveProblem(problem, { workspace });
  const stress = recoverStress(problem, solution);
  return {
    problem,
    mesh,
    solution,
    stress,
    field: evaluator(problem, solution, stress),
    unknowns: solution.unknowns,
  };
}

/** Shorter side of the box round the outline's points, mm. */
function shorterSide(outline: Outline): number {
  let x0 = Infinity;
  let y0 = Infinity;
  let x1 = -Infinity;
  let y1 = -Infinity;
  for (const { curve } of outlineEdges(outline)) {
    for (let k = 0; k <= 8; k++) {
      const [x, y] = curvePoint(curve, k / 8, [0, 0]);
      x0 = Math.min(x0, x);
      x1 = Math.max(x1, x);
      y0 = Math.min(y0, y);
      y1 = Math.max(y1, y);
    }
  }
  return Math.min(x1 - x0, y1 - y0);
}

/** The traction σ n that a stress field puts on a surface. */
export function tractionOf(field: StressField): Traction {
  const s = new Float64Array(3);
  return (x, y, nx, ny, out) => {
    field(x, y, s);
    out[0] = s[0]! * nx + s[2]! * ny;
    out[1] = s[2]! * nx + s[1]! * ny;
  };
}

/**
 * Supports that take away the three rigid motions of a part under balanced loads, at two points of the outline far from each
 * other: one held, the other kept from turning about it.
 */
export function heldFree(outline: Outline): Support[] {
  const edges = outlineEdges(outline);
  const [ax, ay] = curvePoint(edges[0]!.curve, 0, [0, 0]);
  let [bx, by] = [ax, ay];
  for (const { curve } of edges) {
    for (const u of [0, 0.5]) {
      const [x, y] = curvePoint(curve, u, [0, 0]);
      if (Math.hypot(x - ax, y - ay) > Math.hypot(bx - ax, by - ay)) [bx, by] = [x, y];
    }
  }
  return [
    { point: [ax, ay], u: 0, v: 0 },
    { point: [bx, by], v: 0, angle: Math.atan2(by - ay, bx - ax) },
  ];
}

/** Stress at a point, MPa. @throws Error outside the part. */
export function stressAt(model: Model, x: number, y: number): [sxx: number, syy: number, sxy: number] {
  const found = model.field.at(x, y);
  if (!found) throw new Error(`verify: (${x}, ${y}) lies outside the part`);
  return [found.sxx, found.syy, found.sxy];
}

/** Displacement at a point, mm. @throws Error outside the part. */
export function displacementAt(model: Model, x: number, y: number): [u: number, v: number] {
  const found = model.field.at(x, y);
  if (!found) throw new Error(`verify: (${x}, ${y}) lies outside the part`);
  return [found.u, found.v];
}

/** [sr, st, srt] of a stress at (x, y) about the origin. */
export function toPolar(
  [sxx, syy, sxy]: readonly [number, number, number],
  x: number,
  y: number,
): [number, number, number] {
  const r = Math.hypot(x, y);
  const c = x / r;
  const s = y / r;
  return [
    sxx * c * c + syy * s * s + 2 * sxy * s * c,
    sxx * s * s + syy * c * c - 2 * sxy * s * c,
    (syy - sxx) * s * c + sxy * (c * c - s * s),
  ];
}

/** Writes the x, y components of a polar stress at (x, y) about the origin. */
export function fromPolar(
  sr: number,
  st: number,
  srt: number,
  x: number,
  y: number,
  out: Float64Array,
): void {
  const r = Math.hypot(x, y);
  const c = x / r;
  const s = y / r;
  out[0] = sr * c * c + st * s * s - 2 * srt * s * c;
  out[1] = sr * s * s + st * c * c + 2 * srt * s * c;
  out[2] = (sr - st) * s * c + srt * (c * c - s * s);
}

export interface EdgePeak {
  readonly stress: number;
  readonly x: number;
  readonly y: number;
}

/** Largest first and smallest second principal stress along edges, MPa, components quadratic between the nodes of a side. */
export function edgePeaks(model: Model, wanted: (edge: Edge) => boolean): { max: EdgePeak; min: EdgePeak } {
  const { mesh, stress, problem } = model;
  const edges = outlineEdges(problem.outline);
  let max: EdgePeak = { stress: -Infinity, x: 0, y: 0 };
  let min: EdgePeak = { stress: Infinity, x: 0, y: 0 };
  for (let b = 0; b < mesh.sideElement.length; b++) {
    if (!wanted(edges[mesh.sideEdge[b]!]!)) continue;
    const at = 6 * mesh.sideElement[b]!;
    const s = mesh.sideLocal[b]!;
    const nodes = [mesh.elements[at + s]!, mesh.elements[at + 3 + s]!, mesh.elements[at + ((s + 1) % 3)]!];
    for (let k = 0; k <= 16; k++) {
      const t = k / 16;
      const n = [(1 - t) * (1 - 2 * t), 4 * t * (1 - t), t * (2 * t - 1)];
      const sum = (values: Float64Array, width: number, c: number): number =>
        nodes.reduce((total, i, a) => total + n[a]! * values[width * i + c]!, 0);
      const sxx = sum(stress, 3, 0);
      const syy = sum(stress, 3, 1);
      const sxy = sum(stress, 3, 2);
      const first = firstPrincipal(sxx, syy, sxy);
      const second = secondPrincipal(sxx, syy, sxy);
      if (first > max.stress) max = { stress: first, x: sum(mesh.xy, 2, 0), y: sum(mesh.xy, 2, 1) };
      if (second < min.stress) min = { stress: second, x: sum(mesh.xy, 2, 0), y: sum(mesh.xy, 2, 1) };
    }
  }
  if (max.stress === -Infinity) throw new Error("verify: no such edges");
  return { max, min };
}

/** Evaluates once, on first use. */
export function once<T>(make: () => T): () => T {
  let made: { readonly value: T } | undefined;
  return () => {
    made ??= { value: make() };
    return made.value;
  };
}
