import { memoryNeeded } from "../answer/memoryNeeded.ts";
import { sizing } from "../answer/sizing.ts";
import type { Design } from "../design/index.ts";
import { type Mesh, MeshLimitError, meshOutline, outlineSize } from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** Nodes of a sector at which counting stops: some ten times as many as a run solves when nobody says otherwise. */
const MOST_NODES = 1_000_000;

/**
 * Unknowns of the first mesh of a variant, and the bytes it takes at most; finer ones follow until the accuracy is met. Both are infinite
 * where the mesh goes beyond all bounds.
 */
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
  let mesh: Mesh;
  try {
    mesh = meshOutline(profile.outline, { size, maxNodes: MOST_NODES });
  } catch (error) {
    if (!(error instanceof MeshLimitError)) throw error;
    return { unknowns: Infinity, bytes: Infinity };
  }
  const nodes = mesh.xy.length / 2;
  const cut = mesh.tieFollower.length;
  const copies = design.load.sharing.mode === "share" ? 1 : profile.sectors;
  return { unknowns: 2 * (nodes - cut) * copies, bytes: memoryNeeded({ nodes, cut, copies }) };
}
