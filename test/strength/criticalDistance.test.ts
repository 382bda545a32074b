import { describe, expect, test } from "vitest";
import { line, type Outline } from "../../src/geometry/index.ts";
import { meshOutline, outlineSize } from "../../src/mesh/index.ts";
import { evaluator, type Problem, recoverStress, solveProblem } from "../../src/solver/index.ts";
import { flawUpTo } from "../../src/strength/field/surfaceFlaw.ts";
import {
  type CornerIntensity,
  cornerIntensity,
  criticalDistance,
  flawIntensity,
  lineStress,
  openingAt,
  openingPath,
  plasticForce,
  pointStress,
  ROOT_METRE,
  type RootPaths,
  readPath,
  type StressSampler,
  scanPaths,
  twoCriteria,
  withFlaw,
} from "../../src/strength/index.ts";
import { inglis } from "../../src/verify/exact/inglis.ts";
import { asymptoticStress } from "./asymptoticStress.ts";
import { off, reference } from "./reference.ts";
import { design, rootOf, spline } from "./roots.ts";

const n = (value: number | string | undefined) => Number(value);

/** Kirsch's field round a hole of radius a at the origin, tension 1 along y (Timoshenko & Goodier art. 35). */
function kirsch(a: number): StressSampler {
  return (x, y, out) => {
    const r = Math.hypot(x, y);
    if (r < a * (1 - 1e-12)) return false;
    // φ from the load's direction
    const phi = Math.atan2(-x, y);
    const k = (a / r) ** 2;
    const rr = (1 - k) / 2 + ((1 - 4 * k + 3 * k * k) / 2) * Math.cos(2 * phi);
    const tt = (1 + k) / 2 - ((1 + 3 * k * k) / 2) * Math.cos(2 * phi);
    const rt = -((1 + 2 * k - 3 * k * k) / 2) * Math.sin(2 * phi);
    const t = Math.atan2(y, x);
    const [c, s] = [Math.cos(t), Math.sin(t)];
    out[0] = c * c * rr + s * s * tt - 2 * s * c * rt;
    out[1] = s * s * rr + c * c * tt + 2 * s * c * rt;
    out[2] = s * c * (rr - tt) + (c * c - s * s) * rt;
    return true;
  };
}

const holeRoot = (a: number, most: number): RootPaths => ({
  corner: null,
  paths: scanPaths(kirsch(a), { x: a, y: 0, dx: 1, dy: 0 }, { corner: null, least: a / 1000, most }),
});

