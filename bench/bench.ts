/**
 * The benchmark: `npm run bench -- [--rounds N] [--json FILE] [--against native] [--only WORD] [--ordering NAME]`. Prints
 * medians and spread by stage, with the accuracy reached beside the time it took. Inputs are the same in every run.
 */
import { accessSync, constants, readFileSync, writeFileSync } from "node:fs";
import { cpus, totalmem } from "node:os";
import { dirname, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import { type Design, readPart } from "../src/design/index.ts";
import { createWorkspace, type Ordering } from "../src/solver/index.ts";
import { residualNorm } from "../src/solver/sparse/index.ts";
import { batchRow, type CommandRow, helpRow } from "./commandRows.ts";
import { coreRow } from "./coreScaling.ts";
import { designRound } from "./designRound.ts";
import { EXACT_PEAK, gradedRingMesh, innerPeak, ringProblem } from "./gradedRing.ts";
import { loadMathjs, MATHJS_ORDERS, mathjsMatrix, mathjsRound } from "./mathjsRound.ts";
import { type NativeYardstick, nativeYardstick } from "./nativeYardstick.ts";
import { runStages, type Times } from "./stages.ts";
import { growth, type Spread, spreadOf } from "./statistics.ts";

/** Calls before the first round: what runs in batches has long been compiled, which takes a hundred variants. */
const WARM_CALLS = 150;
const WARM_MS = 15_000;

interface Row {
  readonly name: string;
  readonly unknowns: number;
  /** Milliseconds by stage. */
  readonly times: Record<string, Spread>;
  readonly residual: number;
  readonly peak: number;
  /** Share of the peak: against the exact value where there is one, the estimate elsewhere. */
  readonly peakError: number;
  readonly errorIs: "exact" | "estimate";
  readonly megabytes?: number;
  /** Other solvers on the same matrix in the same run, milliseconds, and their scaled residuals. */
  readonly others?: Record<string, { readonly times: Record<string, Spread>; readonly residual: number }>;
}

const USAGE = `npm run bench -- [options]
  --rounds <n>        rounds of each row, 5 or more (default 5)
  --only <text>       rows whose names hold it: sector, face, ring, graded, help, plain loop, batch; "long batch" for one of 5000 variants
  --ordering <kind>   automatic, minimum degree or dissection (default automatic)
  --against native    CHOLMOD and SuperLU beside it, where they are installed
  --json <file>       the same rows as data`;
const LONG = "long batch";
const given = options();
const rounds = Number(given.rounds);
const wanted = given.ordering as Ordering; // a wrong one is refused, in words, where it is used
const root = fileURLToPath(new URL("..", import.meta.url));
const PROGRAM = `${root}dist/notchwright.js`;
const HUB = `${root}demo/orchard-hub.yaml`;

const native = given.against === "native" ? nativeYardstick(`${root}bench/native`) : null;
if (typeof native === "string") console.log(native);
const rows: Row[] = [];
const commands: CommandRow[] = [];
const machine = {
  processor: cpus()[0]?.model ?? "unknown",
  cores: cpus().length,
  gigabytes: Math.round(totalmem() / 2 ** 30),
  node: process.version,
};
console.log(
  `${machine.processor}, ${machine.cores} cores, ${machine.gigabytes} GiB, Node ${machine.node}; ${rounds} rounds\n` +
    "milliseconds, median (least–greatest); residual scaled by |A| |x| + |b|\n",
);
try {
  for (const [name, design] of designCases()) if (name.includes(given.only)) add(designRow(name, design));
  const mathjs = await loadMathjs();
  if (!mathjs) console.log("mathjs is not installed: no comparison with it\n");
  for (const thousands of [10, 50, 100, 300]) {
    const name = `graded mesh ${thousands}k`;
    if (!name.includes(given.only)) continue;
    add(await meshRow(name, 1000 * thousands, mathjs, native && typeof native !== "string" ? native : null));
  }
  tellGrowth();
  for (const [word, row] of commandCases()) if (word.includes(given.only)) addCommand(await row());
  // ten minutes and more: only when asked for by its name
  if (given.only === LONG) addCommand(await batchRow(PROGRAM, HUB, rounds, 250));
} finally {
  if (native && typeof native !== "string") native.close();
}
if (given.json)
  writeFileSync(given.json, `${JSON.stringify({ machine, rounds, rows, commands }, null, 1)}\n`);

function designCases(): [string, Design][] {
  const first = (file: string, change = (text: string) => text): Design => {
    const { designs } = readPart(change(readFileSync(`${root}demo/${file}`, "utf8")), file);
    return designs[0];
  };
  const unequal = (text: string) =>
    text.replace(
      "teeth sharing: 50 %",
      "tooth loads: { 1: 20 %, 2: 10 %, 4: 20 %, 7: 10 %, 9: 15 %, 13: 25 % }",
    );
  return [
    ["demo sector", first("orchard-hub.yaml")],
    ["face tooth", first("orchard-ramp.yaml")],
    ["whole ring", first("orchard-hub.yaml", unequal)],
  ];
}

function designRow(name: string, design: Design): Row {
  const from = performance.now();
  let last = designRound(design);
  for (let k = 1; k < WARM_CALLS && performance.now() - from < WARM_MS; k++) last = designRound(design);
  const all: Times[] = [];
  for (let r = 0; r < rounds; r++) {
    last = designRound(design);
    all.push(last.times);
  }
  const { result } = last.answer;
  return {
    name,
    unknowns: result.mesh.unknowns,
    times: spreads(all),
    residual: result.checks.residual,
    peak: result.root.peakPrincipal?.stress ?? result.root.average.principal,
    peakError: result.root.errorEstimate,
    errorIs: "estimate",
  };
}

async function meshRow(
  name: string,
  unknowns: number,
  mathjs: Awaited<ReturnType<typeof loadMathjs>>,
  yardstick: NativeYardstick | null,
): Promise<Row> {
  const workspace = createWorkspace();
  const run = () => runStages(() => gradedRingMesh(unknowns), ringProblem, workspace, wanted);
  let last = run(); // the first call also compiles
  const file = yardstick?.write(name.replaceAll(" ", "-"), last.matrix, last.rhs);
  const cholmod = file === undefined ? undefined : yardstick?.cholmod(file);
  const superlu = file === undefined || unknowns > 100_000 ? undefined : yardstick?.superlu?.(file);
  const lu = mathjs && unknowns <= 10_000 ? mathjsMatrix(mathjs, last.matrix) : null;
  await cholmod?.round();
  // the better of its orderings for this matrix, found in a round that also compiles
  const trial = (order: number) => mathjsRound(mathjs!, lu!, last.rhs, order).time;
  const ordering = lu ? MATHJS_ORDERS.map((o) => [trial(o), o]).sort((a, b) => a[0] - b[0])[0][1] : 0;
  const all: Times[] = [];
  const theirs: Record<string, { times: Times[]; residual: number }> = {};
  const note = (who: string, times: Times, residual: number) => {
    theirs[who] ??= { times: [], residual };
    theirs[who].times.push(times);
  };
  for (let r = 0; r < rounds; r++) {
    last = run();
    const { assemble, order, symbolic, numeric, solve } = last.times;
    const work = order + symbolic + numeric + solve;
    all.push({ ...last.times, "order to solve": work, "assemble to solve": assemble + work });
    if (cholmod) {
      const [o, s, f, x, residual] = await cholmod.round();
      note(
        "CHOLMOD",
        // it does not assemble: the last ratio sets all of ours against all it does
        {
          order: o,
          symbolic: s,
          numeric: f,
          solve: x,
          "order to solve": o + s + f + x,
          "assemble to solve": o + s + f + x,
        },
        residual,
      );
    }
    if (superlu) {
      const [f, x, residual] = await superlu.round();
      note("SuperLU", { "order to solve": f + x }, residual);
    }
    if (mathjs && lu) {
      const { time, x } = mathjsRound(mathjs, lu, last.rhs, ordering);
      note("mathjs", { "order to solve": time }, residualNorm(last.matrix, x, last.rhs));
    }
  }
  const peak = innerPeak(last.problem, last.stress);
  return {
    name,
    unknowns: 2 * last.matrix.n,
    times: spreads(all),
    residual: last.residual,
    peak,
    peakError: Math.abs(peak / EXACT_PEAK - 1),
    errorIs: "exact",
    megabytes: workspace.kernels.bytes() / 1e6,
    others: Object.fromEntries(
      Object.entries(theirs).map(([who, { times, residual }]) => [who, { times: spreads(times), residual }]),
    ),
  };
}

/** What was asked for; anything else ends the program with what it takes. */
function options() {
  const refuse = (why: string): never => {
    console.error(`${why}\n${USAGE}`);
    process.exit(2);
  };
  try {
    const { values } = parseArgs({
      options: {
        rounds: { type: "string", default: "5" },
        json: { type: "string" },
        against: { type: "string" },
        only: { type: "string", default: "" },
        ordering: { type: "string", default: "automatic" },
        help: { type: "boolean", short: "h" },
      },
    });
    if (values.help) {
      console.log(USAGE);
      process.exit(0);
    }
    if (!(Number(values.rounds) >= 5 && Number.isInteger(Number(values.rounds))))
      refuse("--rounds takes a whole number, 5 or more");
    if (values.against !== undefined && values.against !== "native") refuse("--against takes: native");
    if (!["automatic", "minimum degree", "dissection"].includes(values.ordering))
      refuse("--ordering takes: automatic, minimum degree or dissection");
    if (values.only === "" && process.argv.some((word) => /^--only(=|$)/.test(word)))
      refuse("--only takes a part of a row's name");
    if (values.json !== undefined) {
      try {
        accessSync(dirname(resolve(values.json)), constants.W_OK);
      } catch {
        refuse(`--json ${values.json}: its folder is not there, or cannot be written to`);
      }
    }
    return values;
  } catch (error) {
    return refuse((error as Error).message);
  }
}

function commandCases(): [string, () => Promise<CommandRow>][] {
  return [
    ["help command", async () => helpRow(PROGRAM, rounds)],
    ["batch, plain loop", () => coreRow(0.25, rounds)],
    ["batch, plain loop", () => coreRow(16, rounds)],
    ["batch", () => batchRow(PROGRAM, HUB, rounds, 50)],
  ];
}

function addCommand(row: CommandRow): void {
  commands.push(row);
  const figure = ({ median, least, greatest }: Spread) =>
    `${median.toPrecision(3)} (${least.toPrecision(3)}–${greatest.toPrecision(3)})`;
  const seconds = Object.entries(row.seconds).map(([what, spread]) => `${what} ${figure(spread)} s`);
  const ratio = row.twoOverOne ? [`throughput of two over one: ${figure(row.twoOverOne)}`] : [];
  if (row.secondHalf) ratio.push(`in the second half ${figure(row.secondHalf)}`);
  console.log(`${row.name}: ${[...seconds, ...ratio].join(", ")}\n`);
}

function spreads(all: readonly Times[]): Record<string, Spread> {
  return Object.fromEntries(
    Object.keys(all[0]).map((stage) => [stage, spreadOf(all.map((times) => times[stage]))]),
  );
}

function add(row: Row): void {
  rows.push(row);
  const accuracy =
    `peak ${row.peak.toPrecision(5)} MPa, ${row.errorIs === "exact" ? "error" : "estimated error"} ` +
    `${(100 * row.peakError).toPrecision(2)} %, residual ${row.residual.toExponential(1)}`;
  const memory = row.megabytes === undefined ? "" : `, numeric phase ${row.megabytes.toFixed(0)} MB`;
  console.log(`${row.name}: ${row.unknowns} unknowns, ${accuracy}${memory}`);
  console.log(`  ${words(row.times)}`);
  for (const [who, { times, residual }] of Object.entries(row.others ?? {})) {
    console.log(`  ${who}: ${words(times)}; residual ${residual.toExponential(1)}`);
    const shares = Object.keys(times).map(
      (stage) => `${stage} ${(row.times[stage].median / times[stage].median).toPrecision(2)}`,
    );
    console.log(`    this / ${who}: ${shares.join(", ")}`);
  }
  console.log();
}

function words(times: Record<string, Spread>): string {
  const figure = (v: number) => (v >= 100 ? v.toFixed(0) : v.toFixed(1));
  return Object.entries(times)
    .map(
      ([stage, { median, least, greatest }]) =>
        `${stage} ${figure(median)} (${figure(least)}–${figure(greatest)})`,
    )
    .join(", ");
}

/** Exponents of the growth with the number of unknowns over the graded meshes. */
function tellGrowth(): void {
  const meshes = rows.filter(({ errorIs }) => errorIs === "exact");
  if (meshes.length < 3) return;
  const n = meshes.map(({ unknowns }) => unknowns);
  const stages = Object.keys(meshes[0].times).map(
    (stage) =>
      `${stage} ${growth(
        n,
        meshes.map(({ times }) => times[stage].median),
      ).toFixed(2)}`,
  );
  const memory = growth(
    n,
    meshes.map(({ megabytes }) => megabytes!),
  );
  console.log(`grows as unknowns to the power: ${stages.join(", ")}, memory ${memory.toFixed(2)}`);
}
