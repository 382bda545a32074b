import { tenths } from "../arithmetic/tenths.ts";
import type { RootField, ToothFigures } from "../field/rootField.ts";
import type { ModeId } from "../modes/mode.ts";
import type { Gain } from "../variants/levers.ts";

/** What carries more in every mode, in proportion: by how much, where `lacking` times as much is needed; more teeth only where not all do. */
export const wider = (
  { overload, kind, faceWidth, pitchDiameter }: ToothFigures,
  how: "alone" | "else",
  lacking = 1,
): string => {
  const share = overload > 1.001;
  const more = Math.ceil(10 * lacking - 1e-6) / 10;
  // shaft and hub twist along a long spline (common practice, no source)
  const long = kind !== "face tooth" && more * faceWidth > pitchDiameter;
  const beyond = long ? ", but length beyond the pitch diameter carries little" : "";
  const times = lacking > 1 ? ` (some ${more} times as wide${beyond})` : "";
  return how === "alone"
    ? `a wider face${times}${share ? `, or ${SHARING}` : ""}`
    : `else a wider face${times}${share ? ` or ${SHARING}` : ""}`;
};

/** Not a larger figure in the file. */
const SHARING = "more teeth made to share the load";

/** Where the wall bends more than the tooth. */
const thinWall = ({ wall, wallHeld, rootThickness }: ToothFigures): boolean =>
  !wallHeld && wall < rootThickness;

export const THICKER_SHAFT = "a thicker shaft";

/** What is known of a root when a change is looked for. */
export interface ChangeFor {
  /** Whether a flaw in the root is counted, which fatigue then starts from. */
  readonly flawed?: boolean;
  /** Whether no larger radius fits the root. */
  readonly atLargest?: boolean;
  /** What radius, wall and a root without its flaw were found to bring; absent where nobody tried. */
  readonly gains?: readonly Gain[] | undefined;
  /** How many times as much it must stand; 1 where that is not what lacks. */
  readonly lacking?: number;
}

/** What brings less than this share is no lever. */
const LEAST_GAIN = 0.01;

/** First what leaves a hardness to order, then the rest, most first, and last what carries more in every mode. */
function byGain(gains: readonly Gain[], tooth: ToothFigures, lacking: number): string {
  const help = gains
    .filter(({ gain, order }) => order !== null || gain >= LEAST_GAIN)
    .sort((a, b) => Number(b.order !== null) - Number(a.order !== null) || b.gain - a.gain);
  if (help.length === 0) return wider(tooth, "alone", lacking);
  const told = help.map(({ words, at, gain, order }) => {
    const enough = order && `${at}${at && " is "}enough: order ${tenths(order)} HRC`;
    return `${words} (${enough ?? `${at}${at && ": "}${Math.round(100 * gain)} % more`})`;
  });
  return `${told.join(", then ")}, ${wider(tooth, "else", lacking)}`;
}

export const CLEAN = "a root free of tool marks and cracks: finish it and inspect it";

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

/** What to change first when a mode is what falls short. */
export function firstChange(
  mode: ModeId,
  { sharp, tooth }: Pick<RootField, "sharp" | "tooth">,
  { flawed = false, atLargest = false, gains, lacking = 1 }: ChangeFor = {},
): string {
  if (gains && ofRoot(mode)) return byGain(gains, tooth, lacking);
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
      return `a thicker ${tooth.kind === "face tooth" ? "base under" : "wall behind"} the teeth, or a wider face`;
    case "plastic section":
    case "flank crushing":
    case "published shear":
    case "published bearing":
      return wider(tooth, "alone", lacking);
    case "shaft twist":
    case "published twist":
      return THICKER_SHAFT;
  }
}
