import type { VariantResult } from "../answer/result.ts";
import { variantChanges } from "../strength/index.ts";
import { torqueBandText } from "./capacityText.ts";
import { rootText } from "./describe.ts";
import { judgedStress, pushedFarHigher, pushedHigher } from "./judged.ts";
import { figures, lengthText, shareText } from "./units.ts";
import { wordList } from "./wordList.ts";

/**
 * How `other` compares with `base` at the root, in words and from their own numbers: peak against peak where
 * both have one and are pulled, von Mises peaks where one is not or another is pushed far harder, averaged stress against averaged stress where a corner is sharp. A difference smaller than
 * the two estimated errors together is called none.
 */
export function ratioSentence(base: VariantResult, other: VariantResult): string {
  const names = [base.design.variant, other.design.variant];
  const distances = [base.root.average.distance, other.root.average.distance];
  const peaks = base.root.peakPrincipal !== null && other.root.peakPrincipal !== null;
  if (!peaks && Math.abs(distances[0]! - distances[1]!) > 1e-9 * distances[0]!) {
    return `${names[1]} and ${names[0]}: not compared, their stresses are averaged over different distances.`;
  }
  const pressed = peaks && [base, other].some((one) => one.root.kt === null || pushedFarHigher(one));
  const quantity = pressed
    ? "peak von Mises root stress"
    : peaks
      ? "peak root stress"
      : `root stress averaged over ${lengthText(distances[0]!, base.design.units)}`;
  const of = ({ root }: VariantResult): number =>
    pressed
      ? (root.highestVonMises ?? root.peakVonMises!).stress
      : peaks
        ? root.peakPrincipal!.stress
        : root.average.opening;
  const [a, b] = [of(base), of(other)];
  if (!(a > 0 && b > 0)) return `${names[1]} and ${names[0]}: not compared, the root is not pulled.`;
  // one unit here: brackets inside brackets read badly
  const units = base.design.units === "inch" ? "inch" : "metric";
  const who = [base, other].map((r) => `${r.design.variant} (${rootText({ ...r.design, units })})`);
  const unpulled = [base, other]
    .filter(({ root }) => pressed && root.kt === null)
    .map((r) => r.design.variant);
  const pull =
    unpulled.length === 2
      ? "; neither root is pulled to speak of"
      : unpulled.length === 1
        ? `; the root of ${unpulled[0]} is not pulled to speak of`
        : "";
  const uncertain = base.root.errorEstimate + other.root.errorEstimate;
  const larger = Math.max(a, b) / Math.min(a, b);
  const alike = larger - 1 <= uncertain;
  const both = alike ? 1 : b / a;
  const highest = !peaks
    ? ""
    : pressed
      ? pulledClause(base, other, both, uncertain)
      : highestClause(base, other, both, uncertain);
  if (alike) {
    const none = `${who[1]} and ${who[0]}: no difference in ${quantity} beyond the mesh error (±${figures(100 * uncertain, 2)} %)`;
    return `${none}${strengthClause(base, other)}${standsClause(base, other)}${elseClause(base, other)}${pull}${highest}.`;
  }
  return `${who[1]} carries ${howMuch(a, b)} ${quantity} than ${who[0]}${strengthClause(base, other)}${standsClause(base, other)}${elseClause(base, other)}${pull}${highest}.`;
}

/** "2.1 times less", "6.0 % more": b against a. */
function howMuch(a: number, b: number): string {
  const way = b < a ? "less" : "more";
  const larger = Math.max(a, b) / Math.min(a, b);
  return larger >= 1.5
    ? `${figures(larger, 2)} times ${way}`
    : `${figures(100 * Math.abs(b / a - 1), 2)} % ${way}`;
}

/** A change of the highest stress of any root that differs from that of the pulled peaks by more than this is told. */
const ANOTHER_WAY = 1.1;

/** Where the highest stress of any root, pushed or pulled, goes another way than the pulled peaks that are compared: yielding begins there. */
function highestClause(base: VariantResult, other: VariantResult, peaks: number, uncertain: number): string {
  const told = anotherWay(base, other, ({ root }) => root.highestVonMises?.stress ?? 0, peaks, uncertain);
  return told && `; the highest von Mises stress of any root is ${told}`;
}

/** The same where those highest stresses are what is compared: fracture and fatigue begin at the pulled peaks. */
function pulledClause(base: VariantResult, other: VariantResult, highest: number, uncertain: number): string {
  if ([base, other].some(({ root }) => root.kt === null)) return "";
  const told = anotherWay(base, other, ({ root }) => root.peakPrincipal?.stress ?? 0, highest, uncertain);
  return told && `; the peak of the pulled root is ${told}`;
}

/** How two stresses compare where that is not as what was compared does, `ratio`; empty where it is. */
function anotherWay(
  base: VariantResult,
  other: VariantResult,
  of: (one: VariantResult) => number,
  ratio: number,
  uncertain: number,
): string {
  const [a, b] = [of(base), of(other)];
  if (!(a > 0 && b > 0)) return "";
  const differs = Math.max(b / a / ratio, ratio / (b / a));
  if (differs < ANOTHER_WAY || differs - 1 <= uncertain) return "";
  const larger = Math.max(a, b) / Math.min(a, b);
  return larger - 1 <= uncertain ? "the same" : howMuch(a, b);
}

const unlikeSteels = (base: VariantResult, other: VariantResult): boolean =>
  base.steel !== null && other.steel !== null && base.steel.yieldLow !== other.steel.yieldLow;

/** Where the steels differ the same stress means something else: the shares of yield, low end of each band. */
function strengthClause(base: VariantResult, other: VariantResult): string {
  if (!unlikeSteels(base, other)) return "";
  // like with like: peaks, or averages where one of the two has no peak
  const averaged = [base, other].some(({ root }) => root.sharp || root.highestVonMises === null);
  const pushed = !averaged && [base, other].some(pushedHigher);
  const share = (one: VariantResult) =>
    shareText((averaged ? one.root.average.opening : judgedStress(one)) / one.steel!.yieldLow);
  if (pushed)
    return `; the highest von Mises stress of any root is ${share(other)} of its steel's yield against ${share(base)}`;
  const peaks = !base.root.sharp && !other.root.sharp;
  return averaged && peaks
    ? `; averaged, since another root is sharp, that is ${share(other)} of its steel's yield against ${share(base)}`
    : `, which is ${share(other)} of its steel's yield against ${share(base)}`;
}

/** Where the steels differ a spot over its yield is easily taken for the weaker part: what each stands says which is. */
function standsClause(base: VariantResult, other: VariantResult): string {
  const [own, then] = [base.capacity, other.capacity];
  if (!unlikeSteels(base, other)) return "";
  if (!own?.vouched || !then?.vouched) return "";
  const units = base.design.units === "inch" ? "inch" : "metric";
  return `; the part stands ${torqueBandText(then.stands, units)} against ${torqueBandText(own.stands, units)}`;
}

/** What else changes the stress, so that nobody takes the whole of the difference for the root's. */
function elseClause(base: VariantResult, other: VariantResult): string {
  const { changes, needsSolve } = variantChanges(base.design, other.design);
  const titles = changes.flatMap(({ id, title }) => (id !== "root radius" && needsSolve(id) ? [title] : []));
  if (titles.length === 0) return "";
  return `; they also differ in ${wordList(titles)}`;
}
