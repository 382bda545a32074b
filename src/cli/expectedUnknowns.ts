import { sizing } from "../answer/sizing.ts";
import type { Design } from "../design/index.ts";
import { meshOutline, outlineSize } from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** Unknowns of the first mesh of a variant; finer ones follow until the accuracy is met. */
export function expectedUnknowns(design: Design, profile: ProfileOutline): number {
  const { base, edgeSize, sources, sidesPerEighth } = sizing(design, profile, 1);
  const size = outlineSize(profile.outline, {
    base,
    edgeSize,
    sources,
    concaveSides: sidesPerEighth,
    least: 0,
  });
  const mesh = meshOutline(profile.outline, { size });
  const free = mesh.xy.length / 2 - mesh.tieFollower.length;
  return 2 * free * (design.load.sharing.mode === "share" ? 1 : profile.sectors);
}
