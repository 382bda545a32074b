import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Spread, spreadOf } from "./statistics.ts";

/** Whole commands as a user starts them, seconds of the wall clock, process start and files written included. */
export interface CommandRow {
  readonly name: string;
  readonly seconds: Record<string, Spread>;
  /** Variants a second with two workers over those with one, round by round; absent where nothing is shared out. */
  readonly twoOverOne?: Spread;
  /** The same of the second half alone, less its last twentieth: nothing is read or reported there, and little compiled. */
  readonly secondHalf?: Spread;
}

/** Rim diameters that each root radius of a sweep of the demo's sector is crossed with. */
const RIMS = 20;

/** What `--help` takes. */
export function helpRow(program: string, rounds: number): CommandRow {
  const all: number[] = [];
  for (let r = 0; r <= rounds; r++) all.push(run(program, ["--help"]));
  return { name: "help command", seconds: { help: spreadOf(all.slice(1)) } };
}

/** A sweep of the demo's sector over so many root radii, with one worker and with two in turn, results only. */
export async function batchRow(
  program: string,
  hub: string,
  rounds: number,
  radii: number,
): Promise<CommandRow> {
  const folder = mkdtempSync(join(tmpdir(), "notchwright-bench-"));
  try {
    const file = join(folder, "sweep.yaml");
    writeFileSync(file, sweepOf(readFileSync(hub, "utf8"), radii));
    const batch = (workers: number) =>
      timed(program, [
        ...["run", file, "--out", join(folder, "out"), "--no-maps", "--fresh"],
        ...["--workers", String(workers)],
      ]);
    const one: Batch[] = [];
    const two: Batch[] = [];
    for (let r = 0; r < rounds; r++) {
      one.push(await batch(1));
      two.push(await batch(2));
    }
    return {
      name: `batch of ${radii * RIMS} variants`,
      seconds: {
        "1 worker": spreadOf(one.map(({ seconds }) => seconds)),
        "2 workers": spreadOf(two.map(({ seconds }) => seconds)),
      },
      twoOverOne: spreadOf(one.map(({ seconds }, r) => seconds / two[r].seconds)),
      secondHalf: spreadOf(one.map(({ rate }, r) => two[r].rate / rate)),
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function sweepOf(hub: string, radii: number): string {
  const places = Array.from({ length: radii }, (_, k) => `${(0.1 + (0.9 * k) / (radii - 1)).toFixed(4)} mm`);
  const rims = Array.from({ length: RIMS }, (_, k) => `${50 + k} mm`);
  const base = hub.slice(0, hub.indexOf("\nvariants:")).replace(/^ *compare with:.*$/m, "");
  return `${base}\nsweep:\n  profile.root radius: [${places.join(", ")}]\n  profile.rim diameter: [${rims.join(", ")}]\n`;
}

interface Batch {
  readonly seconds: number;
  /** Variants a second over the second half less its last twentieth, by the lines of progress. */
  readonly rate: number;
}

function timed(program: string, words: readonly string[]): Promise<Batch> {
  const from = performance.now();
  const seconds = () => (performance.now() - from) / 1000;
  const ends: number[] = [];
  let rest = "";
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, ...words], { stdio: ["ignore", "ignore", "pipe"] });
    child.stderr.setEncoding("utf8").on("data", (text: string) => {
      const lines = (rest + text).split("\n");
      rest = lines.pop()!;
      for (const line of lines) if (/^ *\d+\/\d+ /.test(line)) ends.push(seconds());
    });
    child.on("error", reject);
    child.on("close", (status) => {
      if (status !== 0) return reject(new Error(`notchwright ${words[0]} ended with ${status}: ${rest}`));
      const [a, b] = [Math.floor(0.5 * ends.length), Math.floor(0.95 * ends.length)];
      resolve({ seconds: seconds(), rate: (b - a) / (ends[b] - ends[a]) });
    });
  });
}

/** Seconds of one command. */
function run(program: string, words: readonly string[]): number {
  const from = performance.now();
  const { status, stderr } = spawnSync(process.execPath, [program, ...words], { encoding: "utf8" });
  const seconds = (performance.now() - from) / 1000;
  if (status !== 0) throw new Error(`notchwright ${words[0]} ended with ${status}: ${stderr.slice(0, 400)}`);
  return seconds;
}
