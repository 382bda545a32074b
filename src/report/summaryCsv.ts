import type { VariantResult } from "../answer/result.ts";
import { driveHold, ringOutcome } from "../strength/index.ts";
import { ktText } from "./describe.ts";
import { driveVerdict } from "./driveHoldText.ts";
import { wantedMargin } from "./marginVerdict.ts";
import { enoughWords } from "./releaseTable.ts";
import type { FailedVariant } from "./resultsJson.ts";

/** One column: its heading, units included, and its cell. Numbers at full precision; empty where there is none. */
type CsvColumn = readonly [heading: string, cell: (r: VariantResult) => string | number | null];

const COLUMNS: readonly CsvColumn[] = [
  ["part", (r) => r.design.part],
  ["variant", (r) => r.design.variant],
  ["note", (r) => r.design.note],
  ["profile", (r) => r.design.profile.kind],
  ["teeth", (r) => r.design.profile.teeth],
  ["root radius (mm)", (r) => rootRadius(r)],
  ["face width (mm)", (r) => r.design.profile.faceWidth],
  ["torque (N·mm)", (r) => r.design.load.torque],
  ["shock factor", (r) => r.design.load.shockFactor],
  ["shock torque (N·mm)", (r) => r.torque.shock],
  ["torque on most loaded tooth (N·mm)", (r) => r.torque.perTooth],
  ["steel", (r) => r.steel?.grade ?? null],
  ["hardness", (r) => r.steel?.hardnessText ?? null],
  ["yield low (MPa)", (r) => r.steel?.yieldLow ?? null],
  ["tensile low (MPa)", (r) => r.steel?.tensileLow ?? null],
  ["peak principal stress (MPa)", (r) => r.root.peakPrincipal?.stress ?? "unbounded (sharp)"],
  ["peak von Mises stress (MPa)", (r) => r.root.peakVonMises?.stress ?? "unbounded (sharp)"],
  [
    "highest von Mises stress of any root (MPa)",
    (r) => r.root.highestVonMises?.stress ?? "unbounded (sharp)",
  ],
  ["Kt", (r) => r.root.kt ?? ktText(r)],
  ["nominal root stress (MPa)", (r) => r.root.nominal.stress],
  ["averaging distance (mm)", (r) => r.root.average.distance],
  ["averaged principal stress (MPa)", (r) => r.root.average.principal],
  ["averaged opening stress (MPa)", (r) => r.root.average.opening],
  [
    "peak von Mises / yield low",
    (r) => (r.steel && r.root.peakVonMises ? r.root.peakVonMises.stress / r.steel.yieldLow : null),
  ],
  [
    "highest von Mises of any root / yield low",
    (r) => (r.steel && r.root.highestVonMises ? r.root.highestVonMises.stress / r.steel.yieldLow : null),
  ],
  ["averaged opening / yield low", (r) => (r.steel ? r.root.average.opening / r.steel.yieldLow : null)],
  ["required torque (N·mm)", (r) => r.capacity?.required ?? null],
  ["breaks first", (r) => r.capacity?.governing.title ?? null],
  ["breaks at, low (N·mm)", (r) => r.capacity?.stands.low ?? null],
  ["breaks at, high (N·mm)", (r) => r.capacity?.stands.high ?? null],
  ["margin, low", (r) => r.capacity?.margin.low ?? null],
  ["margin, high", (r) => r.capacity?.margin.high ?? null],
  ["margin wanted", (r) => (r.capacity ? wantedMargin(r.design) : null)],
  ["enough", (r) => (r.capacity ? driveVerdict(r.capacity, r.design) : null)],
  ["teeth part in drive at, low friction (N·mm)", (r) => partsCell(r, 0)],
  ["teeth part in drive at, high friction (N·mm)", (r) => partsCell(r, 1)],
  ["breaks next", (r) => r.capacity?.next?.title ?? null],
  ["breaks next at, low (N·mm)", (r) => r.capacity?.next?.torque?.low ?? null],
  ["ramp angle (deg)", (r) => (r.design.overRun ? (r.design.overRun.rampAngle * 180) / Math.PI : null)],
  ["clicks over, low friction (N·mm)", (r) => clickCell(r, "low")],
  ["clicks over, middle friction (N·mm)", (r) => clickCell(r, "middle")],
  ["clicks over, high friction (N·mm)", (r) => clickCell(r, "high")],
  ["does it let go", (r) => (r.overRun ? ringOutcome(r.overRun) : null)],
  ["pins shear at, low (N·mm)", (r) => r.overRun?.pins?.low ?? null],
  ["pins shear at, high (N·mm)", (r) => r.overRun?.pins?.high ?? null],
  ["gives first in over-running, low friction", (r) => r.overRun?.slippery.first?.what ?? null],
  ["gives first in over-running, high friction", (r) => r.overRun?.sticky.first?.what ?? null],
  ["over-running breaks at, low (N·mm)", (r) => r.overRun?.value.low ?? null],
  ["over-running breaks at, high (N·mm)", (r) => r.overRun?.value.high ?? null],
  ["over-run torque (N·mm)", (r) => r.overRun?.torque ?? null],
  ["enough in over-running", (r) => r.overRun && enoughWords(r.overRun, r.design)],
  ["contact pressure (MPa)", (r) => r.root.contactPressure],
  ["mesh error (%)", (r) => 100 * r.root.errorEstimate],
  ["torque imbalance (fraction)", (r) => r.torque.imbalance],
  ["model", (r) => r.model],
  ["unknowns", (r) => r.mesh.unknowns],
];

