import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { arc, line, type Outline } from "../../src/geometry/index.ts";
import { meshOutline, outlineSize } from "../../src/mesh/index.ts";
import { type EdgeLoad, type Problem, type Support, solveProblem } from "../../src/solver/index.ts";
import { cornerIntensity } from "../../src/strength/field/cornerIntensity.ts";
import { cornerField, williamsExponent } from "../../src/strength/field/williams.ts";

interface Case {
  readonly id: string;
  readonly section: string;
  readonly inputs: Readonly<Record<string, number>>;
  readonly expected: Readonly<Record<string, number>>;
}
const { cases } = JSON.parse(
  readFileSync(new URL("../../fixtures/reference/sharp-corner.json", import.meta.url), "utf8"),
) as { cases: readonly Case[] };
const of = (section: string) => cases.filter((known) => known.section === section);
const radians = (degrees: number) => (degrees * Math.PI) / 180;
const steel = { E: 205_000, nu: 0.29 } as const;

describe("williamsExponent", () => {
  // Williams 1952, solved there to 30 digits
  test.each(of("williams").filter((known) => known.inputs["materialDeg"] !== undefined))(
    "$id in both modes",
    ({ inputs, expected }) => {
      const w = radians(inputs["materialDeg"]!);
      expect(Math.abs(williamsExponent(w, "opening") - expected["lambda1"]!)).toBeLessThan(1e-9);
      if (expected["lambda2"] !== undefined)
        expect(Math.abs(williamsExponent(w, "sliding") - expected["lambda2"])).toBeLessThan(1e-9);
    },
  );

  test("the sliding mode stops being singular at the opening where the reference has it", () => {
    const { expected } = of("williams").find(({ id }) => id === "williams/lambda2_is_1")!;
    const w = radians(360 - expected["openingDeg"]!);
    expect(williamsExponent(w, "sliding")).toBeCloseTo(1, 6);
  });

  test("is refused where the corner does not re-enter", () => {
    expect(() => williamsExponent(3)).toThrow(/not between π and 2π/);
    expect(() => williamsExponent(6.4)).toThrow(/6.4 rad/);
    expect(() => williamsExponent(Number.NaN)).toThrow();
  });
});

describe("cornerField", () => {
  // Williams 1952, exact field normalised on the bisector
  test.each(of("williams-field"))("$id is the exact field", ({ inputs, expected }) => {
    const w = radians(360 - inputs["openingDeg"]!);
    const field = cornerField(w, williamsExponent(w), "opening");
    const s = new Float64Array(3);
    for (const degrees of [0, 30, 60, 90]) {
      field.stress(radians(degrees), s);
      expect(s[0]).toBeCloseTo(expected[`sr_r1_th${degrees}`]!, 7);
      expect(s[1]).toBeCloseTo(expected[`st_r1_th${degrees}`]!, 7);
      expect(s[2]).toBeCloseTo(expected[`srt_r1_th${degrees}`]!, 7);
    }
  });

  test.each([240, 270, 300, 330, 360])(
    "leaves both surfaces free, %d° of material, either sign",
    (degrees) => {
      const w = radians(degrees);
      const s = new Float64Array(3);
      for (const mode of ["opening", "sliding"] as const) {
        const l = williamsExponent(w, mode);
        for (const exponent of [l, -l]) {
          const field = cornerField(w, exponent, mode);
          for (const theta of [-w / 2, w / 2]) {
            field.stress(theta, s);
            expect(Math.abs(s[1])).toBeLessThan(1e-12);
            expect(Math.abs(s[2])).toBeLessThan(1e-12);
          }
        }
      }
    },
  );

  // K. Kolosov's constant of plane strain; Hooke's law by differences of the displacement
  test.each([270, 315, 360])("its displacement strains as its stress asks, %d° of material", (degrees) => {
    const w = radians(degrees);
    const nu = 0.29;
    const kappa = 3 - 4 * nu;
    for (const mode of ["opening", "sliding"] as const) {
      const l = williamsExponent(w, mode);
      for (const exponent of [l, -l]) {
        const field = cornerField(w, exponent, mode);
        const u = new Float64Array(2);
        const at = (x: number, y: number): [number, number] => {
          field.displacement(Math.atan2(y, x), kappa, u);
          const grow = Math.hypot(x, y) ** exponent;
          return [u[0] * grow, u[1] * grow];
        };
        const [x, y, h] = [0.7, 0.5, 1e-5];
        const [ex, ey] = [at(x + h, y), at(x, y + h)];
        const [wx, wy] = [at(x - h, y), at(x, y - h)];
        // 2G ε
        const exx = (ex[0] - wx[0]) / (2 * h);
        const eyy = (ey[1] - wy[1]) / (2 * h);
        const exy = (ey[0] - wy[0] + ex[1] - wx[1]) / (4 * h);
        const s = new Float64Array(3);
        const theta = Math.atan2(y, x);
        field.stress(theta, s);
        const grow = Math.hypot(x, y) ** (exponent - 1);
        const [c, n] = [Math.cos(theta), Math.sin(theta)];
        const sxx = grow * (c * c * s[0] + n * n * s[1] - 2 * n * c * s[2]);
        const syy = grow * (n * n * s[0] + c * c * s[1] + 2 * n * c * s[2]);
        const sxy = grow * (n * c * (s[0] - s[1]) + (c * c - n * n) * s[2]);
        const share = nu * (sxx + syy);
        expect(exx).toBeCloseTo(sxx - share, 6);
        expect(eyy).toBeCloseTo(syy - share, 6);
        expect(exy).toBeCloseTo(sxy, 6);
      }
    }
  });
});

