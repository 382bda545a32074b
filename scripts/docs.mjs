// Renews what the documents show of the program: the README's table and pictures, from the demo itself.
// `--check` changes nothing and fails where a document no longer matches.
import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const check = process.argv.includes("--check");
const out = mkdtempSync(join(tmpdir(), "notchwright-docs-"));
const printed = execFileSync(
  process.execPath,
  [
    "dist/notchwright.js",
    "run",
    "demo/orchard-hub.yaml",
    "--out",
    join(out, "hub"),
    "--quiet",
    "--compare",
    "sharp, as drawn",
    "V2",
  ],
  { encoding: "utf8", env: { ...process.env, NO_COLOR: "1", COLUMNS: "100" } },
);
const table = printed.slice(0, printed.indexOf("What each change did")).trimEnd();
const findings = printed
  .slice(printed.indexOf("What each change did"), printed.indexOf("Balance of torque"))
  .trimEnd();

const pictures = [
  [join(out, "hub", "comparison.svg"), "docs/pictures/sharp-beside-filleted.svg"],
  [join(out, "hub", "maps", "v3.svg"), "docs/pictures/used-cutter-38-42-hrc.svg"],
];
const readme = readFileSync("README.md", "utf8");
const renewed = readme.replace(
  /(<!-- demo table.*?-->\n)[\s\S]*?(<!-- \/demo table -->)/,
  (_all, start, end) =>
    `${start}\n\`\`\`text\n${table || findings}\n\n${table ? findings : ""}\n\`\`\`\n\n${end}`,
);
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
