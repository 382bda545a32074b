import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Motion, moveCurve, movePoint, type Outline } from "../../src/geometry/index.ts";
import type { Mesh } from "../../src/mesh/index.ts";
import {
  type EdgeLoad,
  firstPrincipal,
  type Problem,
  recoverStress,
  solveLoads,
  solveProblem,
} from "../../src/solver/index.ts";
import { quarterPlate, ringSector } from "./shapes.ts";
import { distance, largest, steel } from "./solved.ts";
import { graded, seededRandom, structuredMesh } from "./structured.ts";

/* What must hold for any linear elastic part, whatever its answer; random loads, seed fixed. */

const { outline, blocks } = quarterPlate(5, 12, 6, 4, graded(3));
const mesh = structuredMesh(outline, blocks, { jitter: 0.15, seed: 2 });
const supports = [
  { edges: ["x0"], u: 0 },
  { edges: ["y0"], v: 0 },
];
const base: Problem = { outline, mesh, material: steel, thickness: 2, loads: [], supports };
const runs = { seed: 20260, numRuns: 12 };
const amount = fc.integer({ min: -500, max: 500 }).map((k) => k / 4);
const vector = fc.tuple(amount, amount);
const load = fc.record({ hole: amount, side: vector, top: vector }).map(({ hole, side, top }): EdgeLoad[] => [
  { edges: ["hole"], pressure: hole },
  { edges: ["x1"], traction: side },
  { edges: ["y1"], traction: top },
]);

