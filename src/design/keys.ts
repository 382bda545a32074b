/**
 * Every key a part file may hold, in one table: the schema that checks files, the editor's JSON Schema, the
 * reference document and the "did you mean" list are all made from it.
 */
import { MOST_RAMP } from "./overRunDefaults.ts";
import type { Dimension } from "./quantity.ts";
import { kindMeant } from "./tradeWords.ts";

export type ProfileKind = "internal spline" | "external spline" | "face tooth";

export const PROFILE_KINDS: readonly ProfileKind[] = ["internal spline", "external spline", "face tooth"];

/**
 * How a value is read. Limits of a quantity are in its own unit (mm, rad, N·mm, MPa, 1/in) and included, except
 * a `least` of 0 with `aboveZero`.
 */
export type ValueKind =
  | { readonly as: "text"; readonly most: number; readonly oneLine?: true }
  /** A word such as a grade, which may look like a number. */
  | { readonly as: "word" }
  | {
      readonly as: "choice";
      readonly of: readonly string[];
      /** Which of them somebody means who calls it otherwise, in words. */
      readonly called?: (said: string) => string | null;
    }
  | { readonly as: "count"; readonly least: number; readonly most: number }
  | { readonly as: "number"; readonly least: number; readonly most: number; readonly aboveZero?: true }
  | {
      readonly as: "percent";
      readonly least: number;
      readonly most: number;
      readonly aboveZero?: true;
      readonly words?: readonly string[];
      /** What to write where it is not known. */
      readonly notKnown?: string;
    }
  | {
      readonly as: "quantity";
      readonly dimension: Dimension;
      readonly least: number;
      readonly most: number;
      readonly aboveZero?: true;
      /** Words taken instead of a quantity. */
      readonly words?: readonly string[];
      /** A number without unit cannot be misread. */
      readonly bare?: true;
      /** What to do instead of giving 0, where that is a likely wish. */
      readonly insteadOfZero?: string;
    }
  | { readonly as: "hardness" }
  | { readonly as: "depth" }
  /** `0.08..0.20` or `700..800 MPa`, or one value; plain numbers without a dimension. */
  | {
      readonly as: "range";
      readonly dimension: Dimension | null;
      readonly least: number;
      readonly most: number;
      readonly aboveZero?: true;
    }
  /** `{ from: …, to: … }`, ascending lengths. */
  | { readonly as: "band"; readonly least: number; readonly most: number }
  /** `[1, 2, 9]`, tooth numbers from 1. */
  | { readonly as: "teeth" }
  /** `{ 1: 50 %, 2: 50 % }`. */
  | { readonly as: "tooth loads" };

export interface KeySpec {
  readonly key: string;
  readonly value: ValueKind;
  /** What it is, one sentence without its stop. */
  readonly about: string;
  /** A value that reads, as it stands in a file. */
  readonly example: string;
  /** What happens when it is left out: "required", or the default in words. */
  readonly absent: string;
  /** Profile kinds that have it; all when left out. */
  readonly kinds?: readonly ProfileKind[];
}

export type SectionName =
  | "units"
  | "steel"
  | "strength"
  | "elastic"
  | "profile"
  | "load"
  | "over-run"
  | "pins"
  | "answer"
  | "report";

export interface SectionSpec {
  readonly name: SectionName;
  readonly about: string;
  readonly required: boolean;
  /** May a variant, or a sweep, change it? */
  readonly perVariant: boolean;
  readonly keys: readonly KeySpec[];
}

/** How a root may be left; strength knows a surface factor of each. */
export const ROOT_FINISHES = ["polished", "ground", "machined", "hot rolled", "as forged"] as const;

const DEGREE = Math.PI / 180;
const SPLINES: readonly ProfileKind[] = ["internal spline", "external spline"];
const FACE: readonly ProfileKind[] = ["face tooth"];
const INVOLUTE_STANDARD =
  "ISO 4156 where module or pitch diameter is given, ANSI B92.1 where diametral pitch is";

const length = (least: number, most: number): Extract<ValueKind, { as: "quantity" }> =>
  least === 0
    ? { as: "quantity", dimension: "length", least, most, aboveZero: true }
    : { as: "quantity", dimension: "length", least, most };
