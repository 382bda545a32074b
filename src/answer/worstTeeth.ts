import type { Design } from "../design/index.ts";
import { outlineEdges } from "../geometry/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { evaluator } from "../solver/index.ts";
import type { PathStart } from "../strength/index.ts";
import { acrossCuts } from "./acrossCuts.ts";
import { inwardNormal, middleNode } from "./boundaryPeaks.ts";
import { FEW_HALVINGS, pathAverage, pathPoints } from "./pathAverage.ts";
import { rootSurfaces } from "./rootSurfaces.ts";
import type { SolvedPass } from "./solvePass.ts";

/** Each tooth's share of the torque, adding up to 1. */
type Weights = readonly number[];

/**
 * Which teeth to load, none with more than its share 1/(z s) of the torque, so that they open a root as far as any can: the part is
 * elastic, so what a root sees is the sum of what each tooth by itself does to it, and by turning one solution of the ring with a single
 * loaded tooth says all of that. Behind each place of a root the teeth are taken in the order of what they add to the mean opening stress, until
 * the torque is used up; the place with the largest sum decides. Likewise those that push one hardest, which a torque that reverses asks
 * for: turned round it bears on the other flanks, of which other ones may touch.
 *
 * @param alone the ring with the whole torque on its first tooth. @param fraction s, the share of the teeth that carries.
 */
export function worstTeeth(
  design: Design,
  built: ProfileOutline,
  alone: SolvedPass,
  fraction: number,
): { readonly pulling: Weights; readonly pushing: Weights } {
  const most = 1 / (design.profile.teeth * fraction);
  const found = influences(design, built, alone);
  const pushes = found.map((adds) => adds.map((one) => -one));
  return { pulling: highestSum(found, most), pushing: highestSum(pushes, most) };
}

function highestSum(found: readonly (readonly number[])[], most: number): Weights {
  let worst: number[] = [];
  let highest = Number.NEGATIVE_INFINITY;
  for (const adds of found) {
    const weights = new Array<number>(adds.length).fill(0);
    const order = Array.from(adds.keys()).sort((a, b) => adds[b] - adds[a] || a - b);
    let left = 1;
    let sum = 0;
    for (const tooth of order) {
      weights[tooth] = left < 1.000001 * most ? left : most;
      left -= weights[tooth];
      sum += weights[tooth] * adds[tooth];
      if (!(left > 0)) break;
    }
    if (sum <= highest) continue;
    highest = sum;
    worst = weights;
  }
  if (worst.length === 0) throw new Error("worst teeth: no path from the root lies in the material");
  return worst;
}

/** Behind each place of the first tooth's roots, the mean opening stress that the whole torque on tooth 0, 1, … would bring, MPa. */
function influences(design: Design, built: ProfileOutline, { model, problem, solution, stress }: SolvedPass) {
  const { profile, averagingDistance: distance } = design;
  const { teeth } = profile;
  const face = profile.kind === "face tooth";
  const pitch = face ? (Math.PI * profile.meanDiameter) / teeth : 0;
  const at = acrossCuts(model, evaluator(problem, solution, stress));
  const found: number[][] = [];
  for (const { x, y, dx, dy } of placesOf(design, built, model)) {
    const adds = new Array<number>(teeth).fill(0);
    let inside = true;
    for (let k = 0; k < teeth && inside; k++) {
      // what this tooth sees of one k before it, that one sees of the first
      const angle = face ? 0 : (2 * Math.PI * k) / teeth;
      const [c, s] = [Math.cos(angle), Math.sin(angle)];
      const from = [c * x - s * y + pitch * k, s * x + c * y, c * dx - s * dy, s * dx + c * dy] as const;
      const mean = pathAverage(at, pathPoints(...from, distance, FEW_HALVINGS));
      inside = mean !== null;
      adds[(teeth - k) % teeth] = mean?.opening ?? 0;
    }
    if (inside) found.push(adds);
  }
  return found;
}

/** The first tooth's sharp corners, and the middles of the sides of its roots that are clear of them. */
function placesOf(design: Design, built: ProfileOutline, model: SolvedPass["model"]): PathStart[] {
  const { mesh } = model;
  const { all, singular } = rootSurfaces(design, built, model);
  const first = all.slice(0, built.corners.length);
  const names = outlineEdges(model.outline).map(({ name }) => name);
  const roots = new Set(first.flatMap(({ rootEdges }) => [...rootEdges]));
  const places: PathStart[] = first
    .filter(({ radius }) => radius === 0)
    .map(({ x, y, bisectorX: dx, bisectorY: dy }) => ({ x, y, dx, dy }));
  for (let side = 0; side < mesh.sideElement.length; side++) {
    if (!roots.has(names[mesh.sideEdge[side]])) continue;
    const middle = 2 * middleNode(mesh, side);
    const [x, y] = [mesh.xy[middle], mesh.xy[middle + 1]];
    if (singular.some((p) => Math.hypot(x - p.x, y - p.y) < p.within)) continue;
    const [dx, dy] = inwardNormal(mesh, { side, t: 0.5 });
    places.push({ x, y, dx, dy });
  }
  return places;
}

/** Which teeth were taken, in words; `pushing` those that push where the torque reverses, null where that is not asked. */
export function worstTeethNote(weights: Weights, pushing: Weights | null): string {
  const back = pushing
    ? `; of a torque turned round the push of another choice counts, ${shares(pushing)}`
    : "";
  return (
    `of all choices in which no tooth carries more than ${percent(Math.max(...weights))} of the torque, the one that opens a root furthest was taken (the wall behind may be worse off under another, by up to a fifth in trials, and a brittle root by up to a tenth): ` +
    shares(weights) +
    back
  );
}

const percent = (w: number) => `${Number((100 * w).toPrecision(3))} %`;

/** "20 % each on teeth 1 to 4, and 10 % on tooth 7". */
function shares(weights: Weights): string {
  const most = Math.max(...weights);
  const full = weights.flatMap((w, k) => (w > (1 - 1e-6) * most ? [k + 1] : []));
  const rest = weights.findIndex((w) => w > 0 && w <= (1 - 1e-6) * most);
  const last = rest >= 0 ? `, and ${percent(weights[rest])} on tooth ${rest + 1}` : "";
  return `${percent(most)} ${full.length === 1 ? "on tooth" : "each on teeth"} ${runs(full)}${last}`;
}

/** "1 to 4, 9 and 11 to 13". */
function runs(sorted: readonly number[]): string {
  const parts: string[] = [];
  for (let k = 0; k < sorted.length; k++) {
    const first = sorted[k];
    while (sorted[k + 1] === sorted[k] + 1) k++;
    parts.push(sorted[k] === first ? `${first}` : `${first} to ${sorted[k]}`);
  }
  return parts.length < 2 ? parts.join("") : `${parts.slice(0, -1).join(", ")} and ${parts.at(-1)}`;
}
