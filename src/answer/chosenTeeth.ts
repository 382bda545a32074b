import type { Design } from "../design/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { reverses } from "../strength/index.ts";
import type { Bounds } from "./solveAdaptively.ts";
import { solvePass } from "./solvePass.ts";
import { worstTeeth } from "./worstTeeth.ts";

/**
 * The design with the teeth named where the worst choice was asked for: the ring is solved for them once, on its first mesh. Where shocks
 * reverse also the choice that pushes hardest; null where it is the same one, turned or not.
 */
export function withWorstTeeth(
  asked: Design,
  built: ProfileOutline,
  accuracy: number,
  { maxUnknowns, ...bounds }: Bounds,
): { readonly design: Design; readonly pushing: readonly number[] | null } {
  const { sharing } = asked.load;
  if (sharing.mode !== "teeth" || sharing.worstOf === undefined) return { design: asked, pushing: null };
  const loaded = (weights: readonly number[]): Design => ({
    ...asked,
    load: { ...asked.load, sharing: { ...sharing, weights } },
  });
  const first = loaded(Array.from({ length: asked.profile.teeth }, (_, k) => (k === 0 ? 1 : 0)));
  const alone = solvePass({ ...first, accuracy }, built, 1, maxUnknowns, bounds);
  const { pulling, pushing } = worstTeeth(asked, built, alone, sharing.worstOf);
  const turned = (step: number) =>
    pushing.every((w, k) => Math.abs(w - pulling[(k + step) % pulling.length]) < 1e-9);
  const both = reverses(asked) && !pushing.some((_, step) => turned(step));
  return { design: loaded(pulling), pushing: both ? pushing : null };
}
