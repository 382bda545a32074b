import { describe, expect, test } from "vitest";
import { answerDesign } from "../../src/answer/index.ts";
import { readPart } from "../../src/design/index.ts";
import { assess, wallBand, wallForces, wallTorque } from "../../src/strength/index.ts";
import { design, rootOf, spline } from "./roots.ts";

const off = (a: number, b: number): number => Math.abs(a / b - 1);

describe("forces across a ring's wall", () => {
  const [a, b, width] = [20, 27, 16];

  // thick ring under inner pressure p (Lamé 1852): the hoop force across one wall is p a b', whatever the angle, and there is no shear
  test("of a ring under pressure are those of equilibrium", () => {
    const p = 30;
    const lame = (place: Float64Array, out: Float64Array): boolean => {
      const r2 = place[0]! ** 2 + place[1]! ** 2;
      const k = (p * a * a) / (b * b - a * a);
      const [radial, hoop] = [k * (1 - (b * b) / r2), k * (1 + (b * b) / r2)];
      const [c, s] = [place[0]! / Math.sqrt(r2), place[1]! / Math.sqrt(r2)];
      out[0] = radial * c * c + hoop * s * s;
      out[1] = radial * s * s + hoop * c * c;
      out[2] = (radial - hoop) * s * c;
      return true;
    };
    for (const angle of [0.2, 1.9, 4]) {
      const forces = wallForces(lame, { x: 0, angle, from: a, to: b }, width, 1);
      expect(off(forces.normal, p * a * width)).toBeLessThan(1e-9);
      expect(Math.abs(forces.shear)).toBeLessThan(1e-9 * forces.normal);
    }
  });

  // curved bar under end moments (S. Timoshenko and J. N. Goodier, Theory of Elasticity, art. 29): hoop force none, moment M
  test("of a curved bar in bending are its moment alone", () => {
    const M = 5000;
    const N = (b * b - a * a) ** 2 - 4 * a * a * b * b * Math.log(b / a) ** 2;
    const bar = (place: Float64Array, out: Float64Array): boolean => {
      const r = Math.hypot(place[0]!, place[1]!);
      const hoop =
        ((-4 * M) / (N * width)) *
        (((-a * a * b * b) / (r * r)) * Math.log(b / a) +
          b * b * Math.log(r / b) +
          a * a * Math.log(a / r) +
          b * b -
          a * a);
      const [c, s] = [place[0]! / r, place[1]! / r];
      out[0] = hoop * s * s;
      out[1] = hoop * c * c;
      out[2] = -hoop * s * c;
      return true;
    };
    const { normal, moment } = wallForces(bar, { x: 0, angle: 0.7, from: a, to: b }, width, 1);
    expect(off(Math.abs(moment), M)).toBeLessThan(1e-8);
    expect(Math.abs(normal)).toBeLessThan((1e-7 * M) / (b - a));
  });
});

describe("forces across a base", () => {
  // cantilever of unit width under an end force (S. Timoshenko and J. N. Goodier, Theory of Elasticity, art. 21), with a pull added
  test("are those of a cantilever: its shear force, and the moment of its length", () => {
    const [depth, V, pull] = [6, 40, 90];
    const I = depth ** 3 / 12;
    const cantilever = (place: Float64Array, out: Float64Array): boolean => {
      const y = place[1]! + depth / 2;
      out[0] = pull / depth - (V * place[0]! * y) / I;
      out[1] = 0;
      out[2] = (-V * ((depth / 2) ** 2 - y * y)) / (2 * I);
      return true;
    };
    for (const x of [3, 11]) {
      const forces = wallForces(cantilever, { x, angle: Math.PI / 2, from: -depth, to: 0 }, 1, 1);
      expect(off(forces.normal, pull)).toBeLessThan(1e-9);
      expect(off(Math.abs(forces.shear), V)).toBeLessThan(1e-9);
      expect(off(Math.abs(forces.moment), V * x)).toBeLessThan(1e-9);
    }
  });
});

