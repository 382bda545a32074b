import type { Evaluator } from "../solver/index.ts";
import { repeatedSampler } from "../strength/index.ts";
import type { StressAt } from "./pathAverage.ts";
import type { Model } from "./toothLoads.ts";

/** Stress at a place, or at that place's image where it lies behind the cut of a sector. */
export function acrossCuts({ outline }: Model, field: Pick<Evaluator, "stressAtPlace">): StressAt {
  const sampler = repeatedSampler(outline, field.stressAtPlace);
  const place = new Float64Array(2);
  return (x, y, out) => {
    place[0] = x;
    place[1] = y;
    return sampler(place, out);
  };
}
