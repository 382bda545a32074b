import { describe, expect, test } from "vitest";
import {
  ELEMENT_BLOCKS,
  elasticity,
  elementBlocks,
  isStraight,
  RULE3,
  RULE6,
  SIDE_POINTS,
  SIDE_WEIGHTS,
  shapeSlopes,
  shapes,
} from "../../src/solver/triangle6.ts";

const factorial = (n: number): number => (n < 2 ? 1 : n * factorial(n - 1));
const straight = Float64Array.of(0, 0, 4, 1, 1, 3, 2, 0.5, 2.5, 2, 0.5, 1.5);
const curved = Float64Array.of(0, 0, 4, 1, 1, 3, 2, 0.1, 2.8, 2.3, 0.4, 1.6);
const ids = Uint32Array.of(0, 1, 2, 3, 4, 5);
const moduli = elasticity({ E: 210000, nu: 0.3, state: "plane stress" });

/** Full 12 × 12 matrix from the 21 blocks. */
function full(xy: Float64Array, thickness = 1): number[][] {
  const out = new Float64Array(ELEMENT_BLOCKS);
  elementBlocks(xy, ids, 0, moduli, thickness, out);
  const k = Array.from({ length: 12 }, () => new Array<number>(12).fill(0));
  let q = 0;
  for (let a = 0; a < 6; a++) {
    for (let b = 0; b <= a; b++, q += 4) {
      for (let r = 0; r < 2; r++) {
        for (let c = 0; c < 2; c++) {
          k[2 * a + r][2 * b + c] = out[q + 2 * c + r];
          k[2 * b + c][2 * a + r] = out[q + 2 * c + r];
        }
      }
    }
  }
  return k;
}

describe("integration rules", () => {
  // ∫ ξ^m η^n over the reference triangle = m! n! / (m + n + 2)!
  for (const [name, rule, degree] of [
    ["three points", RULE3, 2],
    ["six points", RULE6, 4],
  ] as const) {
    test(`${name} are exact on every monomial to degree ${degree}, not beyond`, () => {
      let beyond = 0;
      for (let d = 0; d <= degree + 1; d++) {
        for (let m = 0; m <= d; m++) {
          let sum = 0;
          for (let g = 0; g < rule.count; g++)
            sum += rule.weight[g] * rule.xi[g] ** m * rule.eta[g] ** (d - m);
          const exact = (factorial(m) * factorial(d - m)) / factorial(d + 2);
          if (d <= degree) expect(sum).toBeCloseTo(exact, 15);
          else beyond = Math.max(beyond, Math.abs(sum - exact));
        }
      }
      expect(beyond).toBeGreaterThan(1e-6);
    });
  }

  test("side points are exact to degree 9", () => {
    for (let d = 0; d <= 9; d++) {
      let sum = 0;
      for (let g = 0; g < SIDE_POINTS.length; g++) sum += SIDE_WEIGHTS[g] * SIDE_POINTS[g] ** d;
      expect(sum).toBeCloseTo(d % 2 === 0 ? 2 / (d + 1) : 0, 14);
    }
  });
});

describe("shape functions", () => {
  test("are 1 at their own node and 0 at the others, and their slopes are theirs", () => {
    const places = [
      [0, 0],
      [1, 0],
      [0, 1],
      [0.5, 0],
      [0.5, 0.5],
      [0, 0.5],
    ];
    const n = new Float64Array(6);
    for (const [a, [xi, eta]] of places.entries()) {
      shapes(xi, eta, n);
      for (let b = 0; b < 6; b++) expect(n[b] + 0).toBe(a === b ? 1 : 0);
    }
    const dXi = new Float64Array(6);
    const dEta = new Float64Array(6);
    const up = new Float64Array(6);
    const down = new Float64Array(6);
    const h = 1e-4;
    shapeSlopes(0.2, 0.3, dXi, dEta);
    shapes(0.2 + h, 0.3, up);
    shapes(0.2 - h, 0.3, down);
    for (let a = 0; a < 6; a++) expect(dXi[a]).toBeCloseTo((up[a] - down[a]) / (2 * h), 10);
    shapes(0.2, 0.3 + h, up);
    shapes(0.2, 0.3 - h, down);
    for (let a = 0; a < 6; a++) expect(dEta[a]).toBeCloseTo((up[a] - down[a]) / (2 * h), 10);
  });
});

