import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { sizeField } from "../../src/answer/sizing.ts";
import { toothLoads } from "../../src/answer/toothLoads.ts";
import type { Design, FaceToothProfile, Load, Profile, SplineProfile } from "../../src/design/index.ts";
import { arc, line, type Outline } from "../../src/geometry/index.ts";
import { meshOutline, outlineSize, repeatMesh } from "../../src/mesh/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import {
  type EdgeLoad,
  nodalResultant,
  type Problem,
  RingSolver,
  recoverStress,
  type Solution,
  Solver,
  type Support,
  solveProblem,
  solveRing,
} from "../../src/solver/index.ts";
import { factorHermitian, solveHermitian } from "../../src/solver/ring/hermitian.ts";
import type { RingProblem } from "../../src/solver/ring/index.ts";
import { designOf } from "../answer/designs.ts";
import { demoSpline } from "../profile/soundness.ts";
import { distance, largest, steel } from "./solved.ts";

/*
 * The yardstick here is the plain solver on the whole ring's mesh, which has its own checks against published fields: the
 * ring solver must find the same numbers.
 */
const SAME = 1e-9;

/** Displacements with the best-fitting rigid motion (least squares over nodes) taken off. */
function withoutRigid(xy: Float64Array, u: Float64Array, turning: boolean): Float64Array {
  const n = u.length / 2;
  let cx = 0;
  let cy = 0;
  let tx = 0;
  let ty = 0;
  for (let i = 0; i < n; i++) {
    cx += xy[2 * i] / n;
    cy += xy[2 * i + 1] / n;
    tx += u[2 * i] / n;
    ty += u[2 * i + 1] / n;
  }
  let spin = 0;
  let inertia = 0;
  for (let i = 0; i < n; i++) {
    const x = xy[2 * i] - cx;
    const y = xy[2 * i + 1] - cy;
    spin += x * (u[2 * i + 1] - ty) - y * (u[2 * i] - tx);
    inertia += x * x + y * y;
  }
  const w = turning ? spin / inertia : 0;
  return u.map((v, k) => (k % 2 === 0 ? v - tx + w * (xy[k + 1] - cy) : v - ty - w * (xy[k - 1] - cx)));
}

function expectSame(problem: Problem, ring: Solution, plain: Solution, turning: boolean): void {
  const { xy } = problem.mesh;
  const a = withoutRigid(xy, ring.displacement, turning);
  const b = withoutRigid(xy, plain.displacement, turning);
  expect(distance(a, b)).toBeLessThan(SAME * largest(b));
  expect(distance(ring.displacement, plain.displacement)).toBeLessThan(SAME * largest(plain.displacement));
  // where loads balance, supports carry nothing but rounding: measured by the loads
  const force = Math.max(largest(plain.reaction), largest(plain.load));
  expect(distance(ring.reaction, plain.reaction)).toBeLessThan(SAME * force);
  const [s, t] = [ring, plain].map((solution) => recoverStress(problem, solution));
  expect(distance(s, t)).toBeLessThan(SAME * largest(t));
  expect(ring.load).toEqual(plain.load);
  expect(ring.unknowns).toBe(plain.unknowns);
  expect(ring.residual).toBeLessThan(1e-14);
  expect(Math.abs(ring.strainEnergy / plain.strainEnergy - 1)).toBeLessThan(SAME);
  expect(Math.abs(ring.halfWork / plain.halfWork - 1)).toBeLessThan(SAME);
}

const faceTooth: FaceToothProfile = {
  kind: "face tooth",
  teeth: 11,
  meanDiameter: 48,
  height: 4,
  driveAngle: 0.05,
  overrunAngle: 0.9,
  tipLand: 1.5,
  driveRootRadius: 0.8,
  overrunRootRadius: 0.5,
  tipChamfer: 0,
  baseThickness: 8,
  faceWidth: 10,
  contact: [1.2, 3.6],
  contactGiven: false,
  loadedFlank: "drive",
};