function clickCell({ overRun }: VariantResult, at: "low" | "middle" | "high"): string | number | null {
  return overRun && (overRun.clickOver[at] ?? "never");
}

/** "never" where friction holds them; springs that are not told might. */
function partsCell({ design }: VariantResult, end: 0 | 1): string | number | null {
  const hold = driveHold(design);
  if (!hold) return null;
  const at = hold.partsAt[end];
  return at === null ? "never" : hold.springForce === null ? "not told" : at;
}

function rootRadius({ design: { profile } }: VariantResult): string | number {
  if (profile.kind !== "face tooth") return profile.rootRadius;
  return profile.loadedFlank === "drive" ? profile.driveRootRadius : profile.overrunRootRadius;
}

/** Heading of the last column, which only variants without an answer fill. */
const REASON = "not solved because";

/**
 * All variants as comma-separated values (RFC 4180: CRLF, quotes doubled), one row each under headings with
 * units; those that could not be solved come last, with their names and the reason alone. User text that a
 * spreadsheet would take for a formula gets an apostrophe in front.
 */
export function summaryCsv(
  results: readonly VariantResult[],
  failures: readonly FailedVariant[] = [],
): string {
  const rows = [[...COLUMNS.map(([heading]) => csvCell(heading)), REASON]];
  for (const r of results) rows.push([...COLUMNS.map(([, cell]) => csvCell(cell(r))), ""]);
  for (const { part, variant, reason } of failures) {
    const named = { part, variant } as Record<string, string>;
    rows.push([...COLUMNS.map(([heading]) => csvCell(named[heading] ?? null)), csvCell(reason)]);
  }
  return rows.map((row) => `${row.join(",")}\r\n`).join("");
}

/** One cell. Numbers are ours and stand as they are; text is guarded and quoted where needed. */
export function csvCell(value: string | number | null): string {
  if (value === null) return "";
  if (typeof value === "number") return Number.isFinite(value) ? String(value) : "";
  const guarded = /^[\s]*[=+\-@\t\r\u{ff1d}\u{ff0b}\u{ff0d}\u{ff20}]/u.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(guarded) || guarded !== guarded.trim()
    ? `"${guarded.replaceAll('"', '""')}"`
    : guarded;
}
