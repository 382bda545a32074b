import { type Fault, hrcToHb, hrcToHv } from "../../design/index.ts";
import { type Band, envelope } from "../arithmetic/band.ts";
import { ROOT_METRE } from "../field/criticalDistance.ts";
import { GENERAL_THRESHOLD, type PropertyRow, type SteelRecord } from "./steelCatalogue.ts";
import { steelCautions } from "./steelCautions.ts";
import data from "./steelData.json" with { type: "json" };
import steels from "./steels.json" with { type: "json" };
import { tensileByBothTables } from "./tensileFromHardness.ts";

/** One property of a steel over a hardness window. */
export interface Property extends Band {
  /** Where the band comes from, one entry a row used. */
  readonly sources: readonly string[];
  /** True when any part of it rests on memory alone. */
  readonly memory: boolean;
}

/**
 * A steel over a hardness window: every property the envelope of all rows that speak of any hardness in it. Null where no row
 * reaches the whole window. MPa; toughness and threshold MPa√mm.
 */
export interface SteelState {
  readonly name: string;
  readonly hardnessLow: number;
  readonly hardnessHigh: number;
  /** Vickers at the window's ends. */
  readonly hv: Band;
  readonly tensile: Property;
  readonly yield: Property;
  /** σ0 of the critical-distance method. */
  readonly inherent: Property;
  readonly toughness: Property | null;
  /** Amplitude, fully reversed, polished, 10^6 cycles. */
  readonly fatigueLimit: Property | null;
  /** Long-crack threshold at R = 0. */
  readonly threshold: Property | null;
  readonly warnings: readonly string[];
}

/** Hardness is looked at this often between the ends of a window, HRC. */
const STEP = 0.25;

type StateOrFault = { readonly state: SteelState } | { readonly fault: Fault };

/** States already worked out, by steel and window: a sweep asks for the same one thousands of times. */
const known = new WeakMap<SteelRecord, Map<string, StateOrFault>>();
/** A sweep over hardness asks for many windows once each. */
const MOST_KNOWN = 1000;

/**
 * The steel's properties over a window of hardness, HRC.
 * @returns a fault, and nothing else, when the window is outside the steel's data or upside down.
 */
export function steelState(steel: SteelRecord, hardnessLow: number, hardnessHigh: number): StateOrFault {
  const windows = known.get(steel) ?? new Map<string, StateOrFault>();
  known.set(steel, windows);
  const window = `${hardnessLow} ${hardnessHigh}`;
  const before = windows.get(window);
  if (before) return before;
  const state = stateOver(steel, hardnessLow, hardnessHigh);
  if (windows.size < MOST_KNOWN) windows.set(window, state);
  return state;
}

function stateOver(steel: SteelRecord, hardnessLow: number, hardnessHigh: number): StateOrFault {
  const [softest, hardest] = steel.hrc;
  if (!(hardnessLow <= hardnessHigh && hardnessLow >= softest - 1e-9 && hardnessHigh <= hardest + 1e-9)) {
    return {
      fault: {
        key: steel.condition === "core" ? "steel.core hardness" : "steel.hardness",
        problem: `${words(hardnessLow, hardnessHigh)} is outside the data for ${steel.name}`,
        remedy: `use a window within ${softest}..${hardest} HRC`,
      },
    };
  }
  const places = [
    ...placesIn(hardnessLow, hardnessHigh),
    ...rowEnds(steel).filter((hrc) => hrc > hardnessLow && hrc < hardnessHigh),
  ];
  const tensile = over(places, (hrc) => tensileAt(steel, hrc));
  if (!tensile) {
    return {
      fault: {
        key: "steel.hardness",
        problem: `no tensile strength is known for all of ${words(hardnessLow, hardnessHigh)} in ${steel.name}`,
        remedy: "use a narrower window, or give the steel tensile rows in a steels file",
      },
    };
  }
  const ratio = steel.yieldRatio;
  const inherent = data.general.inherentStrength;
  return {
    state: {
      name: steel.name,
      hardnessLow,
      hardnessHigh,
      hv: { low: hrcToHv(hardnessLow) ?? Number.NaN, high: hrcToHv(hardnessHigh) ?? Number.NaN },
      tensile,
      yield: scaled(tensile, ratio.low, ratio.high, ratio.source, ratio.memory === true),
      inherent: scaled(tensile, inherent.low, inherent.high, inherent.source, inherent.memory),
      toughness: inRootMm(over(places, (hrc) => rowsAt(steel.toughness ?? [], hrc))),
      fatigueLimit: over(places, (hrc) =>
        steel.fatigueLimit ? rowsAt(steel.fatigueLimit, hrc) : fatigueAt(steel, hrc),
      ),
      threshold: inRootMm(over(places, (hrc) => rowsAt(steel.threshold ?? GENERAL_THRESHOLD, hrc))),
      warnings: [
        ...oddTensile(steel, places, tensile),
        ...steelCautions(steel.name, { hardnessLow, hardnessHigh }),
        ...(steel.cautions ?? [])
          .filter((one) => hardnessHigh > one.fromHrc && hardnessLow < one.toHrc)
          .map((one) => `${one.text} (${one.source})`),
      ],
    },
  };
}