const lengthOrZero = (most: number): ValueKind => ({ as: "quantity", dimension: "length", least: 0, most });
const radius: ValueKind = {
  as: "quantity",
  dimension: "length",
  least: 0,
  most: 1000,
  words: ["full"],
};
const angle = (least: number, most: number): ValueKind => ({
  as: "quantity",
  dimension: "angle",
  least: least * DEGREE,
  most: most * DEGREE,
});
const diameter = length(0, 10_000);

export const FEWEST_TEETH = 3;
export const MOST_TEETH = 400;

export const SECTIONS: readonly SectionSpec[] = [
  {
    name: "units",
    about:
      "Units of numbers written without one. Without this section every length, angle, torque and stress carries its unit",
    required: false,
    perVariant: false,
    keys: [
      {
        key: "length",
        value: { as: "choice", of: ["mm", "in"] },
        about: "Unit of bare lengths and diameters",
        example: "mm",
        absent: "lengths carry their unit",
      },
      {
        key: "angle",
        value: { as: "choice", of: ["deg", "rad"] },
        about: "Unit of bare angles",
        example: "deg",
        absent: "angles carry their unit",
      },
      {
        key: "torque",
        value: { as: "choice", of: ["N m", "N mm", "lbf ft", "lbf in"] },
        about: "Unit of bare torques",
        example: "N m",
        absent: "torques carry their unit",
      },
      {
        key: "stress",
        value: { as: "choice", of: ["MPa", "GPa", "psi", "ksi"] },
        about: "Unit of bare stresses",
        example: "MPa",
        absent: "stresses carry their unit",
      },
      {
        key: "force",
        value: { as: "choice", of: ["N", "kN", "lbf"] },
        about: "Unit of bare forces",
        example: "N",
        absent: "forces carry their unit",
      },
    ],
  },
  {
    name: "profile",
    about: "The tooth and what stands behind it",
    required: true,
    perVariant: true,
    keys: [
      {
        key: "kind",
        value: { as: "choice", of: PROFILE_KINDS, called: kindMeant },
        about: "Which toothed part this is; an internal spline's teeth point inward",
        example: "internal spline",
        absent: "required",
      },
      {
        key: "teeth",
        value: { as: "count", least: FEWEST_TEETH, most: MOST_TEETH },
        about: "Number of teeth in the whole part",
        example: "17",
        absent: "required",
      },
      {
        key: "module",
        value: length(0.05, 100),
        about: "Pitch diameter over number of teeth",
        example: "2 mm",
        absent: "one of module, pitch diameter or diametral pitch is required for an involute spline",
        kinds: SPLINES,
      },
      {
        key: "pitch diameter",
        value: diameter,
        about: "Diameter of the pitch circle",
        example: "34 mm",
        absent: "module × teeth; for straight flanks, halfway between tip and root diameter",
        kinds: SPLINES,
      },
      {
        key: "diametral pitch",
        value: { as: "quantity", dimension: "pitch", least: 0.25, most: 500, bare: true },
        about:
          "Teeth per inch of pitch diameter; a drawing's 12/24 (pitch and stub pitch) is read as it stands",
        example: "12 /in",
        absent: "see module",
        kinds: SPLINES,
      },
      {
        key: "flank",
        value: { as: "choice", of: ["involute", "straight"] },
        about: "Form of the flank",
        example: "involute",
        absent: "involute",
        kinds: SPLINES,
      },
      {
        key: "pressure angle",
        value: angle(10, 50),
        about: "Pressure angle of an involute flank at the pitch circle",
        example: "30 deg",
        absent: "30 deg",
        kinds: SPLINES,
      },
      {
        key: "flank angle",
        value: angle(-30, 60),
        about:
          "Straight flank: its angle from the tooth's own centreline; 0 is a parallel tooth, positive grows thinner towards the tip",
        example: "0 deg",
        absent: "0 deg",
        kinds: SPLINES,
      },
      {
        key: "root form",
        value: { as: "choice", of: ["flat", "fillet"] },
        about: "Which published root the default diameters and root radius are taken from",
        example: "fillet",
        absent: "flat at 30 deg, fillet at 37.5 and 45 deg (the standards have no other)",
        kinds: SPLINES,
      },
      {
        key: "tooth thickness",
        value: length(0, 1000),
        about: "Thickness of the tooth as an arc along the pitch circle",
        example: "3.142 mm",
        absent: `involute: ${INVOLUTE_STANDARD}; straight: this or tooth width is required, unless ISO 14 lists the spline`,
        kinds: SPLINES,
      },
      {
        key: "tooth width",
        value: length(0, 1000),
        about: "Thickness of the tooth straight across (chord) at the pitch circle, as a key is measured",
        example: "6 mm",
        absent: "see tooth thickness",
        kinds: SPLINES,
      },
      {
        key: "tip diameter",
        value: diameter,
        about:
          "Diameter through the tips: the minor diameter of an internal spline, the major of an external one",
        example: "32.4 mm",
        absent: `involute: ${INVOLUTE_STANDARD}; straight: required`,
        kinds: SPLINES,
      },
      {
        key: "root diameter",
        value: diameter,
        about:
          "Diameter through the roots: the major diameter of an internal spline, the minor of an external one",
        example: "37 mm",
        absent: `involute: ${INVOLUTE_STANDARD}; straight: required`,
        kinds: SPLINES,
      },
      {
        key: "rim diameter",
        value: diameter,
        about: "Outside diameter of the ring or hub behind the teeth of an internal spline",
        example: "56 mm",
        absent: "root diameter plus four tooth heights",
        kinds: ["internal spline"],
      },
      {
        key: "bore diameter",
        value: {
          ...diameter,
          insteadOfZero:
            "for a solid shaft leave it out: half the root diameter is taken, on which the reaction of the model acts and which stands up to an eighth less twist",
        },
        about: "Diameter of the hole through an external spline; left out for a solid shaft",
        example: "12 mm",
        absent: "half the root diameter",
        kinds: ["external spline"],
      },
      {
        key: "mean diameter",
        value: diameter,
        about: "Diameter at which a face tooth is unrolled",
        example: "55 mm",
        absent: "halfway between outside and inside diameter; required without them",
        kinds: FACE,
      },
      {
        key: "outside diameter",
        value: diameter,
        about: "Outside diameter of the face teeth",
        example: "64 mm",
        absent: "not needed where mean diameter and face width are given",
        kinds: FACE,
      },
      {
        key: "inside diameter",
        value: diameter,
        about: "Inside diameter of the face teeth",
        example: "46 mm",
        absent: "not needed where mean diameter and face width are given",
        kinds: FACE,
      },
      {
        key: "height",
        value: length(0, 1000),
        about: "Height of a face tooth from root line to tip",
        example: "4.5 mm",
        absent: "required",
        kinds: FACE,
      },
      {
        key: "drive flank angle",
        value: angle(-30, 75),
        about:
          "Drive flank from the part's axis; positive grows thinner towards the tip, negative is a back-cut",
        example: "-2 deg",
        absent: "0 deg, a square face",
        kinds: FACE,
      },
      {
        key: "back-cut",
        value: angle(0, 30),
        about:
          "Drive flank leaning so as to pull the teeth together: the same as a negative drive flank angle",
        example: "2 deg",
        absent: "see drive flank angle",
        kinds: FACE,
      },
      {
        key: "over-run flank angle",
        value: angle(-30, 75),
        about: "Over-run flank from the part's axis; 0 is square, a ramp is positive",
        example: "31 deg",
        absent: "0 deg, a square face",
        kinds: FACE,
      },
      {
        key: "ramp angle",
        value: angle(0, MOST_RAMP),
        about: "Another word for the over-run flank angle, from the part's axis",
        example: "31 deg",
        absent: "see over-run flank angle",
        kinds: FACE,
      },
      {
        key: "tip land",
        value: length(0, 1000),
        about: "Width of the flat on top of a face tooth, along the pitch",
        example: "6 mm",
        absent: "what leaves the tooth half the pitch at half its height",
        kinds: FACE,
      },
      {
        key: "root radius",
        value: radius,
        about:
          "Radius of the root fillets; 0 is a sharp corner, full is one arc across the root. For a face tooth, both sides at once",
        example: "0.4 mm",
        absent: "involute by module: the root radius of ISO 4156; otherwise required",
      },
      {
        key: "drive root radius",
        value: radius,
        about: "Root radius at the foot of the drive flank alone",
        example: "0.5 mm",
        absent: "root radius",
        kinds: FACE,
      },
      {
        key: "over-run root radius",
        value: radius,
        about: "Root radius at the foot of the over-run flank alone",
        example: "0.5 mm",
        absent: "root radius",
        kinds: FACE,
      },
      {
        key: "tip chamfer",
        value: lengthOrZero(100),
        about: "45° chamfer on the tooth's tip corners, measured along the flank",
        example: "0.3 mm",
        absent: "0, no chamfer",
      },
      {
        key: "base thickness",
        value: length(0, 1000),
        about: "Solid metal below the root line of a face tooth",
        example: "9 mm",
        absent: "twice the height",
        kinds: FACE,
      },
      {
        key: "ring",
        value: { as: "choice", of: ["kept flat", "free to dish"] },
        about:
          "Whether a hub, flange or seat keeps the ring of face teeth flat, or nothing keeps it from dishing into a cone under load, as a thin ring does that slides on a spline; of a ring free to dish what gives first counts, dished or not",
        example: "kept flat",
        absent: "free to dish; kept flat where the back is held",
        kinds: FACE,
      },
      {
        key: "face width",
        value: length(0, 2000),
        about: "Length of the tooth that carries: along the axis of a spline, radially in a face tooth",
        example: "16 mm",
        absent: "required; for a face tooth, half of outside minus inside diameter",
      },
      {
        key: "radial width",
        value: length(0, 2000),
        about: "Another word for the face width of a face tooth",
        example: "9 mm",
        absent: "see face width",
        kinds: FACE,
      },
      {
        key: "contact",
        value: { as: "band", least: 0, most: 10_000 },
        about:
          "Limits of the contact on the loaded flank: two diameters, or two heights above the root line of a face tooth",
        example: "{ from: 32.4 mm, to: 36 mm }",
        absent:
          "from the own tip (less its chamfer) to the published tip of the mating part, or three quarters of the tooth height where none is published; face tooth: from the end of the fillet to the tip",
      },
      {
        key: "loaded flank",
        value: { as: "choice", of: ["drive", "over-run"] },
        about: "Which flank of a face tooth is pushed",
        example: "drive",
        absent: "drive",
        kinds: FACE,
      },
    ],
  },
  {
    name: "load",
    about: "Torque and how the teeth share it",
    required: true,
    perVariant: true,
    keys: [
      {
        key: "torque",
        value: { as: "quantity", dimension: "torque", least: 0, most: 1e10, aboveZero: true },
        about: "Working torque of the part before the shock factor",
        example: "690 N m",
        absent: "required",
      },
      {
        key: "shock factor",
        value: { as: "number", least: 0.1, most: 20 },
        about: "What the torque is multiplied by for shock; 1 when the torque already holds it",
        example: "1.8",
        absent: "1: the torque is taken as it stands",
      },
      {
        key: "teeth sharing",
        value: {
          as: "percent",
          least: 0,
          most: 1,
          aboveZero: true,
          words: ["one tooth"],
          notKnown: '"one tooth" is mostly the safest; or 50 % with "which teeth: worst"',
        },
        about:
          "Share of the teeth that carry, all alike; one repeating sector is computed, for a single tooth the whole ring with that one loaded",
        example: "50 %",
        absent: "50 %",
      },
      {
        key: "which teeth",
        value: { as: "choice", of: ["evenly", "worst"] },
        about:
          "Which teeth are the share that carries: evenly round the part, as one repeating sector has it, with every tooth loaded; or worst, the choice that opens a root furthest, no tooth with more than its share, for which the whole ring is computed",
        example: "worst",
        absent: "evenly; of a single tooth the whole ring is computed",
      },
      {
        key: "loaded teeth",
        value: { as: "teeth" },
        about: "The teeth that carry, counted from 1, in equal shares; the whole ring is computed",
        example: "[1, 2, 9]",
        absent: "see teeth sharing",
      },
      {
        key: "tooth loads",
        value: { as: "tooth loads" },
        about: "Share of the torque each named tooth carries, adding up to 100 %; the whole ring is computed",
        example: "{ 1: 50 %, 2: 30 %, 9: 20 % }",
        absent: "see teeth sharing",
      },
      {
        key: "friction",
        value: { as: "number", least: -1, most: 1 },
        about: "Friction on the loaded flank as a fraction of the pressure; positive drags towards the tip",
        example: "0.1",
        absent:
          "0, none; of face teeth that over-run both ends of the over-run section's friction on the over-run flank, and on drive flanks that lean both none and what holds the teeth together, their slope and at most that friction; stresses are told at the high one",
      },
      {
        key: "reaction",
        value: { as: "choice", of: ["uniform shear", "held"] },
        about: "What takes the torque at the rim, bore or base: an even shear, or a surface held fast",
        example: "uniform shear",
        absent: "uniform shear",
      },
    ],
  },
  {
    name: "steel",
    about:
      "The steel and its hardness. Without this section stresses are given and no strength is set beside them",
    required: false,
    perVariant: true,
    keys: [
      {
        key: "grade",
        value: { as: "word" },
        about:
          'One of the steels listed below; alloy steel is any through-hardened alloy steel, "8620 case" a carburised one',
        example: "4340",
        absent: "required in this section",
      },
      {
        key: "hardness",
        value: { as: "hardness" },
        about: "Hardness window in HRC, HV or HB; of a case-hardened steel, of the case",
        example: "38..42 HRC",
        absent: "required in this section",
      },
      {
        key: "core hardness",
        value: { as: "hardness" },
        about: "Case-hardened steel: hardness window under the case, on which its strength rests",
        example: "30..38 HRC",
        absent: "required for a case-hardened grade, refused for others",
      },
      {
        key: "case depth",
        value: { as: "depth" },
        about:
          "Case-hardened steel: depth of the case, smallest and largest; less than half the tooth at its root",
        example: "0.4..0.6 mm",
        absent: "the case cracked right through is not judged, and no verdict is a yes",
      },
    ],
  },
  {
    name: "strength",
    about:
      "What the part must stand and how its root is made: from these and the steel follows the torque at which each thing breaks. Without a steel it is not used, and a note of the run says so",
    required: false,
    perVariant: true,
    keys: [
      {
        key: "required torque",
        value: { as: "quantity", dimension: "torque", least: 0, most: 1e10, aboveZero: true },
        about: "Torque of one shock that the part must stand, against which margins are counted",
        example: "1240 N m",
        absent: "torque × shock factor",
      },
      {
        key: "margin",
        value: { as: "number", least: 1, most: 20 },
        about:
          "Margin wanted over the required torque: what a hardness must leave to count as good, and what tables say is enough",
        example: "1.2",
        absent: "1",
      },
      {
        key: "shocks",
        value: { as: "number", least: 1, most: 1e9 },
        about: "Shocks in a life",
        example: "10000",
        absent: "10000",
      },
      {
        key: "torque ratio",
        value: { as: "number", least: -1, most: 0.9 },
        about: "Smallest torque of a shock over its largest (R): 0 is one way, -1 both ways alike",
        example: "0",
        absent: "0",
      },
      {
        key: "finish",
        value: { as: "choice", of: ROOT_FINISHES },
        about: "Surface of the root",
        example: "machined",
        absent: "machined",
      },
      {
        key: "peened",
        value: { as: "choice", of: ["yes", "no"] },
        about:
          "Whether the root is shot-peened; refused on steel softer than 30 HRC, where it gains nothing sure",
        example: "no",
        absent: "no",
      },
      {
        key: "flaw depth",
        value: lengthOrZero(50),
        about:
          "Depth of a flaw in the root (tool mark, quench crack); less than half the tooth, and of a case-hardened steel within the case",
        example: "0.05 mm",
        absent: "0, none stated",
      },
      {
        key: "tolerance",
        value: { as: "number", least: 0, most: 20 },
        about: "What the heat treater holds, ± HRC round the hardness ordered",
        example: "2",
        absent: "2",
      },
      {
        key: "distribution factor",
        value: { as: "number", least: 1, most: 10 },
        about: "Load distribution factor of the published spline formulas: 1 in line, up to 3 out of line",
        example: "1.5",
        absent: "1",
      },
    ],
  },
  {
    name: "over-run",
    about:
      "How the ring is let go in over-running: ramps lift it off against springs, and the spline it slides on drags. From these follow, by statics, the torque at which it clicks over and whether it does at all",
    required: false,
    perVariant: true,
    keys: [
      {
        key: "ramp angle",
        value: angle(0, MOST_RAMP),
        about: "Ramp that lifts the ring off in over-running, from the part's axis; 0 is square",
        example: "31 deg",
        absent: "face tooth: its own over-run flank angle, which it must agree with; spline: required",
      },
      {
        key: "mean radius",
        value: length(0, 5000),
        about: "Mean radius of the ramp teeth",
        example: "27.5 mm",
        absent: "face tooth: half its mean diameter; spline: required, or mean diameter",
      },
      {
        key: "mean diameter",
        value: length(0, 10_000),
        about: "Mean diameter of the ramp teeth, in place of their mean radius",
        example: "55 mm",
        absent: "told by the mean radius",
      },
      {
        key: "spring force",
        value: { as: "quantity", dimension: "force", least: 0, most: 1e7, aboveZero: true },
        about: "Force of all springs together that holds the ring in",
        example: "160 N",
        absent: "required in this section",
      },
      {
        key: "friction",
        value: { as: "range", dimension: null, least: 0, most: 1 },
        about:
          "Friction on ramps and spline, from slippery to sticky: known to ± 50 % at best, so a band, and a verdict must hold at both its ends",
        example: "0.08..0.20",
        absent: "0.05..0.20, oiled hardened steel (common practice, no source)",
      },
      {
        key: "spline radius",
        value: length(0, 5000),
        about: "Pitch radius of the spline on which the ring slides",
        example: "17 mm",
        absent:
          "spline: its own; face tooth: no sliding spline, unless both this (or its diameter) and its pressure angle are given",
      },
      {
        key: "spline diameter",
        value: length(0, 10_000),
        about: "Pitch diameter of the spline on which the ring slides, in place of its pitch radius",
        example: "34 mm",
        absent: "told by the spline radius",
      },
      {
        key: "spline pressure angle",
        value: angle(0, 60),
        about: "Pressure angle of the spline on which the ring slides, at that radius",
        example: "30 deg",
        absent: "as spline radius; of straight flanks, their flank angle",
      },
      {
        key: "torque",
        value: { as: "quantity", dimension: "torque", least: 0, most: 1e10, aboveZero: true },
        about: "Largest torque that over-running can bring, against which the margin is counted",
        example: "1240 N m",
        absent: "torque × shock factor",
      },
    ],
  },
  {
    name: "pins",
    about:
      "Pins across which the torque of over-running goes while the ring does not let go, and which shear when it is too much. Needs the over-run section",
    required: false,
    perVariant: true,
    keys: [
      {
        key: "count",
        value: { as: "count", least: 1, most: 200 },
        about: "How many pins share",
        example: "3",
        absent: "required in this section",
      },
      {
        key: "diameter",
        value: length(0, 1000),
        about: "Diameter of a pin where it is cut",
        example: "4 mm",
        absent: "required in this section",
      },
      {
        key: "radius",
        value: length(0, 5000),
        about: "Radius of the circle on which the pins stand",
        example: "22 mm",
        absent: "required in this section",
      },
      {
        key: "shear planes",
        value: { as: "count", least: 1, most: 2 },
        about: "Planes in which each pin is cut: 1 is single shear, 2 double",
        example: "1",
        absent: "1, single shear",
      },
      {
        key: "shear strength",
        value: { as: "range", dimension: "stress", least: 10, most: 5000 },
        about: "Shear stress at which a pin parts",
        example: "700 MPa",
        absent: "0.6 to 0.75 of tensile strength; one of the two is required",
      },
      {
        key: "tensile strength",
        value: { as: "range", dimension: "stress", least: 10, most: 5000 },
        about: "Tensile strength of the pins, from which their shear strength is taken",
        example: "1000..1200 MPa",
        absent: "see shear strength",
      },
    ],
  },
  {
    name: "elastic",
    about: "Elastic constants and the plane model",
    required: false,
    perVariant: true,
    keys: [
      {
        key: "modulus",
        value: { as: "quantity", dimension: "stress", least: 1000, most: 1_000_000 },
        about: "Young's modulus",
        example: "205 GPa",
        absent: "205 GPa",
      },
      {
        key: "poisson",
        value: { as: "number", least: 0, most: 0.49 },
        about: "Poisson's ratio",
        example: "0.29",
        absent: "0.29",
      },
      {
        key: "state",
        value: { as: "choice", of: ["plane stress", "plane strain"] },
        about:
          "Plane stress for short teeth, plane strain where the face is much longer than the tooth is high",
        example: "plane stress",
        absent: "plane stress",
      },
    ],
  },
  {
    name: "answer",
    about: "What is computed, alike for every variant so that they compare",
    required: false,
    perVariant: false,
    keys: [
      {
        key: "averaging distance",
        value: length(0.001, 10),
        about:
          "Distance into the metal over which root stress is averaged, so that sharp and rounded roots compare",
        example: "0.1 mm",
        absent: "0.1 mm",
      },
      {
        key: "accuracy",
        value: { as: "percent", least: 0.0005, most: 0.2 },
        about: "Estimated error at which the mesh is fine enough",
        example: "1 %",
        absent: "1 %",
      },
    ],
  },
  {
    name: "report",
    about: "How results are printed",
    required: false,
    perVariant: false,
    keys: [
      {
        key: "units",
        value: { as: "choice", of: ["metric", "inch", "both"] },
        about: "Units of every report",
        example: "both",
        absent: "those the file itself uses, both when it mixes them",
      },
      {
        key: "compare with",
        value: { as: "text", most: 80 },
        about: "Name of the variant the others are compared with",
        example: "V0",
        absent: "the first variant",
      },
    ],
  },
];

