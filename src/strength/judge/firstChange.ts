import { type LengthWords, lengthWords } from "../../design/index.ts";
import { tenths, tenthUp } from "../arithmetic/tenths.ts";
import type { RootField, ToothFigures } from "../field/rootField.ts";
import type { ModeId } from "../modes/mode.ts";
import { asThick } from "../modes/shaftTwistMode.ts";
import { type Brought, CLEAN } from "../variants/levers.ts";
import type { ShaftRemedies } from "./shaftRemedies.ts";
import { helps, isEnough, type Levers } from "./tryLevers.ts";
import type { Lacking } from "./whatLacks.ts";

const ENOUGH: Lacking = { width: 1, withShaft: 1, shaft: null, bore: 1 };

/**
 * What carries more in every mode but a shaft's twist, in proportion: by how much, where `width` times as much is needed; more teeth only where
 * not all do.
 */
export const wider = (tooth: ToothFigures, how: "alone" | "else", { width, withShaft }: Lacking): string => {
  const { overload, kind, faceWidth, pitchDiameter } = tooth;
  const share = overload > 1.001;
  const more = tenthUp(width);
  // shaft and hub twist along a long spline (common practice, no source)
  const long = kind !== "face tooth" && Number(more) * faceWidth > pitchDiameter;
  const beyond = long ? ", but length beyond the pitch diameter carries little" : "";
  const times = width > 1 ? ` (some ${more} times as wide${beyond})` : "";
  const shaft = withShaft > 1 ? `, with ${thickerShaft(tooth, withShaft)}` : "";
  return how === "alone"
    ? `a wider face${times}${share ? `, or ${SHARING}` : ""}${shaft}`
    : `else a wider face${times}${share ? ` or ${SHARING}` : ""}${shaft}`;
};

/** Not a larger figure in the file. */
const SHARING = "more teeth made to share the load";

/** Where the wall bends more than the tooth. */
const thinWall = ({ wall, wallHeld, rootThickness }: ToothFigures): boolean =>
  !wallHeld && wall < rootThickness;

/** A shaft so many times as thick. */
function thickerShaft({ shaft }: ToothFigures, times: number): string {
  return times > 1 ? `a thicker shaft (${asThick(times, (shaft?.bore ?? 0) > 0)})` : "a thicker shaft";
}

/** What is known of a root when a change is looked for. */
export interface ChangeFor {
  /** Whether a flaw in the root is counted, which fatigue then starts from. */
  readonly flawed?: boolean;
  /** Whether no larger radius fits the root. */
  readonly atLargest?: boolean;
  /** What radius, wall and surface were found to bring; absent where nobody tried. */
  readonly levers?: Levers | undefined;
  readonly lacking?: Lacking;
  /** What makes the shaft stand the twist, where that is what lacks. */
  readonly shaft?: (() => ShaftRemedies) | undefined;
  /** What is ordered: "" or " in the core". */
  readonly of?: string;
  /** How lengths are told; metric unless told otherwise. */
  readonly say?: LengthWords;
}

/** First what leaves a hardness to order, or else all that helps, most first; and last what carries more in every mode. Each is tried alone. */
function byGain({ gains, together }: Levers, tooth: ToothFigures, lacking: Lacking, of: string): string {
  const sorted = gains.filter(helps).sort((a, b) => b.gain - a.gain);
  if (sorted.length === 0 && !together) return wider(tooth, "alone", lacking);
  const enough = sorted.filter(isEnough);
  const brings = (one: Brought): string =>
    one.order
      ? `enough: order ${tenths(one.order)} HRC${of}`
      : one.atAny
        ? `enough at every hardness the steel's figures reach`
        : `${Math.round(100 * one.gain)} % more`;
  const told = (enough.length > 0 ? enough : sorted).map((one) => {
    const joint = one.at === "" ? "" : isEnough(one) ? `${one.at} is ` : `${one.at}: `;
    return `${one.words} (${joint}${brings(one)})`;
  });
  const named = new Set(sorted.map(({ words }) => words));
  // those just told, or some of them, or others that bring something in company only
  const company =
    together && (together.of.length !== named.size || together.of.some(({ words }) => !named.has(words)))
      ? together.of.map(({ words, at }) => words + (at && ` (${at})`)).join(" and ")
      : "";
  const all = together ? [`${company}${company && " "}together ${brings(together)}`] : [];
  const alike =
    sorted.length > 1 && !together && enough.length === 0 ? ["together no more than the first"] : [];
  return [listed(told), ...all, ...alike, wider(tooth, "else", lacking)].filter(Boolean).join(", ");
}

/** "a, b or c": remedies of which each stands for itself. */
const listed = (all: readonly string[]): string =>
  all.length < 2 ? all.join("") : `${all.slice(0, -1).join(", ")} or ${all.at(-1)}`;

/** Whether it begins at the root, which radius and wall may help. */
export const ofRoot = (mode: ModeId): boolean =>
  [
    "fatigue",
    "fatigue by Kf",
    "root fracture",
    "root fracture by points",
    "first yield",
    "flaw fracture",
  ].includes(mode);

/** Whether radius, wall or surface may help. */
export const mayGain = (mode: ModeId): boolean =>
  ofRoot(mode) || mode === "rim burst" || mode === "wall section";

/** What to change first when a mode is what falls short. */
export function firstChange(
  mode: ModeId,
  { sharp, tooth }: Pick<RootField, "sharp" | "tooth">,
  {
    flawed = false,
    atLargest = false,
    levers,
    lacking = ENOUGH,
    shaft,
    of = "",
    say = lengthWords("metric"),
  }: ChangeFor = {},
): string {
  if (levers && mayGain(mode)) return byGain(levers, tooth, lacking, of);
  switch (mode) {
    case "fatigue":
      return firstChange(
        flawed ? "flaw fracture" : "root fracture",
        { sharp, tooth },
        { atLargest, lacking },
      );
    case "root fracture":
    case "root fracture by points":
    case "fatigue by Kf":
    case "first yield":
      if (sharp) return "cut a root radius in place of the sharp corner";
      if (atLargest)
        return thinWall(tooth)
          ? `a thicker wall behind the root, which is thinner than the tooth; ${wider(tooth, "else", lacking)}`
          : wider(tooth, "alone", lacking);
      return thinWall(tooth)
        ? `a larger root radius where one fits, or a thicker wall behind the root, which is thinner than the tooth; ${wider(tooth, "else", lacking)}`
        : `a larger root radius where one fits, ${wider(tooth, "else", lacking)}`;
    case "flaw fracture":
      if (sharp) return `${CLEAN}, and cut a root radius in place of the sharp corner`;
      return thinWall(tooth)
        ? `${CLEAN}, and a thicker wall behind it, which is thinner than the tooth, then a larger radius`
        : `${CLEAN}, then a larger radius`;
    case "cracked case":
      return "a shallower case, or none in the root";
    case "rim burst":
    case "wall section":
      return `a thicker ${tooth.kind === "face tooth" ? "base under" : "wall behind"} the teeth, ${wider(tooth, "else", lacking)}`;
    case "plastic section":
    case "flank crushing":
    case "published shear":
    case "published bearing":
      return wider(tooth, "alone", lacking);
    case "shaft twist":
    case "published twist": {
      if (lacking.shaft === null) return wider(tooth, "alone", lacking);
      const { times, bore } = shaft?.() ?? { times: lacking.shaft, bore: null };
      const smaller = bore === null ? "" : ` or a smaller bore (${say.length(bore)} is enough)`;
      return thickerShaft(tooth, times) + smaller;
    }
  }
}