describe("a thin base", () => {
  const stands = [0.91, 1.1, 1.5].map((base) => {
    const text = `part: Dogs
profile: { kind: face tooth, teeth: 5, mean diameter: 55 mm, face width: 9 mm, height: 4.5 mm, drive flank angle: 2 deg, ramp angle: 31 deg, root radius: 0.5 mm, base thickness: ${base} mm }
load: { torque: 690 N m, teeth sharing: 100 % }
steel: { grade: 4340, hardness: 22..24 HRC }
strength: { shocks: 10000 }
`;
    return answerDesign(readPart(text, "dogs.yaml").designs[0]!).result.capacity!;
  });

  test("governs, and stands the less the thinner it is", () => {
    for (const { governing } of stands) expect(governing.title).toBe("base between the teeth fully plastic");
    for (let k = 1; k < stands.length; k++)
      expect(stands[k]!.stands.low).toBeGreaterThan(1.2 * stands[k - 1]!.stands.low);
    expect(stands[0]!.margin.low).toBeLessThan(0.5);
  });

  // the base carries its tooth's force F = T/(N R) to the back evenly, so half of F at most runs along it in the gap: no less than that in
  // tension, and no more than its share of bending lets it
  test("stands no more than half a tooth's force along it alone would leave", () => {
    const { low } = stands[0]!.modes.find(({ id }) => id === "wall section")!.torque!;
    const yieldLow = 690;
    expect(low).toBeLessThan(2 * 5 * 27.5 * 0.91 * 9 * yieldLow);
  });
});

describe("what is left of a thin base", () => {
  const at = (more: string, strength: string, size = "teeth: 6, height: 4.5 mm, base thickness: 3 mm") => {
    const text = `part: Dogs
profile: { kind: face tooth, ring: kept flat, mean diameter: 55 mm, face width: 9 mm, ${size}, ${more} }
load: { torque: 300 N m, teeth sharing: 100 % }
steel: { grade: 4340, hardness: 22..24 HRC }
strength: { shocks: 1${strength} }
`;
    const { capacity } = answerDesign(readPart(text, "dogs.yaml").designs[0]!).result;
    const low = (id: string) => capacity!.modes.find((mode) => mode.id === id)!.torque!.low;
    return { wall: low("wall section"), flawed: strength ? low("flaw fracture") : 0 };
  };

  // b w² in bending: a third off leaves no more than four ninths
  test("under a flaw is no more than the section without its depth", () => {
    const { wall } = at("root radius: 0.4 mm", "");
    const shares = [0.3, 0.6, 1].map(
      (depth) => at("root radius: 0.4 mm", `, flaw depth: ${depth} mm`).flawed / wall,
    );
    expect(shares[2]).toBeLessThan(4 / 9);
    expect(shares[0]).toBeLessThan((2.7 / 3) ** 2);
    expect(shares[1]).toBeLessThan(shares[0]!);
  });

  // a flaw makes another section the worst than the one that gives in first without it; its forces must count then
  test("does not fall as the base grows thicker", () => {
    const size = "teeth: 12, mean diameter: 60 mm, face width: 10 mm, height: 3.14 mm, tip land: 11.55 mm";
    const flanks = "drive flank angle: 11.622 deg, over-run flank angle: 0 deg";
    const flawed = [1.12, 1.128, 1.132, 1.136, 1.144, 1.16].map((base) => {
      const text = `part: Dogs
profile: { kind: face tooth, ring: kept flat, ${size}, ${flanks}, drive root radius: 0.198 mm, over-run root radius: 0.341 mm, base thickness: ${base} mm, contact: { from: 1.317 mm, to: 2.899 mm } }
load: { torque: 300 N m, teeth sharing: 50 %, friction: -0.1 }
steel: { grade: 4140, hardness: 22..24 HRC }
strength: { shocks: 1, flaw depth: 0.482 mm }
`;
      const { modes } = answerDesign(readPart(text, "dogs.yaml").designs[0]!).result.capacity!;
      return modes.find((mode) => mode.id === "flaw fracture")!.torque!.low;
    });
    for (let k = 1; k < flawed.length; k++) expect(flawed[k]! / flawed[k - 1]!).toBeGreaterThan(0.998);
  });

  test("is judged with its fillets, so that a radius takes nothing from it", () => {
    const walls = [0.1, 0.4, 0.8, 1.2].map((radius) => at(`root radius: ${radius} mm`, "").wall);
    for (let k = 1; k < walls.length; k++) {
      expect(walls[k]! / walls[k - 1]!).toBeGreaterThan(0.995);
      expect(walls[k]! / walls[k - 1]!).toBeLessThan(1.06);
    }
    // a full fillet leaves no land: its foot, thicker than the base by a little, carries on
    const tall = (radius: string) =>
      at(`root radius: ${radius}`, "", "teeth: 12, height: 7 mm, base thickness: 1.5 mm").wall;
    expect(tall("full") / tall("0")).toBeLessThan(2.5);
  });
});