describe("critical distances", () => {
  // Taylor 2007
  test.each(reference("sharp-corner", "tcd").filter(({ inputs }) => inputs["Kc_MPa_sqrt_m"] !== undefined))(
    "$id: L, point and line distances",
    ({ inputs, expected }) => {
      const L = criticalDistance(n(inputs["Kc_MPa_sqrt_m"]) * ROOT_METRE, n(inputs["s0_MPa"]));
      expect(off(L, expected["L_mm"]!)).toBeLessThan(1e-4);
      expect(off(L / 2, expected["pointDistance_mm"]!)).toBeLessThan(1e-4);
      expect(off(2 * L, expected["lineLength_mm"]!)).toBeLessThan(1e-4);
    },
  );

  // exact Kirsch field on the section, integrated in closed form
  test.each(reference("sharp-corner", "tcd").filter(({ inputs }) => inputs["holeRadius_mm"] !== undefined))(
    "$id: point and line stress of a hole",
    ({ inputs, expected }) => {
      const root = holeRoot(n(inputs["holeRadius_mm"]), 4);
      const L = n(inputs["L_mm"]);
      const straight = root.paths.find((path) => Math.abs(path.angle) < 1e-9)!;
      expect(off(readPath(straight, straight.opening, L / 2), expected["pointStress"]!)).toBeLessThan(1e-3);
      expect(off(readPath(straight, straight.mean, 2 * L), expected["lineStress"]!)).toBeLessThan(1e-3);
      // the straight path is the worst: nothing off it pulls harder
      expect(off(lineStress(root, L).stress, expected["lineStress"]!)).toBeLessThan(1e-3);
      expect(off(pointStress(root, L).stress, expected["pointStress"]!)).toBeLessThan(2e-3);
      expect(off(1 / lineStress(root, L).stress, expected["strengthRatioLM"]!)).toBeLessThan(1e-3);
    },
  );

  test("a vanishing distance gives the peak, a long one the nominal stress", () => {
    const root = holeRoot(1, 3000);
    for (const stress of [lineStress, pointStress]) {
      expect(off(stress(root, 1e-5).stress, 3)).toBeLessThan(1e-3);
      expect(off(stress(root, 1400).stress, 1)).toBeLessThan(2e-3);
      let before = Infinity;
      for (const L of [0.001, 0.01, 0.1, 0.5, 1, 5, 50, 500]) {
        const now = stress(root, L).stress;
        expect(now).toBeLessThan(before);
        before = now;
      }
    }
  });

  // both criteria give back K of a crack, whatever σ0 (Taylor 2007)
  test("a crack fails at its K by both criteria", () => {
    const crack: CornerIntensity = {
      materialAngle: 2 * Math.PI,
      exponent1: 0.5,
      k1: 1000,
      exponent2: 0.5,
      k2: 0,
      reach: 1,
      spread: 0,
    };
    for (const s0 of [500, 1500, 3000]) {
      const L = criticalDistance(1000, s0);
      const { line: mean, point } = asymptoticStress(crack, L);
      expect(off(mean.stress, s0)).toBeLessThan(1e-9);
      expect(off(point.stress, s0)).toBeLessThan(1e-9);
      expect(Math.abs(mean.angle)).toBeLessThan(1e-3);
    }
  });

  // Erdogan & Sih 1963: pure sliding turns a crack by acos(1/3) = 70.5°, where σ_θθ is 2/√3 K_II/√(2πr)
  test("a sliding crack's worst path is off its line by 70.5°", () => {
    const slide: CornerIntensity = {
      materialAngle: 2 * Math.PI,
      exponent1: 0.5,
      k1: 0,
      exponent2: 0.5,
      k2: 1,
      reach: 1,
      spread: 0,
    };
    const { point } = asymptoticStress(slide, 2);
    expect((Math.abs(point.angle) * 180) / Math.PI).toBeCloseTo(70.53, 1);
    expect(off(point.stress, 2 / Math.sqrt(3) / Math.sqrt(2 * Math.PI))).toBeLessThan(1e-6);
  });

  test("no toughness, no distance", () => {
    expect(() => criticalDistance(0, 1000)).toThrow(/must be positive/);
    expect(() => criticalDistance(1000, Number.NaN)).toThrow();
  });
});

/** Bar 0 ≤ x ≤ 4, 0 ≤ y ≤ 2 with a notch of opening `angle` cut to depth 1 in the middle of its top, pulled along x. */
function notchedBar(angle: number, tipSize: number, base: number) {
  const half = Math.tan(angle / 2);
  const outline: Outline = {
    loops: [
      [
        { name: "bottom", zone: "side", curve: line(0, 0, 4, 0) },
        { name: "right", zone: "rim", curve: line(4, 0, 4, 2) },
        { name: "top1", zone: "side", curve: line(4, 2, 2 + half, 2) },
        { name: "flank1", zone: "flank", curve: line(2 + half, 2, 2, 1) },
        { name: "flank2", zone: "flank", curve: line(2, 1, 2 - half, 2) },
        { name: "top2", zone: "side", curve: line(2 - half, 2, 0, 2) },
        { name: "left", zone: "rim", curve: line(0, 2, 0, 0) },
      ],
    ],
  };
  const mesh = meshOutline(outline, {
    size: outlineSize(outline, { base, sources: [{ x: 2, y: 1, size: tipSize }], least: 0 }),
  });
  const problem: Problem = {
    outline,
    mesh,
    material: { E: 205_000, nu: 0.29, state: "plane stress" },
    thickness: 1,
    loads: [
      { edges: ["right"], traction: [1, 0] },
      { edges: ["left"], traction: [-1, 0] },
    ],
    supports: [
      { point: [0, 0], u: 0, v: 0 },
      { point: [4, 0], v: 0 },
    ],
  };
  const solution = solveProblem(problem);
  const corner = cornerIntensity(problem, solution, {
    x: 2,
    y: 1,
    bisectorX: 0,
    bisectorY: -1,
    materialAngle: 2 * Math.PI - angle,
  });
  const at = evaluator(problem, solution, recoverStress(problem, solution)).stressAt;
  const paths = scanPaths(at, { x: 2, y: 1, dx: 0, dy: -1 }, { corner, least: 4 * tipSize, most: 0.9 });
  return { corner, paths };
}

