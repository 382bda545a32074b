import { type Fault, type LengthWords, lengthWords, type UnitChoice } from "../../design/index.ts";
import { cracksThrough, type ToothFigures } from "../field/rootField.ts";
import { BUILT_IN, findSteel, type SteelCatalogue, type SteelRecord } from "../steel/steelCatalogue.ts";
import { type SteelState, steelState } from "../steel/steelState.ts";
import { FINISHES, type Finish } from "./fatigueNotch.ts";

/** The steel to be judged, as a design names it. Hardness HRC. */
export interface SteelQuery {
  readonly grade: string;
  readonly hardnessLow: number;
  readonly hardnessHigh: number;
  /** Metal under a case. */
  readonly core?: { readonly hardnessLow: number; readonly hardnessHigh: number };
}

/** What the part must stand and how it is made. All but the torque have defaults. */
export interface Conditions {
  /** Torque of one shock on the whole part (working torque × shock factor), N·mm. */
  readonly requiredTorque: number;
  /** Margin wanted over it, for what is no torque but a yes or no; default 1. */
  readonly margin?: number;
  /** Shocks in a life; default 10,000. */
  readonly shocks?: number;
  /** Smallest over largest torque of a shock; default 0. */
  readonly torqueRatio?: number;
  /** Finish of the root; default machined. */
  readonly finish?: Finish;
  readonly peened?: boolean;
  /** Depth of a flaw in the root (tool mark, quench crack), mm; 0 or absent: none stated. */
  readonly flawDepth?: number;
  /** Case depth, mm, as a window. */
  readonly caseDepth?: readonly [number, number];
  /** Load distribution factor of the published spline formulas; default 1. */
  readonly distributionFactor?: number;
  /** Of the lengths that faults and titles tell; default metric. */
  readonly units?: UnitChoice;
}

/** Conditions with every default filled in and the steel read. */
export interface Settled {
  readonly required: number;
  readonly margin: number;
  readonly shocks: number;
  readonly ratio: number;
  readonly finish: Finish;
  readonly peened: boolean;
  readonly flaw: number;
  readonly caseDepth: readonly [number, number] | null;
  readonly distribution: number;
  /** Metal at the root's surface, and that which carries; the same where there is no case. */
  readonly surface: SteelState;
  readonly body: SteelState;
  /** The surface at its hardest. */
  readonly hardest: SteelState;
  /** The surface at hardnesses throughout its window, each by itself; none where that is one hardness. */
  readonly within: readonly SteelState[];
  readonly cased: boolean;
  /** How lengths are told. */
  readonly say: LengthWords;
}

/** Softest steel on which peening is counted, HRC (common practice, no source). */
export const SOFTEST_PEENED = 30;

/** Hardnesses of a window, HRC, two apart at most, both ends with them. */
function throughout(low: number, high: number): number[] {
  const steps = Math.ceil((high - low) / 2);
  return steps > 0 ? Array.from({ length: steps + 1 }, (_, k) => low + ((high - low) * k) / steps) : [];
}