/** A profile under a load with its model, meshed somewhat coarser than an answer would be. */
function toothed(profile: Profile, load: Partial<Load>): RingProblem {
  const plain = designOf(profile);
  const design: Design = { ...plain, load: { ...plain.load, ...load } };
  const built = buildProfile(profile);
  const sector = {
    outline: built.outline,
    mesh: meshOutline(built.outline, { size: sizeField(design, built, 1.3) }),
  };
  const copies = profile.teeth;
  const whole = repeatMesh(sector.mesh, sector.outline, copies);
  const { loads, supports } = toothLoads(design, built, { kind: "whole ring", ...whole, copies });
  return {
    ...whole,
    sector,
    copies,
    material: design.material,
    thickness: profile.faceWidth,
    loads,
    supports,
  };
}

const oneOf = (teeth: number, k: number): Load["sharing"] => ({
  mode: "teeth",
  weights: Array.from({ length: teeth }, (_, i) => (i === k ? 1 : 0)),
});
const unequal = (teeth: number): Load["sharing"] => {
  const raw = Array.from({ length: teeth }, (_, i) => (i % 3 === 1 ? 0 : 1 + ((i * 7) % 5)));
  const sum = raw.reduce((a, b) => a + b, 0);
  return { mode: "teeth", weights: raw.map((w) => w / sum) };
};

const internal: SplineProfile = { ...demoSpline("internal spline"), rootRadius: 0.4 };
const external: SplineProfile = { ...demoSpline("external spline"), rootRadius: 0.4 };
const profiles: { name: string; profile: Profile }[] = [
  { name: "internal spline", profile: internal },
  { name: "external spline", profile: external },
  { name: "sharp internal spline", profile: { ...internal, rootRadius: 0 } },
  { name: "face teeth", profile: faceTooth },
];
const loadings = (teeth: number): { load: string; with: Partial<Load> }[] => [
  { load: "one tooth loaded", with: { sharing: oneOf(teeth, 3) } },
  { load: "unequal teeth", with: { sharing: unequal(teeth), friction: 0.1 } },
  { load: "one tooth loaded, rim held", with: { sharing: oneOf(teeth, 0), reaction: "held" } },
  { load: "unequal teeth, rim held", with: { sharing: unequal(teeth), reaction: "held" } },
];

/** A blunt toothed ring; `start` turns the whole of it. */
function bluntSector(teeth: number, start: number): Outline {
  const turn = (2 * Math.PI) / teeth;
  const at = (r: number, a: number): [number, number] => [r * Math.cos(start + a), r * Math.sin(start + a)];
  return {
    loops: [
      [
        { name: "cut1", zone: "cut", curve: line(...at(10, 0), ...at(16, 0)) },
        { name: "land", zone: "root", curve: arc(0, 0, 16, start, start + turn / 2) },
        { name: "flank1", zone: "flank", curve: line(...at(16, turn / 2), ...at(19, turn / 2)) },
        { name: "tip", zone: "tip", curve: arc(0, 0, 19, start + turn / 2, start + 0.9 * turn) },
        { name: "flank2", zone: "flank", curve: line(...at(19, 0.9 * turn), ...at(16, turn)) },
        { name: "cut2", zone: "cut", curve: line(...at(16, turn), ...at(10, turn)) },
        { name: "bore", zone: "bore", curve: arc(0, 0, 10, start + turn, start) },
      ],
    ],
    ties: [{ leader: ["cut1"], follower: ["cut2"], motion: { angle: turn, dx: 0, dy: 0 } }],
  };
}

const push = (x: number, y: number, _nx: number, _ny: number, out: Float64Array): void => {
  out[0] = 3 + 0.1 * y;
  out[1] = -5 + 0.2 * x;
};

function blunt(
  teeth: number,
  loads: readonly EdgeLoad[],
  supports: (names: (edge: string) => string[]) => readonly Support[],
  copies = teeth,
): RingProblem {
  const outline = bluntSector(teeth, 0.2);
  const mesh = meshOutline(outline, { size: outlineSize(outline, { base: 1.6 }) });
  const names = (edge: string) => Array.from({ length: copies }, (_, k) => `${edge}#${k}`);
  return {
    ...repeatMesh(mesh, outline, copies),
    sector: { outline, mesh },
    copies,
    material: steel,
    thickness: 4,
    loads,
    supports: supports(names),
  };
}

