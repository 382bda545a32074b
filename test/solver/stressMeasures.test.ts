import fc from "fast-check";
import { EigenvalueDecomposition, Matrix } from "ml-matrix";
import { describe, expect, test } from "vitest";
import {
  firstPrincipal,
  type Material,
  outOfPlaneStress,
  principalAngle,
  secondPrincipal,
  vonMises,
} from "../../src/solver/index.ts";

const stress: Material = { E: 210000, nu: 0.3, state: "plane stress" };
const strain: Material = { ...stress, state: "plane strain" };
const value = fc.integer({ min: -7200, max: 7200 }).map((k) => k / 8);
const runs = { seed: 41, numRuns: 200 };

describe("principal stresses", () => {
  test("are the eigenvalues of the stress tensor, and their angle its eigenvector (ml-matrix)", () => {
    fc.assert(
      fc.property(value, value, value, (sxx, syy, sxy) => {
        const e = new EigenvalueDecomposition(
          new Matrix([
            [sxx, sxy],
            [sxy, syy],
          ]),
        ).realEigenvalues.sort((a, b) => a - b);
        expect(Math.abs(firstPrincipal(sxx, syy, sxy) - e[1])).toBeLessThan(1e-10);
        expect(Math.abs(secondPrincipal(sxx, syy, sxy) - e[0])).toBeLessThan(1e-10);
        const a = principalAngle(sxx, syy, sxy);
        const [c, s] = [Math.cos(a), Math.sin(a)];
        expect(Math.abs(sxx * c * c + syy * s * s + 2 * sxy * s * c - e[1])).toBeLessThan(1e-9);
      }),
      runs,
    );
  });
});

describe("von Mises stress", () => {
  test("is the stress in a pulled bar, √3 times a pure shear, nothing under even pressure in plane strain of ν = ½", () => {
    // Timoshenko & Goodier / any text on yield (from memory): definition by the second invariant of the deviator
    expect(vonMises(250, 0, 0, stress)).toBeCloseTo(250, 12);
    expect(vonMises(0, 0, 40, stress)).toBeCloseTo(40 * Math.sqrt(3), 12);
    expect(vonMises(-80, -80, 0, { ...strain, nu: 0.4999999 })).toBeLessThan(1e-4);
  });

  test("is √(3/2 s:s) of the full deviator, with σzz = ν(σxx + σyy) in plane strain", () => {
    fc.assert(
      fc.property(value, value, value, fc.constantFrom(stress, strain), (sxx, syy, sxy, material) => {
        const szz = material.state === "plane strain" ? 0.3 * (sxx + syy) : 0;
        expect(outOfPlaneStress(material, sxx, syy)).toBeCloseTo(szz, 12);
        const mean = (sxx + syy + szz) / 3;
        const ss = (sxx - mean) ** 2 + (syy - mean) ** 2 + (szz - mean) ** 2 + 2 * sxy * sxy;
        expect(Math.abs(vonMises(sxx, syy, sxy, material) - Math.sqrt(1.5 * ss))).toBeLessThan(1e-9);
      }),
      runs,
    );
  });
});
