import { type Answer, answerDesign } from "../src/answer/index.ts";
import type { Design } from "../src/design/index.ts";
import { stressMap, stressScale } from "../src/report/index.ts";
import type { Times } from "./stages.ts";

/** One design from data in memory to its map, all adaptive passes summed. Ordering and symbolic phase are one figure there. */
export function designRound(design: Design): { times: Times; answer: Answer } {
  const answer = answerDesign(design);
  const { result, field, profile } = answer;
  const from = performance.now();
  stressMap({ result, field, profile, scale: stressScale(result, [result]) });
  const draw = performance.now() - from;
  const { mesh, assemble, order, factor, solve, recover, estimate, total } = result.times;
  return {
    times: { mesh, assemble, order, numeric: factor, solve, recover, estimate, draw, "to stresses": total },
    answer,
  };
}
