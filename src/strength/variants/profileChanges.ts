import type { Change } from "../arithmetic/fairSplit.ts";
import { same } from "../arithmetic/same.ts";
import type { FollowingFigures } from "./followingFigures.ts";
import { leavesOut, neitherTells, type Told } from "./leftOut.ts";

/** What one change of a profile sets. */
export interface ProfileChange extends Change {
  readonly values: Readonly<Record<string, unknown>>;
}

/** Keys of a profile that belong together: one of them without the others would be a tooth nobody makes. */
const PROFILE_GROUPS: readonly (readonly [id: string, title: string, keys: readonly string[]])[] = [
  ["root radius", "root radius", ["rootRadius", "rootDiameter", "driveRootRadius", "overrunRootRadius"]],
  ["face width", "face width", ["faceWidth"]],
  ["drive angle", "drive flank angle", ["driveAngle"]],
  ["ramp angle", "ramp angle", ["overrunAngle"]],
  ["rim", "wall behind the root", ["backDiameter", "baseThickness"]],
  ["ring", "whether the ring can dish", ["keptFlat"]],
  ["loaded flank", "which flank is loaded", ["loadedFlank"]],
];

const ROOT = "root radius";

/** A published root form changes the diameter with the radius, or alone. */
function rootTitle(differing: readonly string[]): string {
  const radius = differing.some((key) => key !== "rootDiameter" && key !== "contact");
  if (!differing.includes("rootDiameter")) return "root radius";
  return radius ? "root radius and diameter" : "root diameter";
}

type Figures = Readonly<Record<string, unknown>>;

/** What two profiles of one kind differ in, root first, and last what is left of the teeth. */
export function profileChanges(from: Told, to: Told, following: FollowingFigures): ProfileChange[] {
  const [a, b] = [from, to].map(({ profile }) => profile as unknown as Figures) as [Figures, Figures];
  const differs = (key: string): boolean => !same(a[key], b[key]);
  const differing = Object.keys({ ...a, ...b }).filter(
    (key) => !following.keys.includes(key) && differs(key),
  );
  const withTeeth = ofTeeth(from, to, differs);
  const groups = PROFILE_GROUPS.map(
    ([id, title, keys]) =>
      [id, title, differing.filter((key) => keys.includes(key) && !withTeeth.includes(key))] as const,
  );
  const rest = differing.filter((key) => groups.every(([, , keys]) => !keys.includes(key)));
  // a contact that neither gives follows the root diameter, where that is all that differs of the teeth
  const trimmed =
    !a["contactGiven"] &&
    !b["contactGiven"] &&
    differs("rootDiameter") &&
    rest.every((key) => key === "contact");
  const told = [
    ...groups.map(
      ([id, title, keys]) => [id, title, trimmed && id === ROOT ? [...keys, ...rest] : keys] as const,
    ),
    ["tooth", "tooth shape and contact", trimmed ? [] : rest] as const,
  ];
  return told
    .filter(([, , keys]) => keys.length > 0)
    .map(([id, title, keys]) => ({
      id,
      title: id === ROOT ? rootTitle(keys) : title,
      values: Object.fromEntries(keys.map((key) => [key, b[key]])),
    }));
}

/**
 * Figures that go with other teeth: the root diameter where not both part files give it, the root radius where neither does; and the face width,
 * which outside and inside diameter make with the mean diameter.
 */
function ofTeeth(from: Told, to: Told, differs: (key: string) => boolean): string[] {
  const both = [from, to];
  const other = ["teeth", "pitchDiameter", "flank"].some(differs);
  return [
    ...(other && both.some((one) => leavesOut(one, "profile.root diameter")) ? ["rootDiameter"] : []),
    ...(other && neitherTells(both, "profile.root radius") ? ["rootRadius"] : []),
    ...(differs("meanDiameter") && neitherTells(both, "profile.face width") ? ["faceWidth"] : []),
  ];
}
