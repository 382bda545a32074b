import type { VariantResult } from "../answer/result.ts";
import { formatStress, formatTorque } from "../design/index.ts";
import { addTo } from "./addTo.ts";
import { capacityText, nextText } from "./capacityText.ts";
import { CAUTIONS, OVER_RUN_LIMITS } from "./cautions.ts";
import { errorText, ktText, loadText, rootText, sharingText, steelText } from "./describe.ts";
import { driveVerdict } from "./driveHoldText.ts";
import { escapeXml } from "./escapeXml.ts";
import { someNames } from "./firstNames.ts";
import { pushedHigher, yieldShareText } from "./judged.ts";
import { VERDICT_HEAD, wantedWords, withWanted } from "./marginVerdict.ts";
import { aboutText, notedOf, sharedNotes } from "./notes.ts";
import { overRunText } from "./overRunText.ts";
import { passesChart } from "./passesChart.ts";
import { pinGuardNotes } from "./pinGuardText.ts";
import {
  givesNotes,
  givesTable,
  marginWords,
  type ReleaseEntry,
  releaseTable,
  type WordTable,
} from "./releaseTable.ts";
import type { FailedVariant } from "./resultsJson.ts";
import { LETTERING } from "./svg.ts";
import { lengthText, sharedUnits, torqueHeads } from "./units.ts";

/** One variant of the page and where its map is, relative to the page; null when no map was drawn. */
export interface ContactEntry {
  readonly result: VariantResult;
  readonly map: string | null;
}

export interface ContactPage {
  readonly title: string;
  readonly entries: readonly ContactEntry[];
  /** The comparison sheet, relative to the page. */
  readonly comparison?: string;
  /** Sentences worth reading first, plain text. */
  readonly findings?: readonly string[];
  /** Number of sentences left out. */
  readonly more?: number;
  /** Variants without an answer, and why. */
  readonly failures?: readonly FailedVariant[];
}

/** Charts of passes on one page; a sweep of a thousand has the figures in results.json. */
const MOST_DESCENTS = 24;

/** Variants named for one default; of more their number is told. */
const MOST_NAMES = 4;

