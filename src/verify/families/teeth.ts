import type { Outline } from "../../geometry/index.ts";
import { agmaCoefficients, agmaKf, dolanBroghamer, isoToothForm, isoYS } from "../../handbook/index.ts";
import { type Case, type Family, within } from "../case.ts";
import { edgePeaks, heldFree, type Model, solveQuestion } from "../model.ts";
import { loop } from "../outlines.ts";
import { referenceCases, referenceSection } from "../references.ts";

const SHARE = 0.003;
const TYPED = 0.001;
const radians = (degrees: number): number => (degrees * Math.PI) / 180;

export interface Projection {
  readonly B: number;
  readonly betaDeg: number;
  readonly hp: number;
  readonly hl: number;
  readonly r: number;
  readonly Wb: number;
  readonly D: number;
}

/** A straight-flanked tooth on a block, 1 N a mm of thickness pushing on its right flank; supports add no stress. */
export function solveProjection({ B, betaDeg, hp, hl, r, Wb, D }: Projection, fineness?: number): Model {
  const beta = radians(betaDeg);
  const nx = Math.cos(beta);
  const ny = Math.sin(beta);
  const flank = (y: number) => B / 2 - y * Math.tan(beta);
  // fillet centre: r off the block's top and r off the flank
  const cx = B / 2 + (r * (1 - ny)) / nx;
  const tx = cx - r * nx;
  const ty = r - r * ny;
  const half = 0.06 * (B / 2);
  const lo: [number, number] = [flank(hl) + half * ny, hl - half * nx];
  const hi: [number, number] = [flank(hl) - half * ny, hl + half * nx];
  const outline: Outline = {
    loops: [
      loop(-Wb, -D, [
        ["bottom", Wb, -D],
        ["right side", Wb, 0],
        ["top right", cx, 0],
        ["tension fillet", tx, ty, cx, r, -1],
        ["flank below", ...lo],
        ["contact", ...hi],
        ["flank above", flank(hp), hp],
        ["tip", -flank(hp), hp],
        ["back flank", -tx, ty],
        ["compression fillet", -cx, 0, -cx, r, -1],
        ["top left", -Wb, 0],
        ["left side", -Wb, -D],
      ]),
    ],
  };
  // moment of the load about the middle of the bottom
  const moment = flank(hl) * -ny - (hl + D) * -nx;
  return solveQuestion({
    outline,
    loads: [
      { edges: ["contact"], pressure: 1 / (2 * half) },
      {
        edges: ["bottom"],
        traction: (x, _y, _nx, _ny, out) => {
          out[0] = nx / (2 * Wb);
          out[1] = ny / (2 * Wb) - (3 * moment * x) / (2 * Wb ** 3);
        },
      },
    ],
    supports: heldFree(outline),
    ...(fineness === undefined ? {} : { fineness }),
  });
}

function projections(): Case[] {
  const { title } = referenceSection("tooth", "projection");
  return referenceCases("tooth", "projection").map(({ id, inputs, expected }) => ({
    id,
    title: `${title}: flank angle ${inputs["betaDeg"]}°, height ${inputs["hp"]}, load at ${inputs["hl"]}, root radius ${inputs["r"]} mm`,
    source: "plane elasticity by boundary elements on this outline, two meshes, change below 0.02 %",
    toleranceFrom: "computed value good to 0.1 %; the reference allows 1.5 %, 0.3 % is asked here",
    expected: [
      within(SHARE, "largest tensile stress in the loaded side's fillet", "MPa", expected["peak"]!),
      within(SHARE, "largest compressive stress in the other fillet", "MPa", expected["compMin"]!),
      ...(expected["peakWide_Wb6_D6"] === undefined
        ? []
        : [within(SHARE, "the tensile one on a block of 6 mm", "MPa", expected["peakWide_Wb6_D6"])]),
    ],
    run() {
      const tooth = inputs as unknown as Projection;
      const tension = (model: Model) => edgePeaks(model, (e) => e.name === "tension fillet").max.stress;
      const model = solveProjection(tooth);
      const values = [tension(model), edgePeaks(model, (e) => e.name === "compression fillet").min.stress];
      if (expected["peakWide_Wb6_D6"] !== undefined) {
        values.push(tension(solveProjection({ ...tooth, Wb: 6, D: 6 })));
      }
      return { unknowns: model.unknowns, values };
    },
  }));
}

