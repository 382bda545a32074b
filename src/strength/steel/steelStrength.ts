import { checkSteel, DesignError, findGrade, formatPercent, type SteelChoice } from "../../design/index.ts";
import { catalogueOf } from "./ownSteels.ts";
import { findSteel, type SteelRecord } from "./steelCatalogue.ts";
import { steelCautions } from "./steelCautions.ts";
import { steelState } from "./steelState.ts";
import steels from "./steels.json" with { type: "json" };
import { tensileByBothTables } from "./tensileFromHardness.ts";

/** The steel's strength at the chosen hardness; every figure a band. MPa. */
export interface SteelStrength {
  readonly grade: string;
  readonly hardnessText: string;
  readonly yieldLow: number;
  readonly yieldHigh: number;
  readonly tensileLow: number;
  readonly tensileHigh: number;
  readonly source: string;
  readonly warnings: readonly string[];
}

interface GradeData {
  /** Quenched-and-tempered rows whose yield to tensile ratios bound this grade's. */
  readonly yieldRows?: readonly string[];
  readonly yieldRatio?: readonly number[];
  readonly yieldSource: string;
}

const GRADES: Readonly<Record<string, GradeData>> = steels.grades;

/**
 * Yield and tensile strength from hardness, as bands: from the weaker of two tables at the soft end of the window
 * less the tables' own spread, to the stronger at the hard end plus it. Yield is that times the lowest and the
 * highest yield ratio known for the grade. Of a case-hardened steel both are the core's.
 * @throws DesignError for a grade or a hardness without data (keys "steel.grade", "steel.hardness" …, no places).
 */
export function steelStrength(choice: SteelChoice): SteelStrength {
  if (choice.own) return byCatalogue(choice.grade, choice);
  const faults = checkSteel(choice);
  if (faults.length > 0) throw new DesignError(faults);
  const grade = findGrade(choice.grade)!;
  if (!(grade.name in GRADES)) return byCatalogue(grade.name, choice);
  const { low, high, oneTable } = tensileBand(choice);
  const [ratioLow, ratioHigh, ratioSource] = yieldRatio(grade.name);
  return {
    grade: grade.name,
    hardnessText: choice.core
      ? `case ${choice.hardnessText}, core ${choice.core.hardnessText}`
      : choice.hardnessText,
    yieldLow: low * ratioLow,
    yieldHigh: high * ratioHigh,
    tensileLow: low,
    tensileHigh: high,
    source:
      `estimate from ${choice.core ? "core " : ""}hardness: tensile by ${steels.tensileByHrc.source} and ` +
      `${steels.tensileByHv.source}, ±${formatPercent(steels.tensileSpread.value)}; ` +
      `yield ${ratioLow.toFixed(2)} to ${ratioHigh.toFixed(2)} of it, ${ratioSource}`,
    warnings: [...oneTable, ...steelCautions(grade.name, choice)],
  };
}

/** Steels whose ratios and own tensile rows stand in the steel data: the same bands that every mode of failure is counted with. */
function byCatalogue(name: string, choice: SteelChoice): SteelStrength {
  const catalogue = catalogueOf(choice);
  const recordOf = (wanted: string): SteelRecord => {
    const found = findSteel(wanted, catalogue);
    if ("fault" in found) throw new DesignError([found.fault]);
    return found.steel;
  };
  const steel = recordOf(name);
  const body = steel.core === undefined ? steel : recordOf(steel.core);
  const { hardnessLow, hardnessHigh } = choice.core ?? choice;
  const read = steelState(body, hardnessLow, hardnessHigh);
  if ("fault" in read) throw new DesignError([read.fault]);
  const { state } = read;
  const sources = [...new Set([...state.tensile.sources, ...state.yield.sources])].join("; ");
  return {
    grade: name,
    hardnessText: choice.core
      ? `case ${choice.hardnessText}, core ${choice.core.hardnessText}`
      : choice.hardnessText,
    yieldLow: state.yield.low,
    yieldHigh: state.yield.high,
    tensileLow: state.tensile.low,
    tensileHigh: state.tensile.high,
    source: `estimate from hardness: ${sources}`,
    warnings: state.warnings,
  };
}

/** Tensile band of the window that carries: the core of a case-hardened steel, else the whole section. */
function tensileBand(choice: SteelChoice): { low: number; high: number; oneTable: string[] } {
  const window = choice.core ?? choice;
  const soft = tensileByBothTables(window.hardnessLow);
  const hard = tensileByBothTables(window.hardnessHigh);
  const known = (both: { us: number | null; european: number | null }) =>
    [both.us, both.european].filter((tensile) => tensile !== null);
  const spread = steels.tensileSpread.value;
  return {
    low: Math.min(...known(soft)) * (1 - spread),
    high: Math.max(...known(hard)) * (1 + spread),
    oneTable:
      known(soft).length < 2 || known(hard).length < 2
        ? ["Only one of the two tensile tables reaches the whole of this hardness window"]
        : [],
  };
}

function yieldRatio(grade: string): readonly [number, number, string] {
  const data = GRADES[grade]!;
  if (data.yieldRatio) return [data.yieldRatio[0]!, data.yieldRatio[1]!, data.yieldSource];
  const ratios = steels.quenchedAndTempered.rows
    .filter((row) => data.yieldRows?.includes(row.grade))
    .map((row) => row.yield / row.tensile);
  return [Math.min(...ratios), Math.max(...ratios), data.yieldSource];
}