describe("a linear elastic part", () => {
  test("answers a sum of loads with the sum of answers, one by one or all in one go", () => {
    fc.assert(
      fc.property(load, load, (a, b) => {
        const [sa, sb, both] = solveLoads(base, [a, b, [...a, ...b]]);
        const size = largest(sa.displacement) + largest(sb.displacement);
        const sum = sa.displacement.map((v, k) => v + sb.displacement[k]);
        expect(distance(sum, both.displacement)).toBeLessThanOrEqual(1e-13 * size);
        const alone = solveProblem({ ...base, loads: a });
        expect(distance(alone.displacement, sa.displacement)).toBeLessThanOrEqual(1e-15 * size);
      }),
      runs,
    );
  });

  test("moves and is stressed in proportion to load, moves inversely to modulus and thickness", () => {
    fc.assert(
      fc.property(load, fc.constantFrom(2, 4, 0.5), (loads, k) => {
        const one = solveProblem({ ...base, loads });
        const stress = recoverStress({ ...base, loads }, one);
        const harder = loads.map((l) => ({
          ...l,
          ...(l.pressure !== undefined ? { pressure: k * l.pressure } : {}),
          ...(Array.isArray(l.traction) ? { traction: [k * l.traction[0], k * l.traction[1]] as const } : {}),
        }));
        const heavier = { ...base, loads: harder as EdgeLoad[] };
        const strong = solveProblem(heavier);
        const stiff = { ...base, material: { ...steel, E: k * steel.E }, loads };
        const stiffer = solveProblem(stiff);
        const thick = solveProblem({ ...base, thickness: 2 * k, loads });
        const size = largest(one.displacement);
        expect(
          distance(
            strong.displacement,
            one.displacement.map((v) => k * v),
          ),
        ).toBeLessThanOrEqual(1e-13 * k * size);
        expect(
          distance(
            stiffer.displacement,
            one.displacement.map((v) => v / k),
          ),
        ).toBeLessThanOrEqual((1e-13 * size) / k);
        // force per area is given, so thickness alone changes nothing but forces
        expect(distance(thick.displacement, one.displacement)).toBeLessThanOrEqual(1e-13 * size);
        expect(
          distance(
            thick.load,
            one.load.map((v) => k * v),
          ),
        ).toBeLessThanOrEqual(1e-13 * k * largest(one.load));
        const s = largest(stress);
        expect(distance(recoverStress(stiff, stiffer), stress)).toBeLessThanOrEqual(1e-8 * s);
        expect(
          distance(
            recoverStress(heavier, strong),
            stress.map((v) => k * v),
          ),
        ).toBeLessThanOrEqual(1e-8 * k * s);
      }),
      runs,
    );
  });

  test("turned and shifted as a whole, turns its answer with it", () => {
    const part = ringSector(10, 16, 0.2, 1.5, 8, 3);
    const still = structuredMesh(part.outline, part.blocks, { jitter: 0.1, seed: 4 });
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        vector,
        vector,
        (angle, [dx, dy], [tx, ty]) => {
          const motion: Motion = { angle, dx, dy };
          const problem: Problem = {
            ...base,
            outline: part.outline,
            mesh: still,
            loads: [
              { edges: ["inner"], pressure: 50 },
              { edges: ["end"], traction: [tx, ty] },
            ],
            supports: [{ edges: ["start"], u: 0, v: 0 }],
          };
          const c = Math.cos(angle);
          const s = Math.sin(angle);
          const moved: Problem = {
            ...problem,
            outline: moveOutline(part.outline, motion),
            mesh: { ...still, xy: moveNodes(still.xy, motion) },
            loads: [problem.loads[0], { edges: ["end"], traction: [c * tx - s * ty, s * tx + c * ty] }],
          };
          const a = solveProblem(problem);
          const b = solveProblem(moved);
          const turned = new Float64Array(a.displacement.length);
          for (let i = 0; i < turned.length; i += 2) {
            turned[i] = c * a.displacement[i] - s * a.displacement[i + 1];
            turned[i + 1] = s * a.displacement[i] + c * a.displacement[i + 1];
          }
          const size = largest(a.displacement);
          expect(distance(turned, b.displacement)).toBeLessThanOrEqual(1e-11 * size);
          const sa = recoverStress(problem, a);
          const sb = recoverStress(moved, b);
          const reach = largest(sa);
          for (let i = 0; i < sa.length; i += 3) {
            const [xx, yy, xy] = sa.subarray(i, i + 3);
            expect(Math.abs(c * c * xx + s * s * yy - 2 * s * c * xy - sb[i])).toBeLessThan(1e-7 * reach);
            expect(Math.abs(s * s * xx + c * c * yy + 2 * s * c * xy - sb[i + 1])).toBeLessThan(1e-7 * reach);
            expect(
              Math.abs(firstPrincipal(xx, yy, xy) - firstPrincipal(sb[i], sb[i + 1], sb[i + 2])),
            ).toBeLessThan(1e-7 * reach);
          }
        },
      ),
      runs,
    );
  });

  test("mirrored, mirrors its answer", () => {
    fc.assert(
      fc.property(load, (loads) => {
        // about the diagonal x = y: the part is its own image, edges change places
        const other: Record<string, string> = { x0: "y0", y0: "x0", x1: "y1", y1: "x1", hole: "hole" };
        const mirrored = loads.map((l) => ({
          ...l,
          edges: l.edges.map((e) => other[e]),
          ...(Array.isArray(l.traction) ? { traction: [l.traction[1], l.traction[0]] as const } : {}),
        })) as EdgeLoad[];
        const image = mirrorMesh(mesh);
        const a = solveProblem({ ...base, loads });
        const b = solveProblem({ ...base, mesh: image, loads: mirrored });
        const size = largest(a.displacement);
        const swapped = a.displacement.map((_, k) => a.displacement[k ^ 1]);
        expect(distance(swapped, b.displacement)).toBeLessThanOrEqual(1e-12 * size);
        const sa = recoverStress({ ...base, loads }, a);
        const sb = recoverStress({ ...base, mesh: image, loads: mirrored }, b);
        for (let i = 0; i < sa.length; i += 3) {
          expect(Math.abs(sa[i] - sb[i + 1])).toBeLessThan(1e-7 * largest(sa));
          expect(Math.abs(sa[i + 2] - sb[i + 2])).toBeLessThan(1e-7 * largest(sa));
        }
      }),
      { ...runs, numRuns: 4 },
    );
  });

  test("does not care how nodes and elements are numbered", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), load, (seed, loads) => {
        const { mesh: shuffled, node } = renumber(mesh, seed);
        const a = solveProblem({ ...base, loads });
        const b = solveProblem({ ...base, mesh: shuffled, loads });
        const back = new Float64Array(a.displacement.length);
        for (let i = 0; i < node.length; i++) {
          back[2 * i] = b.displacement[2 * node[i]];
          back[2 * i + 1] = b.displacement[2 * node[i] + 1];
        }
        expect(distance(a.displacement, back)).toBeLessThanOrEqual(1e-12 * largest(a.displacement));
        const sa = recoverStress({ ...base, loads }, a);
        const sb = recoverStress({ ...base, mesh: shuffled, loads }, b);
        for (let i = 0; i < node.length; i++) {
          for (let k = 0; k < 3; k++) {
            expect(Math.abs(sa[3 * i + k] - sb[3 * node[i] + k])).toBeLessThan(1e-7 * largest(sa));
          }
        }
      }),
      { ...runs, numRuns: 6 },
    );
  });
});

