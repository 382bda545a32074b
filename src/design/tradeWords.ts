import type { ProfileKind } from "./keys.ts";

/** What shops call a kind of part, or write on a drawing in place of a key: offered, never taken. */
const KINDS: readonly { readonly said: RegExp; readonly kind: ProfileKind; readonly why: string }[] = [
  {
    said: /\b(dogs?|jaws?|ratchet|ramp|castle|crown|claws?|clutch)\b/i,
    kind: "face tooth",
    why: 'dog, jaw, ratchet and ramp teeth are "face tooth"',
  },
  {
    said: /\b(hub|bore|ring|sleeve|side gear|internal|female)\b/i,
    kind: "internal spline",
    why: 'teeth that point inward, as in a hub or side gear, are "internal spline"',
  },
  {
    said: /\b(shaft|axle|stub|external|male)\b/i,
    kind: "external spline",
    why: 'teeth that point outward, as on a shaft, are "external spline"',
  },
];

/** What the kind of part is called here that somebody calls `said`; null where that is not known. */
export const kindMeant = (said: string): string | null =>
  KINDS.filter((one) => one.said.test(said))
    .map(({ why }) => why)
    .join("; ") || null;

const PROFILE_KEYS: readonly {
  readonly said: RegExp;
  readonly kind?: ProfileKind;
  readonly remedy: string;
}[] = [
  {
    said: /^tooth (angle|width angle)$/i,
    kind: "face tooth",
    remedy:
      'give "tip land", the width at the tip: π × mean diameter × angle / 360 for flanks that do not lean',
  },
  {
    said: /^(space|gap) angle$/i,
    kind: "face tooth",
    remedy:
      'give "tip land", the width at the tip: π × mean diameter × (360 / teeth − angle) / 360 for flanks that do not lean',
  },
  { said: /^(fillet|fillet radius|corner radius|radius)$/i, remedy: 'did you mean "root radius"?' },
];

/** What to give in place of a key of `profile` that the trade has and a part file has not; null where that is not known. */
export const keyMeant = (said: string, kind: ProfileKind | undefined): string | null =>
  PROFILE_KEYS.find((one) => one.said.test(said.trim()) && (!one.kind || !kind || one.kind === kind))
    ?.remedy ?? null;