/** Disc of radius 1 with a notch cut to its centre, the notch opening on the −x side; edges "low", "rim", "high". */
function notchedDisc(w: number): Outline {
  const [c, s] = [Math.cos(w / 2), Math.sin(w / 2)];
  return {
    loops: [
      [
        { name: "low", zone: "flank", curve: line(0, 0, c, -s) },
        { name: "rim", zone: "rim", curve: arc(0, 0, 1, -w / 2, w / 2) },
        { name: "high", zone: "flank", curve: line(c, s, 0, 0) },
      ],
    ],
  };
}

function solve(
  outline: Outline,
  loads: EdgeLoad[],
  supports: Support[],
  h: number,
  tip: [number, number],
  tipSize: number,
  base = h,
) {
  const size = outlineSize(outline, { base, sources: [{ x: tip[0], y: tip[1], size: tipSize }], least: 0 });
  const mesh = meshOutline(outline, { size });
  const problem: Problem = {
    outline,
    mesh,
    material: { ...steel, state: "plane strain" },
    thickness: 1,
    loads,
    supports,
  };
  return { problem, solution: solveProblem(problem) };
}

describe("cornerIntensity", () => {
  /** A disc round a corner under the traction of its own closed-form field (Williams 1952), both modes at once where both are singular. */
  function imposed(w: number, h: number) {
    const one = cornerField(w, williamsExponent(w), "opening");
    const two = cornerField(w, williamsExponent(w, "sliding"), "sliding");
    const [k1, k2] = [3, two.exponent < 1 ? -2 : 0];
    const s = new Float64Array(3);
    const traction: EdgeLoad = {
      edges: ["rim"],
      traction: (x, y, _nx, _ny, out) => {
        const theta = Math.atan2(y, x);
        const [c, n] = [Math.cos(theta), Math.sin(theta)];
        one.stress(theta, s);
        let [rr, rt] = [k1 * s[0], k1 * s[2]];
        two.stress(theta, s);
        rr += k2 * s[0];
        rt += k2 * s[2];
        out[0] = (rr * c - rt * n) / Math.sqrt(2 * Math.PI);
        out[1] = (rr * n + rt * c) / Math.sqrt(2 * Math.PI);
      },
    };
    const supports: Support[] = [
      { point: [0, 0], u: 0, v: 0 },
      { point: [1, 0], v: 0 },
    ];
    const corner = { x: 0, y: 0, bisectorX: 1, bisectorY: 0, materialAngle: w };
    return { ...solve(notchedDisc(w), [traction], supports, h, [0, 0], 1e-4), corner, k1, k2 };
  }

  test.each([
    [270, 0.1],
    [300, 0.1],
    [240, 0.1],
    [262, 0.1],
    [315, 0.05],
    [358, 0.1],
  ])("gives back an imposed field within 0.5 percent: %d° of material, elements of %d", (degrees, h) => {
    const { problem, solution, corner, k1, k2 } = imposed(radians(degrees), h);
    const found = cornerIntensity(problem, solution, corner);
    expect(Math.abs(found.k1 / k1 - 1)).toBeLessThan(0.005);
    expect(found.spread).toBeLessThan(0.005);
    if (k2 !== 0) expect(Math.abs(found.k2! / k2 - 1)).toBeLessThan(0.005);
    else expect(found.k2).toBeNull();
  });

  // a part that turns as a whole is strained no more; near 257.5° the sliding field is all but a turn itself
  test.each([258, 262, 270, 315])(
    "knows nothing of how far its surroundings have turned and moved, %d° of material",
    (degrees) => {
      const { problem, solution, corner } = imposed(radians(degrees), 0.1);
      const { xy } = problem.mesh;
      const most = Math.max(...solution.displacement.map(Math.abs));
      // a thousand times what the part itself gives way
      const turn = 1000 * most;
      const moved = solution.displacement.map((d, k) =>
        k % 2 === 0 ? d + turn * (0.3 - xy[k + 1]!) : d + turn * (xy[k - 1]! - 0.7),
      );
      const [own, turned] = [solution.displacement, moved].map((displacement) =>
        cornerIntensity(problem, { displacement }, corner),
      );
      expect(Math.abs(turned!.k1 / own!.k1 - 1)).toBeLessThan(1e-7);
      expect(Math.abs(turned!.k2! / own!.k2! - 1)).toBeLessThan(1e-7);
    },
  );

  const half = { materialAngle: 2 * Math.PI, half: true } as const;
  /** K / (S √(π a)) of a strip of width 1 with an edge crack of depth a, half modelled; `end` is sxx... along the strip's end. */
  function edgeCrack(a: number, end: (x: number) => number): number {
    // crack from x = 0 to a on y = 0, strip 0 ≤ x ≤ 1, 0 ≤ y ≤ 4
    const outline: Outline = {
      loops: [
        [
          { name: "crack", zone: "flank", curve: line(0, 0, a, 0) },
          { name: "ligament", zone: "cut", curve: line(a, 0, 1, 0) },
          { name: "back", zone: "flank", curve: line(1, 0, 1, 4) },
          { name: "end", zone: "rim", curve: line(1, 4, 0, 4) },
          { name: "front", zone: "flank", curve: line(0, 4, 0, 0) },
        ],
      ],
    };
    const load: EdgeLoad = {
      edges: ["end"],
      traction: (x, _y, _nx, _ny, out) => {
        out[0] = 0;
        out[1] = end(x);
      },
    };
    const supports: Support[] = [
      { edges: ["ligament"], v: 0 },
      { point: [1, 0], u: 0 },
    ];
    const { problem, solution } = solve(outline, [load], supports, a / 4, [a, 0], 1e-4, 0.25);
    const found = cornerIntensity(problem, solution, { x: a, y: 0, bisectorX: 1, bisectorY: 0, ...half });
    expect(found.spread).toBeLessThan(0.005);
    return found.k1 / Math.sqrt(Math.PI * a);
  }

  // Tada, Paris & Irwin p. 2.11, factor computed to 5 digits
  test.each(of("edge-crack-tension"))(
    "$id: K of an edge crack in tension within 0.5 %",
    ({ inputs, expected }) => {
      expect(Math.abs(edgeCrack(inputs["a_W"]!, () => 1) / expected["F_computed"]! - 1)).toBeLessThan(0.005);
    },
  );

  // Tada et al. p. 2.13; Brown & Srawley 1966, factor computed to 5 digits
  test.each(of("edge-crack-bending"))(
    "$id: K of an edge crack in bending within 0.5 %",
    ({ inputs, expected }) => {
      expect(
        Math.abs(edgeCrack(inputs["a_W"]!, (x) => 1 - 2 * x) / expected["F_computed"]! - 1),
      ).toBeLessThan(0.005);
    },
  );

  // Isida; Feddersen 1966, factor computed to 5 digits; quarter of the strip
  test.each(of("centre-crack"))("$id: K of a central crack within 0.5 %", ({ inputs, expected }) => {
    const a = inputs["twoA_W"]! / 2;
    const outline: Outline = {
      loops: [
        [
          { name: "crack", zone: "flank", curve: line(0, 0, a, 0) },
          { name: "ligament", zone: "cut", curve: line(a, 0, 0.5, 0) },
          { name: "side", zone: "flank", curve: line(0.5, 0, 0.5, 2) },
          { name: "end", zone: "rim", curve: line(0.5, 2, 0, 2) },
          { name: "middle", zone: "cut", curve: line(0, 2, 0, 0) },
        ],
      ],
    };
    const supports: Support[] = [
      { edges: ["ligament"], v: 0 },
      { edges: ["middle"], u: 0 },
    ];
    const { problem, solution } = solve(
      outline,
      [{ edges: ["end"], traction: [0, 1] }],
      supports,
      a / 4,
      [a, 0],
      1e-4,
      0.125,
    );
    const found = cornerIntensity(problem, solution, { x: a, y: 0, bisectorX: 1, bisectorY: 0, ...half });
    expect(Math.abs(found.k1 / Math.sqrt(Math.PI * a) / expected["F_computed"]! - 1)).toBeLessThan(0.005);
  });
});
