import type { SplineProfile } from "./design.ts";

/** Metal behind the teeth, as a share of the tooth's height, below which the plane model means nothing. */
export const LEAST_BACK = 0.1;

/** Rim or bore where none is given, mm: two tooth heights behind the root, half the root diameter (common practice, no source). */
export const defaultBack = ({
  kind,
  tipDiameter,
  rootDiameter,
}: Pick<SplineProfile, "kind" | "tipDiameter" | "rootDiameter">): number =>
  kind === "internal spline" ? rootDiameter + 2 * (rootDiameter - tipDiameter) : rootDiameter / 2;
