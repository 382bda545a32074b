import { spawnSync } from "node:child_process";
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
}

/** Variants of the sweep: root radii × rim diameters of the demo's sector. */
const RADII = 50;
const RIMS = 20;

/** What `--help` takes. */
export function helpRow(program: string, rounds: number): CommandRow {
  const all: number[] = [];
  for (let r = 0; r <= rounds; r++) all.push(run(program, ["--help"]));
  return { name: "help command", seconds: { help: spreadOf(all.slice(1)) } };
}

/** A sweep of the demo's sector with one worker and with two in turn, results only. */
export function batchRow(program: string, hub: string, rounds: number): CommandRow {
  const folder = mkdtempSync(join(tmpdir(), "notchwright-bench-"));
  try {
    const file = join(folder, "sweep.yaml");
    writeFileSync(file, sweepOf(readFileSync(hub, "utf8")));
    const batch = (workers: number) =>
      run(program, [
        ...["run", file, "--out", join(folder, "out"), "--no-maps", "--quiet", "--fresh"],
        ...["--workers", String(workers)],
      ]);
    const one: number[] = [];
    const two: number[] = [];
    for (let r = 0; r < rounds; r++) {
      one.push(batch(1));
      two.push(batch(2));
    }
    return {
      name: `batch of ${RADII * RIMS} variants`,
      seconds: { "1 worker": spreadOf(one), "2 workers": spreadOf(two) },
      twoOverOne: spreadOf(one.map((seconds, r) => seconds / two[r])),
    };
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function sweepOf(hub: string): string {
  const radii = Array.from({ length: RADII }, (_, k) => `${(0.1 + (0.9 * k) / (RADII - 1)).toFixed(4)} mm`);
  const rims = Array.from({ length: RIMS }, (_, k) => `${50 + k} mm`);
  const base = hub.slice(0, hub.indexOf("\nvariants:")).replace(/^ *compare with:.*$/m, "");
  return `${base}\nsweep:\n  profile.root radius: [${radii.join(", ")}]\n  profile.rim diameter: [${rims.join(", ")}]\n`;
}

/** Seconds of one command. */
function run(program: string, words: readonly string[]): number {
  const from = performance.now();
  const { status, stderr } = spawnSync(process.execPath, [program, ...words], { encoding: "utf8" });
  const seconds = (performance.now() - from) / 1000;
  if (status !== 0) throw new Error(`notchwright ${words[0]} ended with ${status}: ${stderr.slice(0, 400)}`);
  return seconds;
}