/** Keys of a variant besides the sections it may change. */
export const VARIANT_KEYS: readonly KeySpec[] = [
  {
    key: "name",
    value: { as: "text", most: 80 },
    about: "Unique name on one line, up to 80 characters, without / \\ < >",
    example: "V1 fillet",
    absent: "required",
  },
  {
    key: "note",
    value: { as: "text", most: 2000 },
    about: "Anything worth saying beside the results",
    example: "fillet only",
    absent: "the file's own note",
  },
];

/** Keys at the top of the file besides the sections. */
export const TOP_KEYS: readonly KeySpec[] = [
  {
    key: "part",
    value: { as: "text", most: 120, oneLine: true },
    about: "Name of the part, printed on every sheet",
    example: "Orchard cart hub, sliding ring",
    absent: "required",
  },
  {
    key: "note",
    value: { as: "text", most: 2000 },
    about: "Anything worth saying beside the results",
    example: "broke at the bore-spline root",
    absent: "none",
  },
  {
    key: "steels",
    value: { as: "text", most: 200, oneLine: true },
    about:
      "File with strength data of steels of your own, beside this one or in a folder below it; described in [strength.md](strength.md#steels)",
    example: "our-steels.yaml",
    absent: "the steels that come with the program",
  },
];

/** Most designs one file may expand into. */
export const MOST_DESIGNS = 10_000;