function rules(): Case[] {
  const toleranceFrom = "arithmetic of the published formula, 0.1 %; no engine value is judged by it";
  const db = referenceSection("tooth", "dolan-broghamer");
  const agma = referenceSection("tooth", "agma-kf");
  const iso = referenceSection("tooth", "iso-yf-ys");
  const isoNames = {
    theta_deg: "θ",
    sFn: "root chord",
    rhoF: "fillet radius there",
    eps_alpha: "contact ratio",
    alphaFe_deg: "load angle",
    hFe: "bending arm",
    YF: "form factor YF",
    qs: "notch parameter qs",
    YS: "stress correction YS",
    YFS: "YF YS",
  };
  return [
    ...referenceCases("tooth", "dolan-broghamer").map(({ id, inputs, expected }): Case => {
      const { t, r, h } = inputs as Record<"t" | "r" | "h", number>;
      return {
        id,
        title: `${db.title}: t ${t}, r ${r}, h ${h}. Assumes an involute tooth of 14.5 or 20° and Lewis's section`,
        source: db.source,
        toleranceFrom,
        expected: [
          within(TYPED, "K, 20°", "", expected["K20"]!),
          within(TYPED, "K, 14.5°", "", expected["K14_5"]!),
        ],
        run: () => ({ unknowns: 0, values: [dolanBroghamer(20, t, r, h), dolanBroghamer(14.5, t, r, h)] }),
      };
    }),
    ...referenceCases("tooth", "agma-kf").map(({ id, inputs, expected }): Case => {
      const alpha = radians(inputs["alphaDeg"]!);
      const { sF, rhoF, hF } = inputs as Record<"sF" | "rhoF" | "hF", number>;
      const coefficients = expected["Kf"] === undefined;
      return {
        id,
        title: coefficients
          ? `${agma.title}: coefficients at ${inputs["alphaDeg"]}°`
          : `${agma.title}: ${inputs["alphaDeg"]}°, sF ${sF}, ρF ${rhoF}, hF ${hF}. Assumes an external gear; fitted to 14.5 and 20°`,
        source: agma.source,
        toleranceFrom,
        expected: coefficients
          ? (["H", "L", "M"] as const).map((name) => within(TYPED, name, "", expected[name]!))
          : [within(TYPED, "Kf", "", expected["Kf"]!)],
        run() {
          const { H, L, M } = agmaCoefficients(alpha);
          return { unknowns: 0, values: coefficients ? [H, L, M] : [agmaKf(alpha, sF, rhoF, hF)] };
        },
      };
    }),
    ...referenceCases("tooth", "iso-yf-ys").map(({ id, inputs, expected }): Case => {
      const alone = inputs["L"] !== undefined;
      return {
        id,
        title: alone
          ? `stress correction alone: L ${inputs["L"]}, qs ${inputs["qs"]}`
          : `${iso.title}: ${inputs["z"]} and ${inputs["zMate"]} teeth, rack radius ${inputs["rhofP"]}. Assumes an external spur gear cut by a rack, loaded at the outer point of single contact`,
        source: iso.source,
        toleranceFrom,
        expected: alone
          ? [within(TYPED, "YS", "", expected["YS"]!)]
          : Object.entries(isoNames).map(([key, name]) =>
              within(TYPED, name, key.endsWith("deg") ? "°" : "", expected[key]!),
            ),
        run() {
          if (alone) return { unknowns: 0, values: [isoYS(inputs["L"]!, inputs["qs"]!)] };
          const { z, zMate, alphaDeg, haP, hfP, rhofP, x } = inputs as Record<
            "z" | "zMate" | "alphaDeg" | "haP" | "hfP" | "rhofP" | "x",
            number
          >;
          const g = isoToothForm({ z, zMate, alpha: radians(alphaDeg), haP, hfP, rhofP, x });
          const degrees = (a: number) => (a * 180) / Math.PI;
          return {
            unknowns: 0,
            values: [
              degrees(g.theta),
              g.sFn,
              g.rhoF,
              g.epsAlpha,
              degrees(g.alphaFe),
              g.hFe,
              g.YF,
              g.qs,
              g.YS,
              g.YFS,
            ],
          };
        },
      };
    }),
  ];
}

export function teeth(): Family {
  return {
    name: "teeth",
    title: "Tooth roots",
    about:
      "Straight-flanked teeth on a block, whose root stress is known from an independent boundary-element solution, judge the " +
      "engine. The published gear rules stand beside them as formulas only: on these nine teeth, which are stubbier than gear teeth, " +
      "Dolan and Broghamer's rule is 12 to 69 % low, AGMA's from 69 % low to 8 % high and ISO's from 5 % low to 28 % high, so no " +
      "rule can judge the engine. Heywood's rule is left out: its coefficients could not be traced to a source.",
    cases: [...projections(), ...rules()],
  };
}