function words(low: number, high: number): string {
  const text = (hrc: number) => String(Math.round(10 * hrc) / 10);
  return low === high ? `${text(low)} HRC` : `${text(low)}..${text(high)} HRC`;
}

function placesIn(low: number, high: number): number[] {
  const count = Math.max(1, Math.ceil((high - low) / STEP));
  const steps = Array.from({ length: count + 1 }, (_, k) => low + ((high - low) * k) / count);
  // tables turn at whole numbers
  const whole: number[] = [];
  for (let hrc = Math.ceil(low); hrc <= high; hrc++) whole.push(hrc);
  return low === high ? [low] : [...new Set([...steps, ...whole])];
}

/**
 * Hardness, HRC, at which steps must look, or they leap over what a steel's rows say: the ends of rows, where two may hold at once, and
 * a place within each hole between the rows of one property.
 */
export function rowEnds({ tensile, toughness, fatigueLimit, threshold }: SteelRecord): number[] {
  const all = [tensile, toughness, fatigueLimit, threshold ?? GENERAL_THRESHOLD].flatMap((rows = []) => {
    const spans = rows.map(({ hrc }) => hrc).sort((a, b) => a[0] - b[0]);
    let reach = spans[0]?.[1] ?? 0;
    return spans.flatMap(([from, to]) => {
      const gap = from > reach + 2 * ROW_END ? [(reach + from) / 2] : [];
      reach = Math.max(reach, to);
      return [...gap, from, to];
    });
  });
  return [...new Set(all)].sort((a, b) => a - b);
}

/** Of a steel's own rows: strength follows hardness closely, whatever the steel; a slip of units or of a row does not. */
function oddTensile({ name, tensile }: SteelRecord, places: readonly number[], own: Band): string[] {
  if (!tensile) return [];
  const tables = envelope(places.flatMap((hrc) => tablesAt(hrc) ?? []));
  if (!tables || (own.low < FAR * tables.high && own.high > tables.low / FAR)) return [];
  const text = ({ low, high }: Band) => `${Math.round(low)} to ${Math.round(high)} MPa`;
  return [
    `The tensile strength given for ${name} at this hardness, ${text(own)}, is far from what hardness tables have, ${text(tables)}: look at its rows and their units`,
  ];
}

const FAR = 1.3;

/** A row holds this far beyond its ends, HRC. */
const ROW_END = 1e-9;

/** Envelope over all places; null unless every place has a value. */
function over(places: readonly number[], at: (hrc: number) => Property | null): Property | null {
  const found: Property[] = [];
  for (const hrc of places) {
    const one = at(hrc);
    if (!one) return null;
    found.push(one);
  }
  return joined(found);
}