describe("elementBlocks", () => {
  for (const [name, xy] of [
    ["straight", straight],
    ["curved", curved],
  ] as const) {
    test(`gives no force for shifts and small turns of a ${name} element`, () => {
      const k = full(xy);
      const scale = Math.max(...k.flat().map(Math.abs));
      const motions = [
        (_x: number, _y: number) => [1, 0],
        (_x: number, _y: number) => [0, 1],
        (x: number, y: number) => [-y, x],
      ];
      for (const motion of motions) {
        const u = [0, 1, 2, 3, 4, 5].flatMap((a) => motion(xy[2 * a], xy[2 * a + 1]));
        for (const row of k) {
          const f = row.reduce((s, v, j) => s + v * u[j], 0);
          expect(Math.abs(f)).toBeLessThan(1e-14 * 12 * 4 * scale);
        }
      }
    });

    test(`a ${name} element stretched evenly stores ½ σ:ε × area × thickness`, () => {
      const k = full(xy, 2.5);
      const [exx, eyy, gxy] = [1e-3, -4e-4, 7e-4];
      const u = [0, 1, 2, 3, 4, 5].flatMap((a) => [
        exx * xy[2 * a] + 0.5 * gxy * xy[2 * a + 1],
        eyy * xy[2 * a + 1] + 0.5 * gxy * xy[2 * a],
      ]);
      let energy = 0;
      for (let i = 0; i < 12; i++) for (let j = 0; j < 12; j++) energy += 0.5 * u[i] * k[i][j] * u[j];
      // area: triangle of the corners plus two thirds of chord × sagitta at each side (parabolic segments)
      const [x, y] = [(a: number) => xy[2 * a], (a: number) => xy[2 * a + 1]];
      let area = 0.5 * ((x(1) - x(0)) * (y(2) - y(0)) - (x(2) - x(0)) * (y(1) - y(0)));
      for (const [a, b, m] of [
        [0, 1, 3],
        [1, 2, 4],
        [2, 0, 5],
      ]) {
        const [cx, cy] = [x(b) - x(a), y(b) - y(a)];
        const [sx, sy] = [x(m) - (x(a) + x(b)) / 2, y(m) - (y(a) + y(b)) / 2];
        area += (2 / 3) * (sx * cy - sy * cx);
      }
      const { d11, d12, d33 } = moduli;
      const density = 0.5 * (d11 * (exx * exx + eyy * eyy) + 2 * d12 * exx * eyy + d33 * gxy * gxy);
      expect(energy / (density * area * 2.5)).toBeCloseTo(1, 13);
    });
  }

  test("closed form of straight sides equals integration at points", () => {
    expect(isStraight(straight, ids, 0)).toBe(true);
    expect(isStraight(curved, ids, 0)).toBe(false);
    // bent by so little that the general rule is used, yet the stiffness cannot tell
    const bent = straight.slice();
    bent[6] += 1e-9;
    expect(isStraight(bent, ids, 0)).toBe(false);
    const a = full(straight).flat();
    const b = full(bent).flat();
    const scale = Math.max(...a.map(Math.abs));
    for (let k = 0; k < a.length; k++) expect(Math.abs(a[k] - b[k])).toBeLessThan(1e-8 * scale);
  });

  test("far from the origin loses no digits", () => {
    const far = straight.map((v, k) => v + (k % 2 === 0 ? 4096 : -8192));
    const a = full(straight).flat();
    const b = full(far).flat();
    const scale = Math.max(...a.map(Math.abs));
    for (let k = 0; k < a.length; k++) expect(Math.abs(a[k] - b[k])).toBeLessThan(1e-14 * scale);
  });

  test("refuses an element that is inside out", () => {
    const out = new Float64Array(ELEMENT_BLOCKS);
    expect(() => elementBlocks(straight, Uint32Array.of(0, 2, 1, 5, 4, 3), 0, moduli, 1, out)).toThrow(
      "inside out",
    );
  });
});

describe("elasticity", () => {
  test("plane strain equals plane stress with E/(1 − ν²), ν/(1 − ν) (Timoshenko & Goodier art. 12, from memory)", () => {
    const a = elasticity({ E: 210000, nu: 0.3, state: "plane strain" });
    // from Lamé's constants: λ = Eν/((1 + ν)(1 − 2ν)), μ = E/(2(1 + ν))
    const mu = 210000 / 2.6;
    const lambda = (210000 * 0.3) / (1.3 * 0.4);
    expect(a.d11).toBeCloseTo(lambda + 2 * mu, 6);
    expect(a.d12).toBeCloseTo(lambda, 6);
    expect(a.d33).toBeCloseTo(mu, 6);
  });

  test("names what cannot be", () => {
    expect(() => elasticity({ E: -1, nu: 0.3, state: "plane stress" })).toThrow("E = -1");
    expect(() => elasticity({ E: 1, nu: 0.5, state: "plane stress" })).toThrow("nu = 0.5");
  });
});
