import { type Outline, subCurve } from "../../geometry/index.ts";
import { meshOutline } from "../../mesh/index.ts";
import { type EdgeLoad, elementStress, type Support } from "../../solver/index.ts";
import { atLeast, type Case, type Family, within } from "../case.ts";
import { kirsch, kirschDisplacement } from "../exact/kirsch.ts";
import { williamsField } from "../exact/williams.ts";
import {
  heldFree,
  type Model,
  once,
  STEEL,
  type StressField,
  solveOn,
  solveQuestion,
  tractionOf,
} from "../model.ts";
import { referenceCases, referenceSection } from "../references.ts";
import { cornerSector } from "./corners.ts";
import { quarterWithHole } from "./plates.ts";

/** Errors on one mesh of a series, relative to the size of what is approximated. */
export interface Level {
  /** Element side, mm. */
  readonly h: number;
  readonly unknowns: number;
  readonly displacement: number;
  readonly energy: number;
  readonly elementStress: number;
  readonly recoveredStress: number;
  /** The same over the part at least `INSIDE` from the border. */
  readonly recoveredInside: number;
}

const A = 5;
const W = 10;
const S = 100;
/** A full row of the coarsest elements, mm. */
const INSIDE = 1;
const SIZES = [1, 0.5, 0.25, 0.125];

/** Meshes of one size everywhere, each half as coarse as the one before: the plate with a hole. */
export const kirschSeries = once((): Level[] => {
  const outline = quarterWithHole(A, W);
  const field = kirsch(A, S, 0, 0);
  const moved = kirschDisplacement(A, S, STEEL.E, STEEL.nu);
  const exactEnergy = boundaryWork(outline, ["right", "top"], field, moved);
  return SIZES.map((h) => {
    const model = uniformModel(
      outline,
      h,
      [{ edges: ["right", "top"], traction: tractionOf(field) }],
      [
        { edges: ["bottom"], v: 0 },
        { edges: ["left"], u: 0 },
      ],
    );
    return {
      h,
      unknowns: model.unknowns,
      energy: Math.abs(model.solution.strainEnergy - exactEnergy) / exactEnergy,
      ...squareErrors(model, field, moved),
    };
  });
});

export interface CornerLevel {
  readonly h: number;
  readonly unknowns: number;
  readonly energy: number;
}

const CORNER_SIZES = [0.2, 0.1, 0.05, 0.025];

/** The same at a sharp corner of 90°, where no uniform mesh can do better than the corner's exponent lets it. */
export const cornerSeries = once((): CornerLevel[] => {
  const w = 1.5 * Math.PI;
  const lambda = referenceCases("corner", "williams").find((c) => c.inputs["openingDeg"] === 90)!.expected[
    "lambda1"
  ]!;
  const outline = cornerSector(w, 1);
  const loads = [{ edges: ["rim"], traction: tractionOf(williamsField(w, lambda)) }];
  const supports = heldFree(outline);
  const fine = solveQuestion({
    outline,
    loads,
    supports,
    fineness: 24,
    sources: [{ x: 0, y: 0, size: 1e-8 }],
  }).solution.strainEnergy;
  return CORNER_SIZES.map((h) => {
    const model = uniformModel(outline, h, loads, supports);
    return { h, unknowns: model.unknowns, energy: Math.abs(model.solution.strainEnergy - fine) / fine };
  });
});

function uniformModel(
  outline: Outline,
  h: number,
  loads: readonly EdgeLoad[],
  supports: readonly Support[],
): Model {
  const mesh = meshOutline(outline, { size: () => h });
  return solveOn(mesh, { outline, material: STEEL, thickness: 1, loads, supports });
}

/** Half the work of a field's tractions over its displacements along edges, N·mm: the exact strain energy. */
function boundaryWork(
  outline: Outline,
  names: readonly string[],
  field: StressField,
  moved: (x: number, y: number) => readonly [number, number],
): number {
  const s = new Float64Array(3);
  let work = 0;
  for (const { name, curve } of outline.loops.flat()) {
    if (!names.includes(name)) continue;
    if (curve.kind !== "line") throw new Error("boundaryWork: straight edges only");
    const n = 400;
    for (let k = 0; k < n; k++) {
      const piece = subCurve(curve, k / n, (k + 1) / n);
      if (piece.kind !== "line") continue;
      const dx = piece.x1 - piece.x0;
      const dy = piece.y1 - piece.y0;
      for (const t of [0.5 - Math.sqrt(1 / 12), 0.5 + Math.sqrt(1 / 12)]) {
        const x = piece.x0 + t * dx;
        const y = piece.y0 + t * dy;
        field(x, y, s);
        const [u, v] = moved(x, y);
        // the outward normal times the length of the piece is (dy, −dx)
        work += (u * (s[0]! * dy - s[2]! * dx) + v * (s[2]! * dy - s[1]! * dx)) / 4;
      }
    }
  }
  return work;
}

