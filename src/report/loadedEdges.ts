import type { VariantResult } from "../answer/result.ts";
import type { ProfileOutline } from "../profile/index.ts";

/** Names of the edges that carry pressure and reaction in the model that was solved. */
export interface LoadedEdges {
  readonly pressure: readonly string[];
  readonly reaction: readonly string[];
}

/** In a sector the profile's own edges; in a whole ring their copies, "name#tooth", on the teeth that carry. */
export function loadedEdges({ design, model }: VariantResult, profile: ProfileOutline): LoadedEdges {
  if (model === "sector") return { pressure: profile.contactEdges, reaction: profile.reactionEdges };
  const { sharing } = design.load;
  const teeth = Array.from({ length: profile.sectors }, (_, k) => k);
  const carrying = sharing.mode === "teeth" ? teeth.filter((k) => (sharing.weights[k] ?? 0) !== 0) : teeth;
  const copies = (names: readonly string[], of: readonly number[]) =>
    of.flatMap((k) => names.map((name) => `${name}#${k}`));
  return { pressure: copies(profile.contactEdges, carrying), reaction: copies(profile.reactionEdges, teeth) };
}