/** Ellipse 2a long, root radius ρ, in a wide plate under tension 1 across it (Inglis 1913), read from the end of its long axis. */
function ellipseRoot(a: number, rho: number, most: number): RootPaths {
  const field = inglis(a, Math.sqrt(a * rho), 1);
  const at: StressSampler = (x, y, out) => {
    field(x, y, out);
    return true;
  };
  const straight = openingPath(at, a, 0, 1, 0, 0, { least: rho / 1000, most })!;
  return { corner: null, paths: [straight] };
}

describe("a slender notch", () => {
  // Creager & Paris 1967 checked against the exact ellipse: peak S (1 + 2 √(a/ρ))
  test.each(reference("sharp-corner", "creager-paris").filter(({ inputs }) => inputs["a_rho"] !== undefined))(
    "$id: a vanishing distance gives the exact peak",
    ({ inputs, expected }) => {
      const root = ellipseRoot(1, 1 / n(inputs["a_rho"]), 1);
      expect(off(pointStress(root, 1e-9).stress, expected["peakExactEllipse"]!)).toBeLessThan(1e-3);
    },
  );

  test("breaks, as its radius vanishes, at the K = S √(πa) of a crack, from above and ever nearer", () => {
    const a = 10;
    for (const L of [0.05, 0.2]) {
      // mean of S x/√(x² − a²) over 2L ahead of a crack
      const crack = Math.sqrt(a / L + 1);
      const misses = [0.2, 0.05, 0.01, 0.002].map(
        (rho) => lineStress(ellipseRoot(a, rho, 1), L).stress / crack - 1,
      );
      for (const [k, miss] of misses.entries())
        if (k > 0) expect(Math.abs(miss)).toBeLessThan(Math.abs(misses[k - 1]));
      expect(Math.abs(misses[3])).toBeLessThan(0.01);
      expect(off(crack * Math.sqrt(Math.PI * L), Math.sqrt(Math.PI * a))).toBeLessThan(0.011);
    }
  });
});