function moveOutline(o: Outline, motion: Motion): Outline {
  return { loops: o.loops.map((loop) => loop.map((e) => ({ ...e, curve: moveCurve(motion, e.curve) }))) };
}

function moveNodes(xy: Float64Array, motion: Motion): Float64Array {
  const out = new Float64Array(xy.length);
  for (let k = 0; k < xy.length; k += 2) movePoint(motion, xy[k], xy[k + 1], out.subarray(k, k + 2));
  return out;
}

/** x and y change places; element corners are taken the other way round to stay counter-clockwise. */
function mirrorMesh(m: Mesh): Mesh {
  const xy = m.xy.map((_, k) => m.xy[k ^ 1]);
  const elements = new Uint32Array(m.elements.length);
  const neighbours = new Int32Array(m.neighbours.length);
  for (let e = 0; e < elements.length / 6; e++) {
    const [a, b, c, ab, bc, ca] = m.elements.subarray(6 * e, 6 * e + 6);
    elements.set([a, c, b, ca, bc, ab], 6 * e);
    const [n0, n1, n2] = m.neighbours.subarray(3 * e, 3 * e + 3);
    neighbours.set([n2, n1, n0], 3 * e);
  }
  // edges of the quarter plate in order y0, x1, y1, x0, hole
  const image = [3, 2, 1, 0, 4];
  const sideU = new Float64Array(m.sideU.length);
  for (let k = 0; k < sideU.length; k += 2) {
    sideU[k] = 1 - m.sideU[k + 1];
    sideU[k + 1] = 1 - m.sideU[k];
  }
  return {
    ...m,
    xy,
    elements,
    neighbours,
    sideLocal: m.sideLocal.map((s) => 2 - s),
    sideEdge: m.sideEdge.map((k) => image[k]),
    sideU,
  };
}

/** Shuffles nodes and elements; `node[i]` is where node i went. */
function renumber(m: Mesh, seed: number): { mesh: Mesh; node: Uint32Array } {
  const random = seededRandom(seed);
  const shuffled = (n: number): Uint32Array => {
    const p = Uint32Array.from({ length: n }, (_, k) => k);
    for (let k = n - 1; k > 0; k--) {
      const j = Math.floor(random() * (k + 1));
      [p[k], p[j]] = [p[j], p[k]];
    }
    return p;
  };
  const node = shuffled(m.xy.length / 2);
  const element = shuffled(m.elements.length / 6);
  const xy = new Float64Array(m.xy.length);
  for (let i = 0; i < node.length; i++) xy.set(m.xy.subarray(2 * i, 2 * i + 2), 2 * node[i]);
  const elements = new Uint32Array(m.elements.length);
  const neighbours = new Int32Array(m.neighbours.length);
  for (let e = 0; e < element.length; e++) {
    for (let a = 0; a < 6; a++) elements[6 * element[e] + a] = node[m.elements[6 * e + a]];
    for (let s = 0; s < 3; s++) {
      const n = m.neighbours[3 * e + s];
      neighbours[3 * element[e] + s] = n < 0 ? n : element[n];
    }
  }
  return {
    mesh: { ...m, xy, elements, neighbours, sideElement: m.sideElement.map((e) => element[e]) },
    node,
  };
}