/** Page that shows all maps with the table of answers: one HTML file, nothing fetched but the maps beside it. */
export function contactSheet(page: ContactPage): string {
  const { entries, findings = [], more = 0 } = page;
  const several = new Set(entries.map(({ result }) => result.design.part)).size > 1;
  const wanted = wantedWords(
    entries.flatMap(({ result: { capacity, design } }) => (capacity ? [design] : [])),
  );
  const rows = tableRows(entries, several, wanted !== null);
  const pictures = entries
    .filter((entry) => entry.map !== null)
    .map(({ result, map }) => {
      const { part, variant } = result.design;
      const name = escapeXml(several ? `${part}: ${variant}` : variant);
      const over = result.overRun ? `<br>${escapeXml(overRunText(result.overRun, result.design.units))}` : "";
      const href = pathAttribute(map!);
      return `<figure><a href="${href}"><img src="${href}" alt="Stress map of ${name}" loading="lazy"></a><figcaption>${name}${over}</figcaption></figure>`;
    })
    .join("\n");
  const comparison = page.comparison
    ? `<p><a href="${pathAttribute(page.comparison)}">Roots compared at one scale</a></p>\n` +
      `<figure class="wide"><a href="${pathAttribute(page.comparison)}"><img src="${pathAttribute(page.comparison)}" alt="Roots compared"></a></figure>`
    : "";
  const refined = entries.map(({ result }) => result).filter(({ passes }) => passes.length > 1);
  // variants that were solved together came down together
  const distinct = refined.filter(
    (one, k) =>
      refined.findIndex((other) => JSON.stringify(other.passes) === JSON.stringify(one.passes)) === k,
  );
  const descent =
    distinct.length === 0
      ? ""
      : "<h2>How the mesh error came down</h2>\n<p>A point for each mesh solved: estimated error of the root stress " +
        "against unknowns; dashed, the error asked for.</p>\n" +
        `<div class="maps">\n${distinct
          .slice(0, MOST_DESCENTS)
          .map((result) => `<figure>${passesChart(result)}</figure>`)
          .join("\n")}\n</div>`;
  const defaults = defaultsTable(entries.map(({ result }) => result));
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeXml(page.title)}</title>
<style>
body{font-family:${LETTERING};color:#1b2430;background:#fff;margin:2rem auto;max-width:1560px;padding:0 1rem;line-height:1.4}
h1{font-size:1.4rem;border-bottom:2px solid #1b2430;padding-bottom:.3rem}
h2{font-size:1.05rem;margin-top:2rem}
h3{font-size:.95rem}
table{border-collapse:collapse;font-size:.85rem}
th,td{border:1px solid #586472;padding:.3rem .5rem;text-align:right;vertical-align:top}
th:first-child,td:first-child,td.words,td.root{text-align:left}
.scroll{overflow-x:auto;background:linear-gradient(90deg,#fff 30%,#fff0),linear-gradient(270deg,#fff 30%,#fff0) 100% 0,linear-gradient(90deg,#5864728c,#58647200),linear-gradient(270deg,#5864728c,#58647200) 100% 0;background-repeat:no-repeat;background-size:3rem 100%,3rem 100%,.6rem 100%,.6rem 100%;background-attachment:local,local,scroll,scroll}
.maps{display:grid;grid-template-columns:repeat(auto-fill,minmax(360px,1fr));gap:1rem}
figure{margin:0;border:1px solid #586472;padding:.3rem}
figure img{width:100%;display:block}
figcaption{font-size:.85rem;padding:.3rem .2rem 0}
td.words{min-width:6rem}
td small{display:inline-block;min-width:8rem;max-width:14rem;color:#586472}
thead th:first-child,tbody td:first-child{position:sticky;left:0;background:#fff}
.cautions{border:1.5px solid #1b2430;padding:.6rem 1rem;font-size:.9rem}
@media print{
@page{size:landscape;margin:10mm}
body{max-width:none;margin:0;padding:0}
.scroll{overflow:visible}
table{font-size:6.4pt;width:100%}
th,td{padding:.15rem .2rem}
td.words{min-width:0}
thead th:first-child,tbody td:first-child{position:static}
tr,figure{break-inside:avoid}
}
</style>
</head>
<body>
<h1>${escapeXml(page.title)}</h1>
<div class="scroll"><table>
<thead><tr>${HEADS.map((head) => `<th>${head}${head === VERDICT_HEAD ? (wanted ?? "") : ""}</th>`).join("")}</tr></thead>
<tbody>
${rows}
</tbody></table></div>
${failureList(page.failures ?? [])}
${findingsList(findings, more)}
${overRunTables(entries.map(({ result }) => result))}
${notesList(entries.map(({ result }) => result))}
${comparison}
<h2>Maps</h2>
<div class="maps">
${pictures}
</div>
${descent}
${defaults}
<h2>Cautions</h2>
<ul class="cautions">
${CAUTIONS.map((c) => `<li>${escapeXml(c)}</li>`).join("\n")}
</ul>
</body>
</html>
`;
}

/** Heads of the table's columns: what decides first, then what it rests on. */
const HEADS = [
  "variant",
  "root",
  "steel and hardness",
  "breaks first (estimate)",
  VERDICT_HEAD,
  "breaks next",
  "peak σ1 at root",
  "peak von Mises",
  "share of yield",
  "Kt",
  "averaged stress",
  "contact pressure",
  "mesh error",
];

function notesList(results: readonly VariantResult[]): string {
  const shared = sharedNotes(results.map(notedOf));
  if (shared.length === 0) return "";
  const items = shared.map(
    (one) => `<li>${escapeXml(`${aboutText(one, 8, (name) => `“${name}”`)}: ${one.note}`)}</li>`,
  );
  return `<h2>Notes</h2>\n<ul>\n${items.join("\n")}\n</ul>`;
}

/** " over 742 N·m required" where that is not the shock torque that stands in the load's own cell. */
function ofRequired({ capacity, design }: VariantResult): string {
  const shock = design.load.torque * design.load.shockFactor;
  if (!capacity || Math.abs(capacity.required / shock - 1) < 1e-9) return "";
  return ` over ${formatTorque(capacity.required, design.units)} required`;
}

/** A head for each part, with the load that all its variants are under; where they differ each tells its own. */
function tableRows(entries: readonly ContactEntry[], several: boolean, wantedSaid: boolean): string {
  const parts = new Map<string, ContactEntry[]>();
  for (const entry of entries) addTo(parts, entry.result.design.part, entry);
  return [...parts]
    .map(([part, own]) => {
      const loads = own.map(({ result }) => `${loadText(result)}; ${sharingText(result.design)}`);
      const alike = loads.every((load) => load === loads[0]);
      const head = [...(several ? [part] : []), ...(alike ? [loads[0]!] : [])].join(": ");
      return [
        ...(head ? [`<tr><th colspan="${HEADS.length}">${escapeXml(head)}</th></tr>`] : []),
        ...own.map(({ result, map }, k) => tableRow(result, map, alike ? "" : loads[k]!, wantedSaid)),
      ].join("\n");
    })
    .join("\n");
}

function tableRow(result: VariantResult, map: string | null, load: string, wantedSaid: boolean): string {
  const { design, root } = result;
  const { units } = design;
  const name = escapeXml(design.variant);
  const peak = (stress: number | undefined) =>
    stress === undefined ? "unbounded (sharp)" : formatStress(stress, units);
  const pushed = pushedHigher(result) ? `; any root ${peak(root.highestVonMises?.stress)}` : "";
  const enough = result.capacity
    ? withWanted(driveVerdict(result.capacity, design), design, wantedSaid)
    : "–";
  const figure = (text: string) => `<td>${escapeXml(text)}</td>`;
  const prose = (text: string) => `<td class="words">${escapeXml(text || "–")}</td>`;
  const cells = [
    `<td>${map === null ? name : `<a href="${pathAttribute(map)}">${name}</a>`}${[load, design.note].map((text) => text && `<br><small>${escapeXml(text)}</small>`).join("")}</td>`,
    `<td class="root">${escapeXml(rootText(design))}</td>`,
    prose(steelText(result)),
    prose(capacityText(result) + ofRequired(result)),
    figure(enough),
    prose(nextText(result)),
    figure(peak(root.peakPrincipal?.stress)),
    figure(peak(root.peakVonMises?.stress) + pushed),
    figure(yieldShareText(result) ?? "–"),
    figure(ktText(result)),
    figure(`${formatStress(root.average.opening, units)} over ${lengthText(root.average.distance, units)}`),
    figure(formatStress(root.contactPressure, units)),
    figure(errorText(result)),
  ];
  return `<tr>${cells.join("")}</tr>`;
}

/** How each variant's root compares with the one it is held against; of many the first, and how many more. */
function findingsList(findings: readonly string[], more: number): string {
  if (findings.length === 0) return "";
  const items = [...findings, ...(more > 0 ? [`… and ${more} more; the table has them all.`] : [])];
  return `<h2>How the root stresses compare</h2>\n<ul>\n${items.map((text) => `<li>${escapeXml(text)}</li>`).join("\n")}\n</ul>`;
}

function failureList(failures: readonly FailedVariant[]): string {
  if (failures.length === 0) return "";
  const items = failures.map(
    ({ part, variant, reason }) => `<li>${escapeXml(`${variant} (${part}): ${reason}`)}</li>`,
  );
  return `<h2>Not solved</h2>\n<ul>\n${items.join("\n")}\n</ul>`;
}

/** Whether each variant lets go and what gives first, a pair of tables a part; empty where nothing is said of over-running. */
function overRunTables(results: readonly VariantResult[]): string {
  const parts = [...new Set(results.map(({ design }) => design.part))];
  const tables = parts.flatMap((part) => {
    const entries = results.flatMap(({ design, overRun }): ReleaseEntry[] =>
      overRun && design.part === part ? [{ name: design.variant, design, overRun }] : [],
    );
    if (entries.length === 0) return [];
    const units = sharedUnits(entries.map(({ design }) => design));
    return [
      (parts.length > 1 ? `<h3>${escapeXml(part)}</h3>\n` : "") +
        `<p>Torque in over-running at which the ramps lift the ring off, ${torqueHeads(units, "").join(" ")}, over the friction of ramps and spline:</p>\n` +
        wordTable(releaseTable(entries, units)) +
        `\n<p>What gives first in over-running${escapeXml(marginWords(entries, units))}; drive is another load case:</p>\n` +
        wordTable(givesTable(entries, units)) +
        [...givesNotes(entries), ...pinGuardNotes(entries)]
          .map((text) => `\n<p>${escapeXml(text)}</p>`)
          .join(""),
    ];
  });
  if (tables.length === 0) return "";
  return `<h2>Does it let go?</h2>\n${tables.join("\n")}\n` + `<p>${escapeXml(OVER_RUN_LIMITS)}</p>`;
}

function wordTable({ head, rows }: WordTable): string {
  const cells = (tag: string, row: readonly string[]) =>
    `<tr>${row.map((cell) => `<${tag}>${escapeXml(cell)}</${tag}>`).join("")}</tr>`;
  return `<div class="scroll"><table>\n<thead>${cells("th", head)}</thead>\n<tbody>\n${rows.map((row) => cells("td", row)).join("\n")}\n</tbody></table></div>`;
}

/** What was taken by default anywhere in the run, each once. */
function defaultsTable(results: readonly VariantResult[]): string {
  const rows = new Map<string, string[]>();
  const several = new Set(results.map(({ design }) => design.part)).size > 1;
  for (const { design } of results)
    for (const { key, value, source } of design.defaults)
      addTo(
        rows,
        JSON.stringify([key, value, source]),
        several ? `${design.part}: ${design.variant}` : design.variant,
      );
  if (rows.size === 0) return "";
  const lines = [...rows].map(([entry, names]) => {
    const quoted = names.map((name) => `“${name}”`);
    const [key, ...words] = [
      ...(JSON.parse(entry) as string[]),
      names.length === results.length ? "all" : someNames(quoted, MOST_NAMES),
    ];
    return `<tr><td>${escapeXml(key!)}</td>${words.map((text) => `<td class="words">${escapeXml(text)}</td>`).join("")}</tr>`;
  });
  return `<h2>Taken by default</h2>\n<div class="scroll"><table>\n<thead><tr><th>input</th><th>value</th><th>why</th><th>in</th></tr></thead>\n<tbody>\n${lines.join("\n")}\n</tbody></table></div>`;
}

/** A relative path as an attribute: each piece encoded, so that no name can become a scheme or leave the quotes. */
function pathAttribute(path: string): string {
  const encoded = path.split("/").map(encodeURIComponent).join("/");
  return escapeXml(encoded.startsWith("/") ? `.${encoded}` : encoded);
}