describe("solveRing", () => {
  for (const { name, profile } of profiles) {
    test.each(loadings(profile.teeth))(`finds what the plain solver finds: ${name}, $load`, (loading) => {
      const problem = toothed(profile, loading.with);
      expectSame(problem, solveRing(problem), solveProblem(problem), profile.kind !== "face tooth");
    });
  }

  test.each([2, 3, 4, 7])(
    "finds it for a ring of %i copies, pushed sideways and held at three points' worth",
    (teeth) => {
      const loads = [
        { edges: ["flank1#0"], pressure: 40 },
        { edges: [`tip#${teeth - 1}`], traction: push },
      ];
      const problem = blunt(teeth, loads, () => [
        { point: [19, 0], u: 0, v: 0.003 },
        { point: [-16, 3], v: 0.001, polar: true },
      ]);
      const plain = solveProblem(problem);
      // loads that do not balance: the points carry them
      const held = nodalResultant(problem.mesh.xy, plain.reaction);
      expect(Math.hypot(held.fx, held.fy)).toBeGreaterThan(100);
      expectSame(problem, solveRing(problem), plain, true);
    },
  );

  const supports: [string, (names: (edge: string) => string[]) => readonly Support[]][] = [
    ["a bore pushed outwards and held round", (of) => [{ edges: of("bore"), u: 0.002, v: 0, polar: true }]],
    [
      "a bore held along its radius, one point round it",
      (of) => [
        { edges: of("bore"), u: 0.001, polar: true },
        { point: [0, 10], v: 0, polar: true },
      ],
    ],
    ["a bore held round only", (of) => [{ edges: of("bore"), v: 0, polar: true }]],
    [
      "the cut's own corner held: tips and bore",
      (of) => [
        { edges: of("bore"), u: 0, v: 0 },
        { edges: of("tip"), v: 0.001, polar: true },
      ],
    ],
  ];
  test.each(supports)("finds it for %s", (_name, held) => {
    const problem = blunt(
      6,
      [
        { edges: ["flank2#1"], pressure: 40 },
        { edges: ["flank1#4"], traction: push },
      ],
      held,
    );
    expectSame(problem, solveRing(problem), solveProblem(problem), true);
  });

  test("finds it for copies that stop short of a full turn, the last tied to the first", () => {
    const problem = blunt(
      12,
      [{ edges: ["flank1#1"], pressure: 40 }],
      () => [{ point: [10, 2], v: 0, polar: true }],
      4,
    );
    expectSame(problem, solveRing(problem), solveProblem(problem), true);
  });

  test("answers nodal forces as the plain solver does, prescribed values taken as zero", () => {
    const problem = blunt(5, [], (of) => [{ edges: of("bore"), u: 0.01, v: 0, polar: true }]);
    const load = problem.mesh.xy.map((_, k) => Math.sin(k));
    const ring = new RingSolver(problem).solveNodal(load);
    const plain = new Solver(problem).solveNodal(load);
    expect(distance(ring, plain)).toBeLessThan(SAME * largest(plain));
  });

  test("keeps energy and work alike to round-off on a thin ring of a hundred teeth, soft as it is", () => {
    const thin = {
      ...internal,
      teeth: 100,
      pitchDiameter: 200,
      tipDiameter: 197,
      rootDiameter: 203,
      backDiameter: 210,
    };
    const problem = toothed({ ...thin, contact: [197.5, 200] }, { sharing: oneOf(100, 0) });
    const { strainEnergy, halfWork, residual } = solveRing(problem);
    // Clapeyron's theorem; the plain solver, refined on the assembled stiffness, leaves some 1e-8 here
    expect(Math.abs(strainEnergy / halfWork - 1)).toBeLessThan(1e-12);
    expect(residual).toBeLessThan(1e-15);
  });

  test("needs no memory of the whole ring's factor", () => {
    const problem = toothed(internal, { sharing: unequal(17) });
    expect(solveRing(problem).factorNonZeros).toBeLessThan(solveProblem(problem).factorNonZeros / 8);
  });

  const pressed = [{ edges: ["flank1#0"], pressure: 1 }];
  test("says which rigid motion nothing holds", () => {
    expect(() => solveRing(blunt(6, pressed, () => [{ point: [19, 0], u: 0, v: 0 }]))).toThrow(
      /nothing holds the part: it can turn about/,
    );
    expect(() => solveRing(blunt(6, pressed, (of) => [{ edges: of("bore"), u: 0, polar: true }]))).toThrow(
      /nothing holds the part: it can turn about/,
    );
  });

  test("refuses what is not alike in every copy, or more points than hold it still", () => {
    expect(() => solveRing(blunt(6, pressed, () => [{ edges: ["bore#0", "bore#1"], u: 0, v: 0 }]))).toThrow(
      /copy 2 is not held as copy 0/,
    );
    expect(() => solveRing(blunt(6, pressed, (of) => [{ edges: of("bore"), u: 0 }]))).toThrow(
      /is not held as copy 0/,
    );
    const slope = (x: number) => 1e-3 * x;
    expect(() =>
      solveRing(blunt(6, pressed, (of) => [{ edges: of("bore"), u: slope, v: 0, polar: true }])),
    ).toThrow(/is not held as copy 0/);
    const points: Support[] = [
      { point: [19, 0], u: 0, v: 0 },
      { point: [-19, 0], u: 0, v: 0 },
    ];
    expect(() => solveRing(blunt(6, pressed, () => points))).toThrow(/4 directions where 3 rigid motions/);
    const problem = blunt(6, pressed, (of) => [{ edges: of("bore"), u: 0, v: 0 }]);
    expect(() => solveRing({ ...problem, copies: 5 })).toThrow(/is not 5 copies/);
  });
});

