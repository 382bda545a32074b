import { DUDLEY_SOURCE } from "../strength/modes/splineAllowables.ts";

export type FormulaId =
  | "short beam"
  | "bending less push"
  | "mean root shear"
  | "Dolan-Broghamer"
  | "AGMA Kf"
  | "ISO YF YS"
  | "shoulder chart"
  | "Dudley shear"
  | "Dudley bearing"
  | "plain bearing"
  | "ring tension"
  | "shaft torsion";

/** What a published formula is, whichever root it is put to. */
export interface FormulaCard {
  readonly id: FormulaId;
  readonly formula: string;
  /** What it means, in one sentence. */
  readonly says: string;
  readonly source: string;
  /** The range it was made for. */
  readonly madeFor: string;
}

/** Ranges of the gear rules that are judged by number. t thickness and h arm of Lewis's section, r fillet radius. */
export const GEAR_RANGE = {
  thicknessOverRadius: [1.5, 12],
  thicknessOverArm: [0.7, 2.5],
} as const;
/** ISO 6336-3: notch parameter qs = s/(2 ρ). */
export const ISO_RANGE = [1, 8] as const;
/** Shoulder chart: step over radius. */
export const SHOULDER_RANGE = [0.1, 20] as const;
/** A beam is at least this many thicknesses long before 6 W h / (b t²) is its stress (common practice, no source). */
export const BEAM_LENGTH = 2;

/** In the order in which they are shown. */
export const FORMULA_CARDS: readonly FormulaCard[] = [
  {
    id: "short beam",
    formula: "6 W h / (b t²)",
    says:
      "Bending of a rectangular cantilever, and the nominal stress under every Kt that notchwright prints. " +
      "W: torque of the tooth over the radius of the middle of its contact band; h: from there to the root circle or line; " +
      "t: thickness where the flanks would meet it without fillets; b: face width.",
    source: "bending of beams, any text on strength of materials",
    madeFor: `slender beams, h at least ${BEAM_LENGTH} t (common practice, no source); no notch`,
  },
  {
    id: "bending less push",
    formula: "6 Wc h / (b t²) − Wr / (b t)",
    says:
      "The same section with the load on its true line: Wc across the tooth, Wr along it into the root, " +
      "h from the section up to where the load's line cuts the tooth's middle.",
    source: "bending with direct force, any text on strength of materials",
    madeFor: `slender beams, h at least ${BEAM_LENGTH} t (common practice, no source); no notch`,
  },
  {
    id: "mean root shear",
    formula: "Wc / (b t)",
    says: "The force across the tooth over its root section; a mean, so the middle of the section sees about 1.5 times it.",
    source: "equilibrium, any text on strength of materials",
    madeFor: "any tooth, as a mean; it says nothing of the corner",
  },
  {
    id: "Dolan-Broghamer",
    formula: "K (6 Wc h / (b t²) − Wr / (b t)), K = H + (t/r)^L (t/h)^M",
    says:
      "t and h at the section where Lewis's parabola touches the fillet, r the fillet radius; " +
      "H, L, M = 0.18, 0.15, 0.45 (20°) or 0.22, 0.20, 0.40 (14.5°), whichever angle is nearer.",
    source:
      "Dolan and Broghamer, A photoelastic study of stresses in gear tooth fillets, Univ. Illinois Bull. 335, 1942",
    madeFor: `external involute teeth of 14.5 or 20°, not undercut; t/r ${GEAR_RANGE.thicknessOverRadius.join(" to ")}, t/h ${GEAR_RANGE.thicknessOverArm.join(" to ")} (these two from memory)`,
  },
  {
    id: "AGMA Kf",
    formula: "Kf (6 Wc h / (b t²) − Wr / (b t)), Kf = H + (t/r)^L (t/h)^M",
    says:
      "The same with H = 0.331 − 0.436 α, L = 0.324 − 0.492 α, M = 0.261 + 0.545 α, α the pressure angle in radians " +
      "(of a straight flank: its angle from the tooth's middle).",
    source: "AGMA 908-B89; fit credited to Mitchiner and Mabie, 1982",
    madeFor: "external gears; fitted at 14.5 and 20°, other angles are the fit run on; t/r and t/h as above",
  },
  {
    id: "ISO YF YS",
    formula: "6 Wc h / (b s²) × YS, YS = (1.2 + 0.13 L) qs^(1/(1.21 + 2.3/L))",
    says:
      "s and h at the point of the fillet whose tangent stands at 30° to the tooth's middle (internal teeth: 60°, from memory), " +
      "L = s/h, qs = s/(2 ρ). The standard's section and factor, put to this outline and this load instead of a rack-cut gear " +
      "loaded at its outer point of single contact.",
    source: "ISO 6336-3, method B",
    madeFor: `external gears cut by a 20° rack; ${ISO_RANGE[0]} ≤ qs ≤ ${ISO_RANGE[1]}; s/h of gear teeth`,
  },
  {
    id: "shoulder chart",
    formula: "Kt × 6 Wc h / (b d²), Kt of a stepped flat bar in bending",
    says: "The nearest published notch: the tooth as the narrow part d of a bar that widens to one pitch H at the root; step (H − d)/2.",
    source: "Peterson, Stress concentration factors, 3rd ed., chart 3.8a",
    madeFor: `pure bending, load far from the step; step/r ${SHOULDER_RANGE[0]} to ${SHOULDER_RANGE[1]}`,
  },
  {
    id: "Dudley shear",
    formula: "4 T Km / (D N Fe tc)",
    says:
      "Mean shear at the pitch line, half of the teeth taken to carry (hence 4, not 2); Km: 1 for good alignment, 2 for poor. " +
      "T the whole shock torque, Fe the whole face width, tc the chord thickness of the tooth at the pitch circle.",
    source: DUDLEY_SOURCE,
    madeFor: "side-bearing splines that share as assumed",
  },
  {
    id: "Dudley bearing",
    formula: "2 T Km / (D N Fe h)",
    says: "Mean pressure on the flanks, all teeth taken to carry; h the radial height of the contact band.",
    source: DUDLEY_SOURCE,
    madeFor: "side-bearing splines that share as assumed",
  },
  {
    id: "plain bearing",
    formula: "W / (b h)",
    says: "The tooth's force over the projected contact band; h its height.",
    source: "equilibrium, any text on strength of materials",
    madeFor: "any flank, as a mean",
  },
  {
    id: "ring tension",
    formula: "S / (2 π b w)",
    says:
      "Mean hoop stress of the ring behind the teeth from the sum S of all radial pushes; w its thickness behind the root. " +
      "Not a tooth formula: it shows what the tooth formulas leave out.",
    source: "equilibrium of half a ring, any text on strength of materials",
    madeFor: "teeth that carry alike, a rim free to grow; as a mean over w",
  },
  {
    id: "shaft torsion",
    formula: "16 T D / (π (D⁴ − d⁴))",
    says: "Shear at the root circle D of the shaft with its bore d, from the whole shock torque.",
    source: DUDLEY_SOURCE,
    madeFor: "round shafts; the plane model of a slice has no such shear",
  },
];