// next to the bore of a shaft the torque's own shear outweighs all else a thousand times
test("a shaft with a tiny bore has a wall as thick as it is", () => {
  for (const bore of [0.2, 1]) {
    const text = `part: Shaft
profile: { kind: external spline, teeth: 12, module: 2 mm, pressure angle: 30 deg, root radius: 0.4 mm, face width: 16 mm, bore diameter: ${bore} mm }
load: { torque: 400 N m, teeth sharing: 50 % }
steel: { grade: 4340, hardness: 40..44 HRC }
`;
    const { modes } = answerDesign(readPart(text, "shaft.yaml").designs[0]!).result.capacity!;
    const low = (id: string) => modes.find((mode) => mode.id === id)!.torque!.low;
    expect(low("wall section")).toBeGreaterThan(2 * low("plastic section"));
  }
});

describe("the wall's plastic limit", () => {
  // textbook limits of a rectangle: b w Sy in tension, b w² Sy / 4 in bending, b w Sy / √3 in shear
  test("is that of a rectangular section in each of tension, bending and shear", () => {
    const [w, b, Sy] = [3, 16, 700];
    const none = { normal: 0, shear: 0, moment: 0 };
    expect(off(wallTorque({ ...none, normal: -2e-3 }, w, b, Sy), (w * b * Sy) / 2e-3)).toBeLessThan(1e-12);
    expect(off(wallTorque({ ...none, moment: 0.01 }, w, b, Sy), (w * w * b * Sy) / 4 / 0.01)).toBeLessThan(
      1e-12,
    );
    expect(
      off(wallTorque({ ...none, shear: 1e-3 }, w, b, Sy), (w * b * Sy) / Math.sqrt(3) / 1e-3),
    ).toBeLessThan(1e-12);
    expect(wallTorque(none, w, b, Sy)).toBe(Number.POSITIVE_INFINITY);
    // half the tension limit leaves three quarters of the moment's: 1 − n²
    const [n, m] = [0.5 * w * b * Sy, (0.75 * w * w * b * Sy) / 4];
    expect(off(wallTorque({ normal: n, shear: 0, moment: m }, w, b, Sy), 1)).toBeLessThan(1e-12);
    const band = wallBand({ ...none, moment: 0.01 }, w, b, { low: 600, high: 800 }, true);
    expect(off(band.high / band.low, (1.2 * 2 * 800) / (Math.sqrt(3) * 600))).toBeLessThan(1e-12);
    // plane strain does not raise the yield strength in shear, which is Sy/√3 in either state (plasticity textbooks, from memory)
    const sheared = wallBand({ ...none, shear: 1e-3 }, w, b, { low: 600, high: 800 }, true);
    expect(off(sheared.high, (w * b * 800) / Math.sqrt(3) / 1e-3)).toBeLessThan(1e-12);
  });

  // collapse computed apart from this program: perfectly plastic plane stress, six-node triangles, between the last load that converged and
  // the first that did not, at the yield strength beside it, N·m. The low end of the mode is a bound below it
  test.each([
    [
      "ten straight teeth on a thin ring, all alike",
      `profile: { kind: internal spline, flank: straight, teeth: 10, flank angle: 18 deg, tooth width: 7 mm, tip diameter: 40 mm,
  root diameter: 46 mm, rim diameter: 49 mm, root radius: 0.5 mm, face width: 20 mm }
load: { torque: 1000 N m, teeth sharing: 100 % }`,
      718,
      [3500, 3800],
    ],
    [
      "a thin ring with three loaded teeth",
      `profile: { kind: internal spline, teeth: 17, module: 2 mm, rim diameter: 41 mm, root diameter: 37 mm, tip diameter: 32.4 mm,
  root radius: 0.4 mm, face width: 16 mm }
load: { torque: 200 N m, tooth loads: { 1: 55 %, 4: 25 %, 11: 20 % } }`,
      631,
      [130, 150],
    ],
  ] as const)(
    "of %s is no more than its computed collapse, and no less than 0.8 of it",
    (_, text, Sy, [from, to]) => {
      const [asked] = readPart(`part: ring\n${text}\n`, "ring.yaml").designs;
      const { walls, tooth } = answerDesign(asked!).result.rootField!;
      const torque =
        Math.min(...walls.map((one) => wallTorque(one, one.thickness, tooth.faceWidth, Sy))) / 1000;
      expect(torque).toBeLessThan(to);
      expect(torque).toBeGreaterThan(0.8 * from);
    },
  );

  test("keeps fracture and fatigue under it, and governs where the ring is thin", () => {
    const thin = rootOf(design(spline({ backDiameter: 39 })));
    const found = assess(
      thin,
      { grade: "4340", hardnessLow: 22, hardnessHigh: 24 },
      { requiredTorque: 1e6, shocks: 1 },
    );
    if (!("capacity" in found)) throw new Error("refused");
    const { modes, governing } = found.capacity;
    const lowOf = (id: string) => modes.find((mode) => mode.id === id)!.torque!.low;
    expect(governing.id).toBe("wall section");
    for (const id of ["root fracture", "fatigue"])
      expect(lowOf(id)).toBeLessThanOrEqual(lowOf("wall section") * (1 + 1e-12));
    expect(lowOf("plastic section")).toBeGreaterThan(lowOf("wall section"));
  });
});