/** Reads the steel and checks the conditions against it and the tooth; all faults at once, nothing settled when there are any. */
export function settle(
  tooth: Pick<ToothFigures, "rootThickness" | "wall">,
  query: SteelQuery,
  given: Conditions,
  catalogue: SteelCatalogue = BUILT_IN,
): { readonly settled: Settled } | { readonly faults: readonly Fault[] } {
  const faults: Fault[] = [];
  const say = lengthWords(given.units ?? "metric");
  const fault = (key: string, problem: string, remedy: string) => faults.push({ key, problem, remedy });
  const found = findSteel(query.grade, catalogue);
  if ("fault" in found) faults.push(found.fault);
  const steel = "steel" in found ? found.steel : null;
  const cased = steel?.condition === "case";
  const through = cracksThrough(tooth);
  const half = through / 2;
  const section = tooth.wall < tooth.rootThickness ? "wall behind the root" : "tooth";

  const state = (record: SteelRecord, low: number, high: number): SteelState | null => {
    const read = steelState(record, low, high);
    if ("fault" in read) {
      faults.push(read.fault);
      return null;
    }
    return read.state;
  };
  const surface = steel ? state(steel, query.hardnessLow, query.hardnessHigh) : null;
  const hardest = surface && state(steel!, query.hardnessHigh, query.hardnessHigh);
  const within = surface
    ? throughout(query.hardnessLow, query.hardnessHigh).flatMap((hrc) => state(steel!, hrc, hrc) ?? [])
    : [];
  let body = surface;
  if (steel && cased) {
    const core = findSteel(steel.core ?? "", catalogue);
    if (!query.core)
      fault(
        "steel.core hardness",
        `missing: ${steel.name} is case hardened`,
        "add one such as core hardness: 30..38 HRC",
      );
    else if ("fault" in core) faults.push(core.fault);
    else body = state(core.steel, query.core.hardnessLow, query.core.hardnessHigh);
  } else if (steel && query.core) {
    fault(
      "steel.core hardness",
      `${steel.name} is through hardened here and has no core`,
      "leave it out, or use a case-hardened steel",
    );
  }

  const depth = given.caseDepth ?? null;
  if (depth) {
    const text = say.window(depth);
    if (!(depth[0] > 0 && depth[1] >= depth[0]))
      fault(
        "steel.case depth",
        `${text} is no depth`,
        `give it as low..high, such as ${say.window([0.4, 0.6])}`,
      );
    else if (steel && !cased)
      fault(
        "steel.case depth",
        `${steel.name} is through hardened here and has no case`,
        "leave the case depth out, or use a case-hardened steel",
      );
    else if (depth[1] >= half)
      fault(
        "steel.case depth",
        `${text} reaches the middle of a ${section} ${say.length(through, 3)} thick${section === "tooth" ? " at its root" : ""}: the cases meet`,
        `use less than ${say.atMost(half, 3)}, or call the part through hardened`,
      );
  }
  const flaw = given.flawDepth ?? 0;
  if (!(flaw >= 0))
    fault(
      "strength.flaw depth",
      `${say.length(flaw)} is no depth`,
      `use 0 for no flaw, or its depth, such as ${say.length(0.05)}`,
    );
  else if (flaw >= half)
    fault(
      "strength.flaw depth",
      `${say.length(flaw)} is half the ${section} or more`,
      `use less than ${say.atMost(half, 3)}; a part cracked so far is broken`,
    );
  else if (cased && flaw > 0 && !depth)
    fault(
      "strength.flaw depth",
      `a flaw of ${say.length(flaw)} in a case of unknown depth`,
      "give the case depth, so that the flaw is known to lie in it or beyond",
    );
  else if (cased && depth && flaw > depth[0])
    fault(
      "strength.flaw depth",
      `a flaw of ${say.length(flaw)} is deeper than the case of ${say.window(depth)}, whose toughness would not stop it`,
      `use ${say.atMost(depth[0])} or less: the case cracked right through is judged by itself`,
    );
  const peened = given.peened ?? false;
  if (peened && surface && surface.hardnessLow < SOFTEST_PEENED)
    fault(
      "strength.peened",
      `peening gains nothing sure on steel of ${surface.hardnessLow} HRC`,
      `leave it out, or use ${SOFTEST_PEENED} HRC or harder`,
    );
  const shocks = given.shocks ?? 10_000;
  if (!(shocks >= 1 && Number.isFinite(shocks)))
    fault("strength.shocks", `${shocks} shocks`, "use a number of 1 or more, such as 10000");
  const ratio = given.torqueRatio ?? 0;
  if (!(ratio >= -1 && ratio < 1))
    fault(
      "strength.torque ratio",
      `${ratio} is not the smaller torque over the larger`,
      "use 0 for shocks one way, -1 for shocks both ways",
    );
  if (!(given.requiredTorque > 0 && Number.isFinite(given.requiredTorque)))
    fault("load.torque", `a required torque of ${given.requiredTorque} N·mm`, "use a positive torque");
  if (!((given.margin ?? 1) > 0)) fault("strength.margin", `a margin of ${given.margin}`, "use 1 or more");
  const finish = given.finish ?? "machined";
  if (!FINISHES.includes(finish))
    fault(
      "strength.finish",
      `"${String(finish).slice(0, 40)}" is no finish`,
      `use one of ${FINISHES.join(", ")}`,
    );
  const distribution = given.distributionFactor ?? 1;
  if (!(distribution >= 1))
    fault(
      "strength.distribution factor",
      `${distribution} is below 1`,
      "use 1 for perfect alignment, up to 3",
    );

  if (faults.length > 0 || !surface || !hardest || !body) return { faults };
  return {
    settled: {
      required: given.requiredTorque,
      margin: given.margin ?? 1,
      shocks,
      ratio,
      finish,
      peened,
      flaw,
      caseDepth: depth,
      distribution,
      surface,
      body,
      hardest,
      within,
      cased,
      say,
    },
  };
}
