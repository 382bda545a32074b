import type { Design } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { buildRootField, NoRootPath, type RootField } from "../strength/index.ts";
import type { RingGrowth } from "./ringGrowth.ts";
import type { SolvedPass } from "./solvePass.ts";

/** What strength needs of a solved root, or why it cannot be had. */
export type RootRead = { readonly rootField: RootField } | { readonly unread: string };

/** Reads the root of a solved design. One that cannot be read leaves the stresses standing. @param ring null where it keeps its shape. */
export function readRoot(
  design: Design,
  built: ProfileOutline,
  solved: SolvedPass,
  ring: RingGrowth | null,
): RootRead {
  try {
    const flat = buildRootField(design, built, { ...solved, ...ring?.grown });
    if (!ring?.dish) return { rootField: flat };
    // partly held it is between the two, and whichever gives first counts
    return { rootField: { ...buildRootField(design, built, { ...solved, ...ring.dish }), keptFlat: flat } };
  } catch (error) {
    if (!(error instanceof NoRootPath)) throw error;
    return { unread: error.message };
  }
}