test("a whole ring is answered through the ring solver and meets its checks", () => {
  const plain = designOf(internal);
  const { result } = answerDesign({ ...plain, load: { ...plain.load, sharing: unequal(17) } });
  expect(result.model).toBe("whole ring");
  expect(result.checks.residual).toBeLessThan(1e-14);
  expect(result.torque.imbalance).toBeLessThan(1e-9);
});

describe("factorHermitian", () => {
  test("solves what was multiplied out, and names the row that is not positive", () => {
    // H = A Aᴴ + I of a fixed A is Hermitian and positive definite: closed form
    const n = 5;
    const a = Float64Array.from({ length: n * n }, (_, k) => Math.sin(3 * k + 1));
    const b = Float64Array.from({ length: n * n }, (_, k) => Math.cos(5 * k));
    const re = new Float64Array(n * n);
    const im = new Float64Array(n * n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        for (let k = 0; k < n; k++) {
          re[i * n + j] += a[i * n + k] * a[j * n + k] + b[i * n + k] * b[j * n + k];
          im[i * n + j] += b[i * n + k] * a[j * n + k] - a[i * n + k] * b[j * n + k];
        }
        if (i === j) re[i * n + j] += 1;
      }
    }
    const x = Float64Array.from({ length: n }, (_, k) => k - 1.5);
    const y = Float64Array.from({ length: n }, (_, k) => 2 - k * k);
    const u = new Float64Array(n);
    const v = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < n; j++) {
        u[i] += re[i * n + j] * x[j] - im[i * n + j] * y[j];
        v[i] += re[i * n + j] * y[j] + im[i * n + j] * x[j];
      }
    }
    solveHermitian(factorHermitian(n, re.slice(), im.slice(), 0), u, v);
    expect(distance(u, x)).toBeLessThan(1e-12);
    expect(distance(v, y)).toBeLessThan(1e-12);
    re[2 * n + 2] = -1;
    expect(() => factorHermitian(n, re, im, 0)).toThrow(/row 2/);
  });
});
