import { describe, expect, test } from "vitest";
import {
  type Problem,
  type RecoveryDoubt,
  recoverStress,
  recoveryLoad,
  Solver,
  sideLoads,
} from "../../src/solver/index.ts";
import { quarterPlate, ringSector } from "./shapes.ts";
import { largest, nodeAt, steel } from "./solved.ts";
import { graded, seededRandom, structuredMesh } from "./structured.ts";

/* What recovery says of its own error, and the load whose solution tells how a reading follows the displacements. */

const doubtOf = ({ mesh }: Problem): RecoveryDoubt => ({
  gap: new Float64Array(1.5 * mesh.xy.length),
  missed: new Float64Array(2 * mesh.elements.length),
});

function plate(): Problem {
  const { outline, blocks } = quarterPlate(5, 12, 6, 4, graded(3));
  const mesh = structuredMesh(outline, blocks, { jitter: 0.15, seed: 2 });
  const supports = [
    { edges: ["x0"], u: 0 },
    { edges: ["y0"], v: 0 },
  ];
  return {
    outline,
    mesh,
    material: steel,
    thickness: 2,
    loads: [{ edges: ["x1"], pressure: -80 }],
    supports,
  };
}

/** A sector of a ring from r = 10 to 20 under internal pressure, its cuts tied. */
function lameSector(columns: number, rows: number): Problem {
  const { outline, blocks } = ringSector(10, 20, 0, Math.PI / 4, columns, rows, { tied: true });
  const mesh = structuredMesh(outline, blocks, { jitter: 0.1, seed: 5 });
  const supports = [{ point: [20, 0] as const, v: 0 }];
  return {
    outline,
    mesh,
    material: steel,
    thickness: 1,
    loads: [{ edges: ["inner"], pressure: 100 }],
    supports,
  };
}

describe("recoveryLoad", () => {
  test.each([
    { name: "a plate with a hole", problem: plate() },
    { name: "a sector with tied cuts", problem: lameSector(4, 4) },
  ])("tells how any sum of recovered stresses follows the displacements: $name", ({ problem }) => {
    const random = seededRandom(11);
    const u = new Solver(problem).solve().displacement;
    const step = u.map(() => 1e-4 * (random() - 0.5));
    const weights = new Float64Array(1.5 * u.length).map(() => (random() < 0.2 ? random() - 0.5 : 0));
    const before = recoverStress(problem, { displacement: u });
    const after = recoverStress(problem, { displacement: u.map((v, k) => v + step[k]) });
    let change = 0;
    for (let k = 0; k < weights.length; k++) change += weights[k] * (after[k] - before[k]);
    const load = recoveryLoad(problem, weights);
    let told = 0;
    for (let k = 0; k < load.length; k++) told += load[k] * step[k];
    expect(told / change).toBeCloseTo(1, 7);
  });

  test("refuses weights of another mesh", () => {
    expect(() => recoveryLoad(plate(), new Float64Array(5))).toThrow("5 weights");
  });
});

