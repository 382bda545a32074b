import type { Family } from "./case.ts";
import { bars } from "./families/bars.ts";
import { charts } from "./families/charts.ts";
import { convergence } from "./families/convergence.ts";
import { corners } from "./families/corners.ts";
import { plates } from "./families/plates.ts";
import { rings } from "./families/rings.ts";
import { teeth } from "./families/teeth.ts";

/** Every case of the suite, in the order of the document. Cheap: nothing is solved before a case runs. */
export function suite(): Family[] {
  return [rings(), plates(), bars(), charts(), teeth(), corners(), convergence()];
}
