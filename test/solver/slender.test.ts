import { describe, expect, test } from "vitest";
import { solveProblem } from "../../src/solver/index.ts";
import { cantilever, tractionOf } from "./exact.ts";
import { rectangle } from "./shapes.ts";
import { nodeAt, solvePart, steel } from "./solved.ts";
import { structuredMesh } from "./structured.ts";

/*
 * A long thin part is soft against its own stiffness, and the rounding of the assembled stiffness shows in its answer though the
 * residual does not tell. Exact: Timoshenko & Goodier art. 21, the root face's middle held and its corner where the exact field has it.
 */
describe("a cantilever far longer than it is deep", () => {
  const [c, t, P] = [0.5, 1, 1e-3];
  const { E, nu } = steel;
  const I = (2 * c ** 3 * t) / 3;
  const G = E / (2 * (1 + nu));
  const deflection = (L: number) => (P * L ** 3) / (3 * E * I);
  const solved = (L: number) => {
    const part = rectangle(0, -c, L, c, Math.max(40, L / 2), 2);
    const loads = [{ edges: ["left", "right"], traction: tractionOf(cantilever(c, t, P)) }];
    const corner = (-nu * P * c ** 3) / (6 * E * I) - (P * c ** 3) / (3 * I * G);
    const supports = [
      { point: [L, 0] as const, u: 0, v: 0 },
      { point: [L, c] as const, u: corner },
    ];
    const { mesh, solution } = solvePart(part, loads, supports, { thickness: t });
    return { solution, tip: solution.displacement[2 * nodeAt(mesh, 0, 0) + 1] };
  };

  test.each([10, 100, 1000, 3000])("%d times as long: tip deflection to 1e-3", (L) => {
    const { solution, tip } = solved(L);
    expect(Math.abs(tip / deflection(L) - 1)).toBeLessThan(1e-3);
    expect(Math.abs(solution.strainEnergy / solution.halfWork - 1)).toBeLessThan(1e-5);
    expect(solution.residual).toBeLessThan(1e-14);
  });

  // moved by metres and strained by a millionth: energy and work of such a part differ by the rounding of the motion, and it is sound
  test.each([0, 1e-3, 20])("a part moved far by its supports is not taken for one, under %d MPa", (pull) => {
    const part = rectangle(0, -c, 30, c, 40, 2);
    const [shift, turn] = [-3000, 0.01];
    const loads = [{ edges: ["right"], traction: [pull, 0] as const }];
    const supports = [
      { edges: ["left"], u: (_x: number, y: number) => -turn * y },
      { point: [0, 0] as const, v: shift },
    ];
    const { mesh, solution } = solvePart(part, loads, supports, { thickness: t });
    const at = nodeAt(mesh, 30, 0);
    expect(solution.displacement[2 * at + 1]).toBeCloseTo(shift + 30 * turn, 7);
    expect(solution.displacement[2 * at]).toBeCloseTo((pull / E) * 30, 7);
  });

  test("is as right beside a stout block that holds nearly all of the energy", () => {
    const L = 1000;
    const parts = [rectangle(0, -c, L, c, L / 2, 2), rectangle(0, 10, L, L, 8, 8)];
    const outline = {
      loops: parts.map((part, k) => part.outline.loops[0].map((e) => ({ ...e, name: `${e.name}${k}` }))),
    };
    const problem = {
      outline,
      mesh: structuredMesh(
        outline,
        parts.flatMap(({ blocks }) => blocks),
      ),
      material: steel,
      thickness: t,
      loads: [
        { edges: ["left0"], traction: tractionOf(cantilever(c, t, P)) },
        { edges: ["right1"], traction: [1e5, 0] as const },
      ],
      supports: [
        { edges: ["right0"], u: 0, v: 0 },
        { edges: ["left1"], u: 0, v: 0 },
      ],
    };
    const { displacement } = solveProblem(problem);
    expect(Math.abs(displacement[2 * nodeAt(problem.mesh, 0, 0) + 1] / deflection(L) - 1)).toBeLessThan(1e-3);
  });

  test("displacements beyond all numbers are refused as such", () => {
    const part = rectangle(0, -c, 4, c, 8, 2);
    const loads = [{ edges: ["top"], traction: [1e30, 0] as const }];
    const material = { ...steel, E: 1e-290 };
    expect(() => solvePart(part, loads, [{ edges: ["left"], u: 0, v: 0 }], { material })).toThrow(
      /no finite numbers/,
    );
  });

  test("so long that no digit is left: refused", () => {
    const L = 40_000;
    const part = rectangle(0, -c, L, c, L / 20, 1);
    const loads = [{ edges: ["left"], traction: tractionOf(cantilever(c, t, P)) }];
    expect(() => solvePart(part, loads, [{ edges: ["right"], u: 0, v: 0 }], { thickness: t })).toThrow(
      /more slender than double precision carries/,
    );
  });
});
