import { idleRootNote, toothAt, type VariantResult } from "../answer/index.ts";
import {
  formatAngle,
  formatForce,
  formatLength,
  formatPercent,
  formatStress,
  significant,
} from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import type { LoadedTooth } from "./loadedTooth.ts";
import { cornerSection } from "./rootSections.ts";

export type ReasonKey =
  | "sharp"
  | "notch"
  | "stubby"
  | "push"
  | "line"
  | "near"
  | "internal"
  | "ring"
  | "sharing"
  | "other root";

/** Why hand formulas and computed values part for this root, in words with this root's numbers. */
export interface Reason {
  readonly key: ReasonKey;
  readonly text: string;
  /** Told even where no formula names it. */
  readonly always?: true;
}

/** Loads that stand further from square across the tooth than this change arm and section stress enough to be told, rad. */
const NOTABLE_ANGLE = (5 * Math.PI) / 180;
/** Ring stress worth telling, as a share of the root's. */
const NOTABLE_RING = 0.05;

/** Every reason that holds for this root, whether or not a formula needs it. @param ring mean stress of the ring, MPa, or null. */
export function reasons(
  result: VariantResult,
  built: ProfileOutline,
  tooth: LoadedTooth,
  ring: number | null,
): Reason[] {
  const { design, root, torque } = result;
  const { units, profile } = design;
  const { arm: h, thickness: t } = root.nominal;
  const list: Reason[] = [];
  const say = (key: ReasonKey, text: string) => list.push({ key, text });
  const length = (mm: number) => formatLength(mm, units);
  const section = cornerSection(tooth);

  if (root.sharp)
    say(
      "sharp",
      "Sharp root. The computed peak is unbounded and so is every factor that divides by the root radius: neither is a " +
        `stress. The computed value beside the formulas is the average over ${length(root.average.distance)} from the corner, or from a place beside it where that is higher.`,
    );
  else
    say(
      "notch",
      `No notch in it. The formula stops at the section's plain stress; the fillet of ${length(tooth.radius)} (t/r ${significant(t / tooth.radius)}) ` +
        "raises it, and Kt is by how much.",
    );
  if (h < t)
    say(
      "stubby",
      `Stubby tooth. The arm h is ${significant(h / t)} of the thickness t, where a beam has several: sections do not stay plane, ` +
        "and the load runs into the root as shear and direct force rather than as bending.",
    );
  if (Math.abs(tooth.angle) > NOTABLE_ANGLE) {
    const level = section.arm;
    say(
      "push",
      `Slanted load. It stands ${formatAngle(Math.abs(tooth.angle))} from square: ${formatForce(Math.abs(tooth.rootward), units)} of it ` +
        `${tooth.rootward > 0 ? "push the tooth into" : "pull the tooth off"} its root, and its line cuts the tooth's middle ` +
        `${length(Math.abs(level))} ${level >= 0 ? "above" : "below"} the root section, not ${length(h)} above it as 6 W h counts. ` +
        `${tooth.rootward > 0 ? "Both lower a beam's stress" : "Both raise a beam's stress"}, and 6 W h / (b t²) has neither.`,
    );
    if (level < t / 2)
      say(
        "line",
        `Load near the root. Its line cuts the tooth's middle ${length(Math.abs(level))} ${level >= 0 ? "above" : "below"} the root section, ` +
          `${significant(Math.abs(level) / t)} of its thickness. So bending nearly cancels and the formula is left with a small difference ` +
          "of two effects, or with compression, while the true stress at the loaded side's fillet is governed by what beams leave out.",
      );
  }
  const toe = tooth.fillet ? tooth.fillet(0).y : tooth.corner.y;
  const gap = Math.max(0, tooth.bandFoot.y - toe);
  if (gap < t)
    say(
      "near",
      `Contact close by. The contact band begins ${gap < 1e-6 ? "where the root ends" : `${length(gap)} above the root`}, less than the tooth is thick ` +
        `(${length(t)}): its pressure reaches the root directly, which no formula for a far load counts.`,
    );
  if (profile.kind === "internal spline")
    say(
      "internal",
      "Internal tooth. It widens towards a ring, and its root lies in the ring's bore; the gear rules were fitted to external " +
        "teeth on a hub, and the true place of the peak need not be where they look.",
    );
  if (ring !== null && Math.abs(ring) > NOTABLE_RING * (root.peakPrincipal?.stress ?? root.average.opening)) {
    const rim = profile.kind === "internal spline";
    const { sharing } = design.load;
    const part = sharing.mode === "share" && sharing.fraction < 1;
    say(
      "ring",
      `Loaded ring. The radial pushes of all teeth ${rim ? "spread" : "squeeze"} the ring behind them: ${formatStress(Math.abs(ring), units)} of mean hoop ` +
        `${rim ? "tension, which the gaps between the teeth raise as notches do and which adds to" : "compression, which takes from"} the computed root stress. ` +
        "No tooth formula has it." +
        (part
          ? ` (The model loads every tooth alike with the share of one that carries, so with ${formatPercent(sharing.fraction)} carrying it counts more ring stress than the part has.)`
          : ""),
    );
  }
  const even = result.torque.shock / profile.teeth;
  if (Math.abs(torque.perTooth / even - 1) > 0.01)
    say(
      "sharing",
      `Sharing. Km 1 lets all ${profile.teeth} teeth carry alike; here the most loaded one carries ${significant(torque.perTooth / even)} times that, ` +
        "which as Km gives the second line.",
    );
  const other = otherRoot(result, built);
  if (other) list.push({ key: "other root", always: true, text: other });
  return list;
}

/** Where the governing root is, when it is not the loaded side of a tooth that carries most; null when it is. */
function otherRoot({ design, root }: VariantResult, built: ProfileOutline): string | null {
  const place = root.peakPrincipal ?? root.average;
  const idle = idleRootNote(design, built, place);
  if (idle)
    return `${idle[0]!.toUpperCase()}${idle.slice(1)}. No tooth formula has that; every one here looks at the most loaded tooth.`;
  const { profile } = design;
  const { across } = toothAt(design, built, place);
  const behind = profile.kind === "face tooth" && profile.loadedFlank === "drive" ? across < 0 : across > 0;
  return behind
    ? "The governing root is on the other side of the tooth, where the load presses; every formula here looks at the loaded side."
    : null;
}