function joined(found: readonly Property[]): Property | null {
  const all = envelope(found);
  if (!all) return null;
  return {
    ...all,
    sources: [...new Set(found.flatMap((one) => one.sources))],
    memory: found.some((one) => one.memory),
  };
}

function rowsAt(rows: readonly PropertyRow[], hrc: number): Property | null {
  return joined(
    rows
      .filter((row) => hrc >= row.hrc[0] - ROW_END && hrc <= row.hrc[1] + ROW_END)
      .map((row) => {
        const t = (hrc - row.hrc[0]) / (row.hrc[1] - row.hrc[0]);
        return {
          low: (row.low[0] + t * (row.low[1] - row.low[0])) * (1 - row.scatter),
          high: (row.high[0] + t * (row.high[1] - row.high[0])) * (1 + row.scatter),
          sources: [row.source],
          memory: row.memory === true,
        };
      }),
  );
}

/** By both tables and their spread, as `steelStrength` has it, or by the steel's own rows. */
function tensileAt(steel: SteelRecord, hrc: number): Property | null {
  if (steel.tensile) return rowsAt(steel.tensile, hrc);
  const plain = tablesAt(hrc);
  if (!plain) return null;
  const spread = steels.tensileSpread.value;
  const european = steels.tensileByHv.source;
  const remembered = (hrcToHv(hrc) ?? 0) > REMEMBERED_ABOVE;
  return {
    low: plain.low * (1 - spread),
    high: plain.high * (1 + spread),
    sources: [steels.tensileByHrc.source, remembered ? european : european.replace(FROM_MEMORY, "")],
    memory: remembered,
  };
}

/** The European table's rows above this, HV, are from memory, as its source says in these words. */
const REMEMBERED_ABOVE = 470;
const FROM_MEMORY = /; rows above 470 HV from memory/;

function tablesAt(hrc: number): Band | null {
  const { us, european } = tensileByBothTables(hrc);
  return envelope([us, european].filter((one) => one !== null).map((one) => ({ low: one, high: one })));
}

/** Fatigue limit by the general rules, all that reach this hardness. */
function fatigueAt(steel: SteelRecord, hrc: number): Property | null {
  const tensile = steel.tensile ? rowsAt(steel.tensile, hrc) : tablesAt(hrc);
  const hv = hrcToHv(hrc);
  if (!tensile || hv === null) return null;
  const hb = hrcToHb(hrc) ?? hv;
  const found: Property[] = [];
  for (const rule of data.general.fatigueLimit) {
    let value: Band | null = null;
    if (rule.rule === "share of tensile") {
      const by = (s: number) => (s <= rule.tensileUpTo! ? rule.share! * s : rule.above!);
      value = { low: by(tensile.low), high: by(tensile.high) };
    } else if (rule.rule === "share of tensile by HB") {
      const [from, to] = [rule.from!, rule.to!];
      const t = Math.min(1, Math.max(0, (hb - from[0]) / (to[0] - from[0])));
      const share = from[1] + t * (to[1] - from[1]);
      value = { low: share * tensile.low, high: share * tensile.high };
    } else if (hv <= rule.hvUpTo!) {
      value = { low: rule.factor! * hv, high: rule.factor! * hv };
    }
    if (!value) continue;
    const hard = data.general.fatigueScatterHard;
    const t = Math.min(1, Math.max(0, (hv - hard.fromHv) / (hard.toHv - hard.fromHv)));
    const widen = hard.factor ** (t / 2);
    found.push({
      low: Math.min(value.low * (1 - rule.scatter), value.low / widen),
      high: Math.max(value.high * (1 + rule.scatter), value.high * widen),
      sources: [rule.source],
      memory: rule.memory === true,
    });
  }
  return joined(found);
}

function scaled(of: Property, low: number, high: number, source: string, memory: boolean): Property {
  return {
    low: of.low * low,
    high: of.high * high,
    sources: [...of.sources, source],
    memory: of.memory || memory,
  };
}

function inRootMm(one: Property | null): Property | null {
  return one && { ...one, low: one.low * ROOT_METRE, high: one.high * ROOT_METRE };
}
