import { memoryNeeded } from "../answer/memoryNeeded.ts";
import { sizing } from "../answer/sizing.ts";
import type { Design } from "../design/index.ts";
import { meshOutline, outlineSize } from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** Unknowns of the first mesh of a variant, and the bytes it takes at most; finer ones follow until the accuracy is met. */
export function expectedModel(
  design: Design,
  profile: ProfileOutline,
): { readonly unknowns: number; readonly bytes: number } {
  const { base, edgeSize, sources, sidesPerEighth } = sizing(design, profile, 1);
  const size = outlineSize(profile.outline, {
    base,
    edgeSize,
    sources,
    concaveSides: sidesPerEighth,
    least: 0,
  });
  const mesh = meshOutline(profile.outline, { size });
  const nodes = mesh.xy.length / 2;
  const cut = mesh.tieFollower.length;
  const copies = design.load.sharing.mode === "share" ? 1 : profile.sectors;
  return { unknowns: 2 * (nodes - cut) * copies, bytes: memoryNeeded({ nodes, cut, copies }) };
}