/**
 * Keys that say the same thing in different ways. Two of one group in one place are a fault (the size group
 * excepted, where they must agree); one of them in a variant takes the place of all of them in the base.
 */
export const ALTERNATIVES: Readonly<Partial<Record<SectionName, readonly (readonly string[])[]>>> = {
  profile: [
    ["module", "pitch diameter", "diametral pitch"],
    ["tooth thickness", "tooth width"],
    ["face width", "radial width"],
    ["drive flank angle", "back-cut"],
    ["over-run flank angle", "ramp angle"],
  ],
  load: [["teeth sharing", "loaded teeth", "tooth loads"]],
  "over-run": [
    ["mean radius", "mean diameter"],
    ["spline radius", "spline diameter"],
  ],
  pins: [["shear strength", "tensile strength"]],
};

/** More of what a changed key makes void in the base: `key → base keys dropped`. */
export const ALSO_REPLACES: Readonly<Record<string, readonly string[]>> = {
  "mean diameter": ["outside diameter", "inside diameter"],
  "outside diameter": ["mean diameter"],
  "inside diameter": ["mean diameter"],
  "root radius": ["drive root radius", "over-run root radius"],
  "loaded teeth": ["which teeth"],
  "tooth loads": ["which teeth"],
};

export function section(name: SectionName): SectionSpec {
  return SECTIONS.find((known) => known.name === name)!;
}

export function keySpec(name: SectionName, key: string): KeySpec | undefined {
  return section(name).keys.find((known) => known.key === key);
}

/** Words by which the variants of a sweep are named after their keys, longest first: "root radius" before "root". */
export const SWEPT_NAMES: readonly string[] = [
  ...new Set(
    SECTIONS.filter(({ perVariant }) => perVariant).flatMap(({ keys }) => keys.map(({ key }) => key)),
  ),
].sort((a, b) => b.length - a.length);
