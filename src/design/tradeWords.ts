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

const KEYS: readonly {
  readonly section: string;
  readonly said: RegExp;
  readonly kind?: ProfileKind;
  readonly remedy: string;
}[] = [
  {
    section: "profile",
    said: /^tooth (angle|width angle)$/i,
    kind: "face tooth",
    remedy:
      'give "tip land", the width at the tip: π × mean diameter × angle / 360 for flanks that do not lean',
  },
  {
    section: "profile",
    said: /^(space|gap) angle$/i,
    kind: "face tooth",
    remedy:
      'give "tip land", the width at the tip: π × mean diameter × (360 / teeth − angle) / 360 for flanks that do not lean',
  },
  {
    section: "profile",
    said: /^(fillet|fillet radius|corner radius)$/i,
    remedy: 'did you mean "root radius"?',
  },
  ...diameters("internal spline", "root diameter", "tip diameter", "rim diameter", "tip diameter"),
  ...diameters("external spline", "tip diameter", "root diameter", "tip diameter", "bore diameter"),
  ...diameters("face tooth", "outside diameter", "inside diameter", "outside diameter", "inside diameter"),
  {
    section: "over-run",
    said: /^pitch (diameter|dia\.?)$/i,
    remedy: 'did you mean "spline diameter", of the spline on which the ring slides?',
  },
  {
    section: "over-run",
    said: /^pitch radius$/i,
    remedy: 'did you mean "spline radius", of the spline on which the ring slides?',
  },
  {
    section: "over-run",
    said: /^pressure angle$/i,
    remedy: 'did you mean "spline pressure angle", of the spline on which the ring slides?',
  },
  {
    section: "steel",
    said: /^(case|surface) hardness$/i,
    remedy: 'did you mean "hardness"? Of a case-hardened steel it is that of the case',
  },
];

/** What the diameters of a spline or a ring of face teeth are called in the trade, and here. */
function diameters(kind: ProfileKind, major: string, minor: string, outer: string, inner: string) {
  const row = (said: RegExp, key: string) => ({
    section: "profile",
    said,
    kind,
    remedy: `did you mean "${key}"?`,
  });
  return [
    row(/^major (diameter|dia\.?)$/i, major),
    row(/^minor (diameter|dia\.?)$/i, minor),
    row(/^(outer (diameter|dia\.?)|o\.?d\.?)$/i, outer),
    row(/^(inner (diameter|dia\.?)|i\.?d\.?)$/i, inner),
  ];
}

/** What to give in place of a key of a section that the trade has and a part file has not; null where that is not known. */
export function keyMeant(section: unknown, said: string, kind: ProfileKind | undefined): string | null {
  const meant = KEYS.filter(
    (one) =>
      one.section === section && one.said.test(said.trim()) && (!one.kind || !kind || one.kind === kind),
  );
  // without a kind another is meant in each
  return meant.length === 1 ? meant[0]!.remedy : null;
}