describe("a sharp root", () => {
  test("has a line-averaged stress that ten times smaller elements change by less than 1 %", () => {
    const meshes = [0.04, 0.02, 0.01, 0.004].map((size) => notchedBar(Math.PI / 2, size, 5 * size));
    const finest = meshes[3];
    for (const coarse of meshes) {
      expect(off(coarse.corner.k1, finest.corner.k1)).toBeLessThan(0.005);
      for (const L of [0.005, 0.02, 0.08, 0.2]) {
        expect(off(lineStress(coarse, L).stress, lineStress(finest, L).stress)).toBeLessThan(0.01);
      }
    }
  });

  test("has, close to its tip, the stress of its singular field", () => {
    const bar = notchedBar(Math.PI / 2, 1e-4, 0.1);
    for (const L of [0.001, 0.003]) {
      const { line: mean, point } = asymptoticStress(bar.corner, L);
      expect(off(lineStress(bar, L).stress, mean.stress)).toBeLessThan(0.01);
      expect(off(pointStress(bar, L).stress, point.stress)).toBeLessThan(0.01);
    }
  });

  // Tada et al. p. 2.11: F = 2.8246 at a/W = 0.5 for a long strip; here 4 long, and a notch 1° open
  test("cut as a slit, has the published K of a crack", () => {
    const { corner } = notchedBar(Math.PI / 180, 1e-3, 0.1);
    // the strip's ends, one width from the crack, are free to turn but carry even traction: + 0.4 % at most
    expect(off(corner.k1 / Math.sqrt(Math.PI), 2.8246)).toBeLessThan(0.01);
  });

  test("is where rounded roots tend to as their radius vanishes", () => {
    const sharp = rootOf(design(spline({ rootRadius: 0 })));
    for (const L of [0.1, 0.3, 1]) {
      const limit = lineStress(sharp, L).stress;
      const misses = [0.4, 0.2, 0.1, 0.05, 0.025].map(
        (rootRadius) => lineStress(rootOf(design(spline({ rootRadius }))), L).stress / limit - 1,
      );
      // from below, nearer with every halving
      for (const [k, miss] of misses.entries()) {
        expect(miss).toBeLessThan(0.003);
        if (k > 0) expect(Math.abs(miss)).toBeLessThan(Math.abs(misses[k - 1]) + 0.003);
      }
      expect(Math.abs(misses[4])).toBeLessThan(0.01);
    }
  });

  test("reads the same whether the torque was small or large", () => {
    const one = design(spline({ rootRadius: 0 }));
    const two = { ...one, load: { ...one.load, torque: 3 * one.load.torque } };
    const [a, b] = [rootOf(one, 2), rootOf(two, 2)];
    expect(off(a.corner!.k1, b.corner!.k1)).toBeLessThan(1e-9);
    expect(off(lineStress(a, 0.2).stress, lineStress(b, 0.2).stress)).toBeLessThan(1e-9);
  });
});

describe("openingPath", () => {
  test("integrates a square-root field to 1e-4 and ends where the material does", () => {
    const field: StressSampler = (x, _y, out) => {
      if (x > 2) return false;
      out[0] = 0;
      out[1] = 1 / Math.sqrt(x);
      out[2] = 0;
      return true;
    };
    // mean of x^(-1/2) from 0 to r is 2 r^(-1/2)
    const path = openingPath(field, 0, 0, 1, 0, 0, {
      least: 0.01,
      most: 5,
      tip: { opening: (r) => 1 / Math.sqrt(r), mean: (r) => 2 / Math.sqrt(r) },
    })!;
    expect(path.through).toBe(true);
    expect(path.distances[path.distances.length - 1]).toBeLessThanOrEqual(2);
    for (const r of [0.02, 0.1, 0.5, 1.5]) {
      expect(off(readPath(path, path.mean, r), 2 / Math.sqrt(r))).toBeLessThan(1e-3);
      expect(off(readPath(path, path.opening, r), 1 / Math.sqrt(r))).toBeLessThan(2e-3);
    }
  });
});

