import type { VariantResult } from "../answer/result.ts";
import type { UnitChoice } from "../design/index.ts";
import type { Band, Mode } from "../strength/index.ts";
import { marginVerdict, wantedMargin } from "./marginVerdict.ts";
import { figures, inTorqueUnits } from "./units.ts";

/** "1800–2840", one figure where both ends round alike, "from 1800" where the high end has no bound. */
export function spanText({ low, high }: Band, per = 1): string {
  const [from, to] = [figures(low / per), figures(high / per)];
  if (!Number.isFinite(high)) return `from ${from}`;
  return from === to ? from : `${from}–${to}`;
}

/** "1.45–2.29": a margin. An end that falls short of `wanted` gets as many figures as it takes not to read as if it did not. */
export function marginText({ low, high }: Band, wanted: number): string {
  const short = (end: number): string => {
    let count = 3;
    while (end < wanted && Number(figures(end, count)) >= wanted && count < 9) count++;
    return figures(end, count);
  };
  if (!Number.isFinite(high)) return `from ${short(low)}`;
  const [from, to] = [short(low), short(high)];
  return from === to ? from : `${from}–${to}`;
}

/** "1800–2840 N·m (1320–2100 lbf·ft)". `band` in N·mm. */
export function torqueBandText(band: Band, units: UnitChoice): string {
  return inTorqueUnits(units, (unit) => spanText(band, unit));
}

/** A mode's own short name; of a case-hardened steel the root's fracture is that of the case. */
export const modeName = ({ id, title }: Pick<Mode, "id" | "title">): string =>
  id === "root fracture" && title.startsWith("case") ? "case cracking" : id;

/** "fatigue at 1800–2840 N·m (1320–2100 lbf·ft), margin 1.45–2.29", and that it is not all where it is not; empty when no steel is named. */
export function capacityText({ capacity, design }: VariantResult): string {
  if (!capacity) return "";
  const { governing, stands, margin, vouched } = capacity;
  return `${modeName(governing)} at ${torqueBandText(stands, design.units)}, margin ${marginText(margin, wantedMargin(design))}${vouched || marginVerdict(margin, design) === "no" ? "" : "; enough? not known"}`;
}

/** "plastic section at 3440–6130 N·m (2540–4520 lbf·ft)": what comes after; empty when nothing is known to. */
export function nextText({ capacity, design }: VariantResult): string {
  const next = capacity?.next;
  return next ? `${modeName(next)} at ${torqueBandText(next.torque!, design.units)}` : "";
}