describe("what recovery doubts", () => {
  test("is nothing for a displacement that the elements hold exactly", () => {
    // pure bending, u = −κ x y, v = κ (x² + ν y²)/2: stress −E κ y along x, quadratic displacements (Timoshenko & Goodier art. 21)
    const problem = plate();
    const { xy } = problem.mesh;
    const kappa = 1e-4;
    const u = new Float64Array(xy.length);
    for (let i = 0; i < u.length; i += 2) {
      u[i] = -kappa * xy[i] * xy[i + 1];
      u[i + 1] = (kappa * (xy[i] ** 2 + steel.nu * xy[i + 1] ** 2)) / 2;
    }
    const doubt = doubtOf(problem);
    const held: Problem = {
      ...problem,
      loads: [],
      supports: problem.outline.loops.flat().map((e) => ({ edges: [e.name], u: 0, v: 0 })),
    };
    const stress = recoverStress(held, { displacement: u }, doubt);
    expect(largest(doubt.gap)).toBeLessThan(1e-8 * largest(stress));
    // curved elements alone do not hold it
    const { elements } = problem.mesh;
    for (let e = 0; 6 * e < elements.length; e++) {
      let bulge = 0;
      for (let s = 0; s < 3; s++) {
        const [a, b, m] = [elements[6 * e + s], elements[6 * e + ((s + 1) % 3)], elements[6 * e + 3 + s]];
        bulge += Math.hypot(
          xy[2 * m] - (xy[2 * a] + xy[2 * b]) / 2,
          xy[2 * m + 1] - (xy[2 * a + 1] + xy[2 * b + 1]) / 2,
        );
      }
      if (bulge < 1e-9) {
        expect(largest(doubt.missed.subarray(12 * e, 12 * e + 12))).toBeLessThan(1e-8 * largest(stress));
      }
    }
  });

  test.each([
    // the estimate keeps the leading term of the error: the finer the mesh, the closer
    [3, 4, 0.5],
    [4, 5, 0.3],
    [6, 8, 0.2],
    [9, 12, 0.1],
  ])(
    "names what nodal errors do to the hoop stress at a pressed bore, %i × %i blocks",
    (columns, rows, share) => {
      // Lamé: u = p ri² / (E (ro² − ri²)) ((1 − ν) r + (1 + ν) ro² / r) (Timoshenko & Goodier art. 28)
      const problem = lameSector(columns, rows);
      const { xy, elements } = problem.mesh;
      const exact = new Float64Array(xy.length);
      for (let i = 0; i < exact.length; i += 2) {
        const r = Math.hypot(xy[i], xy[i + 1]);
        const u = ((100 * 100) / (steel.E * 300)) * ((1 - steel.nu) * r + ((1 + steel.nu) * 400) / r);
        exact[i] = (u * xy[i]) / r;
        exact[i + 1] = (u * xy[i + 1]) / r;
      }
      const solver = new Solver(problem);
      const doubt = doubtOf(problem);
      const stress = recoverStress(problem, solver.solve(), doubt);
      const atExact = recoverStress(problem, { displacement: exact });
      const i = nodeAt(problem.mesh, 10, 0);
      const weights = new Float64Array(stress.length);
      weights[3 * i + 1] = 1;
      const z = solver.solveNodal(recoveryLoad(problem, weights));
      let told = 0;
      for (let k = 0; k < elements.length; k++) {
        told += doubt.missed[2 * k] * z[2 * elements[k]] + doubt.missed[2 * k + 1] * z[2 * elements[k] + 1];
      }
      const error = stress[3 * i + 1] - atExact[3 * i + 1];
      expect(Math.abs(told - error)).toBeLessThan(share * Math.abs(error));
    },
  );
});

describe("Solver.solveNodal", () => {
  test("gives under a traction's nodal forces what the traction gives", () => {
    const problem = plate();
    const solver = new Solver(problem);
    const { displacement } = solver.solve();
    const nodal = solver.solveNodal(sideLoads(problem, problem.loads));
    for (let k = 0; k < nodal.length; k++) {
      expect(Math.abs(nodal[k] - displacement[k])).toBeLessThan(1e-12 * largest(displacement));
    }
  });

  test("refuses forces of another mesh", () => {
    expect(() => new Solver(plate()).solveNodal(new Float64Array(4))).toThrow("4 nodal forces");
  });
});

describe("recovery in WebAssembly", () => {
  test("gives the bits that plain JavaScript gives, stresses, doubt and load", () => {
    for (const problem of [plate(), lameSector(4, 5)]) {
      const random = seededRandom(11);
      const displacement = Float64Array.from(problem.mesh.xy, () => 1e-3 * (random() - 0.5));
      const weights = Float64Array.from({ length: 1.5 * problem.mesh.xy.length }, () => random() - 0.5);
      const [doubt, plainDoubt] = [doubtOf(problem), doubtOf(problem)];
      expect(recoverStress(problem, { displacement }, doubt)).toEqual(
        recoverStress(problem, { displacement }, plainDoubt, "plain"),
      );
      expect(doubt).toEqual(plainDoubt);
      expect(recoveryLoad(problem, weights)).toEqual(recoveryLoad(problem, weights, "plain"));
    }
  });
});
