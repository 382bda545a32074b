// Renews what the documents show of the program: the README's table and pictures, from the demo itself.
// `--check` changes nothing and fails where a document no longer matches.
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const check = process.argv.includes("--check");
const out = mkdtempSync(join(tmpdir(), "notchwright-docs-"));
const hub = join(out, "hub");
const notchwright = (...words) =>
  execFileSync(process.execPath, ["dist/notchwright.js", ...words], {
    encoding: "utf8",
    stdio: ["ignore", "pipe", "ignore"],
    env: { ...process.env, NO_COLOR: "1", COLUMNS: "100" },
  });
const PART = "demo/orchard-hub.yaml";
const printed = notchwright("run", PART, "--out", hub, "--compare", "sharp, as drawn", "V2");
/** What is printed from a line that begins so, up to one that does. */
const between = (text, from, to) => {
  const start = text.search(from);
  const length = text.slice(start).search(to);
  if (start < 0 || length < 0) throw new Error(`nothing printed between ${from} and ${to}`);
  return text.slice(start, start + length).trimEnd();
};
const table = between(printed, /^ {20,}peak/m, /^How the root stresses compare/m);
const findings = between(printed, /^How the root stresses compare/m, /^What breaks first/m);
const breaks = between(printed, /^What breaks first/m, /^Does it let go/m);
const release = between(printed, /^Does it let go/m, /^Balance of torque/m);
const windows = between(
  notchwright("window", PART, "--only", "V0", "V10", "--out", hub),
  /^Hardness window/m,
  /^Cautions/m,
);
const splits = notchwright("split", PART, "V0", "V10", "--out", hub);
const split = between(splits, /^What each change bought, from/m, /^What each change bought in over-running/m);
const overRunSplit = between(splits, /^What each change bought in over-running/m, /^Cautions/m);
notchwright("release", PART, "--out", hub);

/** The conclusion, made of what was computed. */
function conclusion() {
  // lines that go on are set in as far as the words of their first line
  const plain = (text, indent) => text.replace(new RegExp(`\\n {${indent},}`, "g"), " ");
  const verdicts = plain(windows, 2)
    .split("Hardness window of ")
    .slice(1)
    .map((text) => {
      const [, name] = /^"([^"]+)"/.exec(text);
      const [, verdict] = /(Order [^:]*(?=:)|None: .*? Change first: .*?(?=\.(?:\s|$)))/.exec(text);
      const [, own, says] = /[Tt]he (\S+ HRC) of ".*?" (satisfies|does not satisfy)/.exec(text);
      return `**${name}**: ${verdict[0].toLowerCase()}${verdict.slice(1)}; the ${own} it has ${says}.`;
    });
  const [whole, ...worths] = [...plain(split, 4).matchAll(/ {2}- (.*)/g)].map((found) => found[1].trim());
  return [...verdicts, whole, worths.join(" ")].map((text) => `* ${text}`).join("\n");
}

/** What over-running comes to, made of the run's own results. */
function releaseConclusion() {
  const { variants } = JSON.parse(readFileSync(join(hub, "results.json"), "utf8"));
  const list = (own) => own.map(({ variant }) => variant).join(", ");
  const first = variants[0].overRun;
  const degrees = (Math.ceil((1800 * first.leastRamp) / Math.PI - 1e-9) / 10).toFixed(1); // upward: less would not do
  const torque = (band) =>
    [...new Set([band.low, band.high].map((t) => Number((t / 1000).toPrecision(3))))].join("–");
  const verdicts = ["lets go", "depends on friction", "self-holding"].map((verdict) => {
    const own = variants.filter(({ overRun }) => overRun.verdict === verdict);
    return `**${verdict}** over μ ${first.friction.low.toFixed(2)} to ${first.friction.high.toFixed(2)}: ${own.length ? list(own) : "none"}`;
  });
  const gives = ["V0", "V8"].map((name) => {
    const { overRun, design } = variants.find(({ variant }) => variant === name);
    const { first: gives, next } = overRun.sticky;
    const then = next ? `, then ${next.what} at ${torque(next.torque)} N·m` : "";
    return `**${name}**, ${design.pins.count} pins of ${design.pins.diameter} mm: ${gives.what} at ${torque(gives.torque)} N·m${then}; margin ${overRun.margin.low.toPrecision(3)} over the ${torque({ low: overRun.torque, high: overRun.torque })} N·m asked of it`;
  });
  const plain = overRunSplit.replace(/\n {4,}/g, " ");
  const worths = [...plain.matchAll(/ {2}- (.*)/g)].slice(1, 3).map((found) => found[1].trim());
  return [
    `${verdicts.join("; ")}. It takes a ramp of ${degrees}° to let go over the whole band.`,
    ...gives.map((text) => `${text}.`),
    worths.join(" "),
  ]
    .map((text) => `* ${text}`)
    .join("\n");
}

const pictures = [
  [join(out, "hub", "comparison.svg"), "docs/pictures/sharp-beside-filleted.svg"],
  [join(out, "hub", "maps", "v3.svg"), "docs/pictures/used-cutter-38-42-hrc.svg"],
  [join(hub, "hardness", "v0.svg"), "docs/pictures/hardness-window.svg"],
  [join(hub, "changes", "v0-to-v10.svg"), "docs/pictures/what-each-change-bought.svg"],
  [join(hub, "release", "v0.svg"), "docs/pictures/click-over-torque.svg"],
];
const readme = readFileSync("README.md", "utf8");
const block = (name, text) => [
  new RegExp(`(<!-- ${name}.*?-->\\n)[\\s\\S]*?(<!-- /${name} -->)`),
  (_all, start, end) => `${start}\n${text}\n\n${end}`,
];
const code = (...texts) => `\`\`\`text\n${texts.join("\n\n")}\n\`\`\``;
const renewed = [
  block("demo table", code(table, findings)),
  block("demo strength", `${code(breaks, windows, split)}\n\n${conclusion()}`),
  block("demo release", `${code(release, overRunSplit)}\n\n${releaseConclusion()}`),
].reduce((text, [pattern, by]) => text.replace(pattern, by), readme);
const stale = [];
if (renewed !== readme) stale.push("README.md");
for (const [from, to] of pictures) {
  let before = "";
  try {
    before = readFileSync(to, "utf8");
  } catch {}
  if (before !== readFileSync(from, "utf8")) stale.push(to);
}
if (!check) {
  mkdirSync("docs/pictures", { recursive: true });
  writeFileSync("README.md", renewed);
  for (const [from, to] of pictures) copyFileSync(from, to);
  console.log(stale.length ? `renewed: ${stale.join(", ")}` : "all documents match");
} else if (stale.length) {
  console.log(`out of date: ${stale.join(", ")}; look at them and run npm run docs`);
  process.exitCode = 1;
}
rmSync(out, { recursive: true, force: true });