// the plane model takes a shaft's torque at the bore, where the shear of a small one is huge and none of a crack's
test("a smaller bore does not let a crack from the root run sooner", () => {
  const fracture = [6.4, 4, 2].map((bore) => {
    const text = `part: Shaft
profile: { kind: external spline, teeth: 6, module: 3 mm, pressure angle: 30 deg, root radius: 0, face width: 16 mm, bore diameter: ${bore} mm }
load: { torque: 100 N m, shock factor: 1.8, teeth sharing: one tooth }
steel: { grade: 4340, hardness: 30..32 HRC }
strength: { shocks: 1 }
`;
    const { capacity } = answerDesign(readPart(text, "shaft.yaml").designs[0]!).result;
    return capacity!.modes.find(({ id }) => id === "root fracture")!.torque!;
  });
  for (const { low, high } of fracture.slice(1)) {
    expect(off(low, fracture[0]!.low)).toBeLessThan(0.01);
    expect(off(high, fracture[0]!.high)).toBeLessThan(0.01);
  }
});

test("drilling out a shaft does not make it stand more: its torque runs along it, not to the bore", () => {
  const stands = [3, 6, 10, 16].map((bore) => {
    const text = `part: Shaft
profile: { kind: external spline, teeth: 20, module: 1.5 mm, root form: fillet, root radius: 0.4 mm, face width: 20 mm, bore diameter: ${bore} mm }
load: { torque: 400 N m, teeth sharing: 50 % }
steel: { grade: 4340, hardness: 40..44 HRC }
strength: { shocks: 100 }
`;
    const { capacity } = answerDesign(readPart(text, "shaft.yaml").designs[0]!).result;
    expect(capacity!.governing.id).toBe("shaft twist");
    return capacity!.stands.low;
  });
  for (let k = 1; k < stands.length; k++) expect(stands[k]).toBeLessThan(stands[k - 1]!);
});

describe("a wall too thin for the critical distance", () => {
  const stands = (rim: number, hardness: string) => {
    const text = `part: Ring
profile: { kind: internal spline, teeth: 24, module: 1 mm, root form: flat, root radius: 0.2 mm, face width: 10 mm, rim diameter: ${rim} mm }
load: { torque: 100 N m, teeth sharing: 50 % }
steel: { grade: 4340, hardness: ${hardness} }
strength: { shocks: 1 }
`;
    return answerDesign(readPart(text, "ring.yaml").designs[0]!).result.capacity!.stands;
  };

  test("makes no step in what the part stands: thinner is weaker, by little at a time", () => {
    const all = Array.from({ length: 8 }, (_, k) => stands(27.3 + 0.05 * k, "46..48 HRC"));
    for (let k = 1; k < all.length; k++)
      for (const end of ["low", "high"] as const) {
        expect(all[k]![end] / all[k - 1]![end]).toBeGreaterThan(1);
        expect(all[k]![end] / all[k - 1]![end]).toBeLessThan(1.03);
      }
  });

  test("nor does a tougher steel: a tenth of an HRC is no more than a hundredth of the torque", () => {
    const all = Array.from({ length: 8 }, (_, k) => stands(27.4, `${(46.6 + 0.1 * k).toFixed(1)} HRC`).low);
    for (let k = 1; k < all.length; k++) expect(Math.abs(all[k]! / all[k - 1]! - 1)).toBeLessThan(0.01);
  });
});

test("no band is told the wrong way round, though the model's reaction raises the stress towards a small bore", () => {
  for (const bore of [0.3, 0.7, 2]) {
    const text = `part: Shaft
profile: { kind: external spline, teeth: 6, module: 2 mm, pressure angle: 37.5 deg, root form: fillet, root radius: 0.4 mm, face width: 10 mm, bore diameter: ${bore} mm }
load: { torque: 100 N m, teeth sharing: 50 % }
steel: { grade: 4340, hardness: 34..36 HRC }
strength: { shocks: 1000 }
`;
    const { modes, stands } = answerDesign(readPart(text, "shaft.yaml").designs[0]!).result.capacity!;
    for (const { torque } of [...modes, { torque: stands }])
      if (torque) expect(torque.low).toBeLessThanOrEqual(torque.high);
  }
});