describe("a flaw in the root", () => {
  // Tada et al.: 1.1215 for an edge crack in a half plane
  test("under even stress has K = 1.1215 S √(πa) within 0.2 %", () => {
    for (const a of [0.01, 0.5])
      expect(
        off(
          flawIntensity(() => 7, a),
          1.1215 * 7 * Math.sqrt(Math.PI * a),
        ),
      ).toBeLessThan(0.002);
  });

  // factors of edge cracks in strips, computed to five digits (they equal remembered values of Kaya & Erdogan 1987)
  test.each([
    ["tension", "edge-crack-tension", () => 1],
    ["bending", "edge-crack-bending", (x: number) => 1 - 2 * x],
  ] as const)(
    "in a strip under %s is within 2 %% of the computed factor up to 0.6 of its thickness",
    (_, section, stress) => {
      const cases = reference("sharp-corner", section);
      expect(cases.length).toBeGreaterThan(6);
      for (const { inputs, expected } of cases) {
        const a = n(inputs["a_W"]);
        if (a > 0.6) continue;
        const found = flawIntensity(stress, a, 1) / Math.sqrt(Math.PI * a);
        expect(off(found, expected["F_computed"]!)).toBeLessThan(0.02);
      }
      // a strip ten times as thick, its stress as far stretched: lengths scale
      expect(
        off(
          flawIntensity((x) => stress(x / 10), 3, 10),
          Math.sqrt(10) * flawIntensity(stress, 0.3, 1),
        ),
      ).toBeLessThan(1e-12);
      expect(() => flawIntensity(stress, 0.7, 1)).toThrow(/0.7 mm in 1 mm/);
    },
  );

  // Bowie 1956, fit by Grandt: its own limit at a → 0 is 3.367 against the exact 3.364
  test.each(reference("sharp-corner", "hole-cracks").filter(({ inputs }) => n(inputs["a_r"]) <= 0.1))(
    "$id: a short crack from a hole is judged 0 to 9 % on the safe side",
    ({ inputs, expected }) => {
      const a = n(inputs["a_r"]);
      const root = holeRoot(1, 3);
      const intensity = flawUpTo(root, a, Infinity);
      const excess = intensity / Math.sqrt(Math.PI * a) / expected["F_single"]! - 1;
      expect(excess).toBeGreaterThan(0);
      expect(excess).toBeLessThan(0.09);
      // the straight path is the worst
      const straight = root.paths.find((path) => Math.abs(path.angle) < 1e-9)!;
      expect(intensity).toBe(flawIntensity(openingAt(root, straight), a));
    },
  );

  test("never makes a root stronger, and a vanishing one leaves it as it is", () => {
    const root = rootOf(design(spline()), 2);
    let before = Infinity;
    for (const a of [1e-6, 1e-4, 0.01, 0.05, 0.2]) {
      const torque = withFlaw(1000 / flawUpTo(root, a, Infinity), 3e6);
      expect(torque).toBeLessThanOrEqual(before);
      before = torque;
    }
    expect(off(withFlaw(1000 / flawUpTo(root, 1e-9, Infinity), 3e6), 3e6)).toBeLessThan(1e-3);
    expect(() => flawIntensity(() => 1, -0.1)).toThrow(/-0.1 mm/);
  });
});

describe("plastic limit", () => {
  // a rectangle's plastic moment b t² Sy/4 and shear b t Sy/√3
  test("is the plastic moment of a long tooth and the shear of a short one", () => {
    const force = (arm: number, power: number) =>
      plasticForce(10, { thickness: 4, arm, pull: 0 }, 1000, power);
    for (const power of [2, 4]) {
      expect(off(force(400, power), (10 * 16 * 1000) / 4 / 400)).toBeLessThan(1e-3);
      expect(off(force(1e-9, power), (40 * 1000) / Math.sqrt(3))).toBeLessThan(1e-6);
    }
    const between = [2, 4].map((power) => force(2, power));
    expect(between[0]).toBeLessThan(between[1]);
    expect(between[1]).toBeLessThan(40_000 / Math.sqrt(3));
  });

  test("two criteria: fracture where that is small, the limit where it is large, below both, rising in both", () => {
    expect(off(twoCriteria(0.01, 1), 0.01)).toBeLessThan(1e-4);
    expect(off(twoCriteria(5, 1), 1)).toBeLessThan(1e-6);
    for (const k of [0.1, 0.5, 1, 1.7, 3]) {
      expect(twoCriteria(k, 1)).toBeLessThan(Math.min(k, 1));
      expect(twoCriteria(1.01 * k, 1)).toBeGreaterThan(twoCriteria(k, 1));
      expect(twoCriteria(k, 1.01)).toBeGreaterThan(twoCriteria(k, 1));
    }
  });
});