/** Root-mean-square errors over the area, relative to the root mean square of the exact field. */
function squareErrors(
  model: Model,
  field: StressField,
  moved: (x: number, y: number) => readonly [number, number],
): Omit<Level, "h" | "unknowns" | "energy"> {
  const { mesh, solution, problem, stress } = model;
  const { xy, elements } = mesh;
  const exact = new Float64Array(3);
  const raw = new Float64Array(3);
  // points exact to degree 4, as in the stiffness
  const points = [
    [0.445948490915965, 0.223381589678011],
    [0.091576213509771, 0.109951743655322],
  ].flatMap(([a, w]) => [
    [a!, a!, w!],
    [1 - 2 * a!, a!, w!],
    [a!, 1 - 2 * a!, w!],
  ]);
  const sums = { u: 0, uAll: 0, raw: 0, smooth: 0, sAll: 0, inside: 0, insideAll: 0 };
  for (let e = 0; 6 * e < elements.length; e++) {
    const node = (a: number) => elements[6 * e + a]!;
    const area =
      ((xy[2 * node(1)]! - xy[2 * node(0)]!) * (xy[2 * node(2) + 1]! - xy[2 * node(0) + 1]!) -
        (xy[2 * node(2)]! - xy[2 * node(0)]!) * (xy[2 * node(1) + 1]! - xy[2 * node(0) + 1]!)) /
      2;
    for (const [xi, eta, w] of points) {
      const l0 = 1 - xi! - eta!;
      const n = [
        l0 * (2 * l0 - 1),
        xi! * (2 * xi! - 1),
        eta! * (2 * eta! - 1),
        4 * l0 * xi!,
        4 * xi! * eta!,
        4 * eta! * l0,
      ];
      const sum = (values: Float64Array, width: number, c: number) =>
        n.reduce((total, k, a) => total + k * values[width * node(a) + c]!, 0);
      const x = sum(xy, 2, 0);
      const y = sum(xy, 2, 1);
      const [u, v] = moved(x, y);
      const d = w! * area;
      sums.u +=
        d * ((sum(solution.displacement, 2, 0) - u) ** 2 + (sum(solution.displacement, 2, 1) - v) ** 2);
      sums.uAll += d * (u * u + v * v);
      field(x, y, exact);
      elementStress(problem, solution, e, xi!, eta!, raw);
      const inside = Math.min(Math.hypot(x, y) - A, x, y, W - x, W - y) >= INSIDE;
      for (let c = 0; c < 3; c++) {
        const smooth = (sum(stress, 3, c) - exact[c]!) ** 2;
        sums.raw += d * (raw[c]! - exact[c]!) ** 2;
        sums.smooth += d * smooth;
        sums.sAll += d * exact[c]! ** 2;
        if (inside) {
          sums.inside += d * smooth;
          sums.insideAll += d * exact[c]! ** 2;
        }
      }
    }
  }
  return {
    displacement: Math.sqrt(sums.u / sums.uAll),
    elementStress: Math.sqrt(sums.raw / sums.sAll),
    recoveredStress: Math.sqrt(sums.smooth / sums.sAll),
    recoveredInside: Math.sqrt(sums.inside / sums.insideAll),
  };
}

/** Observed order: slope of log error over log h through the last three meshes. */
function order(levels: readonly { readonly h: number }[], errors: readonly number[]): number {
  const n = levels.length;
  return Math.log(errors[n - 3]! / errors[n - 1]!) / Math.log(levels[n - 3]!.h / levels[n - 1]!.h);
}

function cases(): Case[] {
  const theory =
    "G. Strang and G. J. Fix, An Analysis of the Finite Element Method, 1973: quadratic elements (from memory)";
  return [
    {
      id: "convergence/kirsch",
      title: `plate with a hole, uniform meshes ${SIZES.join(", ")} mm`,
      source: `${theory}; exact field of Kirsch 1898`,
      toleranceFrom:
        "theory bounds the orders from below: 3, 4, 2 for smooth fields, 0.2 of slack since unstructured meshes are no copies of each " +
        "other. Recovered stress has order 3 where elements lie all round a node and 2 in the one row along the border, whose share of " +
        "the area shrinks as h: 2.5 over the whole part, 3 inside",
      expected: [
        atLeast(0.2, "order of the displacement error", 3),
        atLeast(0.2, "order of the strain energy error", 4),
        atLeast(0.2, "order of the element's own stress error", 2),
        atLeast(0.2, "order of the recovered stress error, whole part", 2.5),
        atLeast(0.2, "order of the recovered stress error, 1 mm and more from the border", 3),
      ],
      run() {
        const levels = kirschSeries();
        return {
          unknowns: levels[levels.length - 1]!.unknowns,
          values: [
            order(
              levels,
              levels.map((l) => l.displacement),
            ),
            order(
              levels,
              levels.map((l) => l.energy),
            ),
            order(
              levels,
              levels.map((l) => l.elementStress),
            ),
            order(
              levels,
              levels.map((l) => l.recoveredStress),
            ),
            order(
              levels,
              levels.map((l) => l.recoveredInside),
            ),
          ],
        };
      },
    },
    {
      id: "convergence/corner",
      title: `corner of 90° (material 270°), uniform meshes ${CORNER_SIZES.join(", ")} of the radius`,
      source: `${theory}; ${referenceSection("corner", "williams").source}: λ1 0.5445`,
      toleranceFrom:
        "theory: energy error ~ h^(2 λ1) on uniform meshes, whatever the element's degree; 0.1 allowed, meshes not being copies of each other",
      expected: [within(0.1, "order of the strain energy error", "", 2 * 0.5444837367825, 1)],
      run() {
        const levels = cornerSeries();
        return {
          unknowns: levels[levels.length - 1]!.unknowns,
          values: [
            order(
              levels,
              levels.map((l) => l.energy),
            ),
          ],
        };
      },
    },
  ];
}

export function convergence(): Family {
  return {
    name: "convergence",
    title: "Convergence with the mesh",
    about:
      "Uniform meshes, each of half the size of the one before. Errors are root mean squares over the whole part, relative to the exact " +
      "field's own. The corner shows why meshes are graded: uniform ones lose nearly all of the elements' order there.",
    cases: cases(),
  };
}
