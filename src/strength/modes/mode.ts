import { type Band, leastBand } from "../arithmetic/band.ts";
import type { Property } from "../steel/steelState.ts";

export type ModeId =
  | "first yield"
  | "plastic section"
  | "root fracture"
  | "root fracture by points"
  | "flaw fracture"
  | "cracked case"
  | "fatigue"
  | "fatigue by Kf"
  | "flank crushing"
  | "published shear"
  | "published bearing"
  | "published twist"
  | "rim burst"
  | "wall section"
  | "shaft twist";

/** One thing that can happen, and the torque on the whole part at which it does. */
export interface Mode {
  readonly id: ModeId;
  /** In shop words. */
  readonly title: string;
  /** N·mm of one shock; null when it cannot be said, which `note` explains. */
  readonly torque: Band | null;
  /**
   * True when reaching that torque breaks or spoils the part. First yield, published allowables, second estimates and fracture where
   * it does not hold are shown and do not govern.
   */
  readonly governs: boolean;
  readonly formula: string;
  readonly source: string;
  /** True when a number it rests on is from memory. */
  readonly memory: boolean;
  /** What must be said beside the number; empty when nothing. */
  readonly note: string;
  /** Fatigue only: number of shocks at the required torque. */
  readonly shocks?: Band;
}

/** One mode in two states of a part: as soon as it comes in either, in the words of that one. */
export function earlier(mode: Mode, other: Mode | undefined): Mode {
  if (!other?.torque) return mode;
  const governs = mode.governs || other.governs;
  if (!mode.torque) return { ...other, governs };
  const words = other.torque.low < mode.torque.low ? other : mode;
  return { ...words, governs, torque: leastBand(mode.torque, other.torque) };
}

/** A mode under the torque, or under its share that comes back on the other flank where that does it sooner. */
export function eitherWay(mode: Mode, back: Mode | undefined, share: number): Mode {
  if (!back?.torque) return mode;
  return earlier(mode, {
    ...back,
    torque: { low: back.torque.low / share, high: back.torque.high / share },
    note: [back.note, "under the torque turned round"].filter(Boolean).join("; "),
  });
}

/** Where figures of a steel come from. */
export const sources = (...of: (Property | null)[]): string =>
  [...new Set(of.flatMap((one) => one?.sources ?? []))].join("; ");

/** Whether one of them is from memory. */
export const remembered = (...of: (Property | null)[]): boolean => of.some((one) => one?.memory === true);
