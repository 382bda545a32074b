import { availableParallelism } from "node:os";
import { type Fault, nearest } from "../design/index.ts";
import { shortNames } from "../report/index.ts";
import type { RunOptions } from "./commands/run.ts";
import type { SolveOptions } from "./designKey.ts";
import { printable } from "./printable.ts";
import type { Share } from "./shareOut.ts";

export interface RunSettings {
  readonly solve: SolveOptions;
  /** As asked for; undefined = as many as cores and memory allow. */
  readonly workers: number | undefined;
  /** The share of the variants to be solved; undefined = all. */
  readonly share: Share | undefined;
}

/** The numbers among the options, or what is wrong with them. */
export function runSettings(options: RunOptions): { settings: RunSettings; faults: Fault[] } {
  const faults: Fault[] = [];
  const accuracy = share("--accuracy", options.accuracy, faults);
  const maxUnknowns = whole("--most-unknowns", options.mostUnknowns, 1, 1e9, faults);
  const workers = whole("--workers", options.workers, 1, 256, faults);
  return {
    settings: {
      solve: {
        ...(accuracy === undefined ? {} : { accuracy }),
        ...(maxUnknowns === undefined ? {} : { maxUnknowns }),
      },
      workers,
      share: part(options.part, faults),
    },
    faults,
  };
}

/** "1%", "1 %", "0.5%" or "0.01" as a fraction between 0.05 % and 20 %, as in a part file. */
function share(key: string, text: string | undefined, faults: Fault[]): number | undefined {
  if (text === undefined) return undefined;
  const found = /^\s*(\d+(?:\.\d*)?|\.\d+)\s*(%?)\s*$/.exec(text);
  const value = found ? Number(found[1]) / (found[2] ? 100 : 1) : Number.NaN;
  if (value >= 5e-4 && value <= 0.2) return value;
  faults.push({
    key,
    problem: `"${printable(text)}" is no share between 0.05% and 20%`,
    remedy: "write it as 1% or 0.01",
  });
  return undefined;
}

/** "3/8": the third of eight shares. */
function part(text: string | undefined, faults: Fault[]): Share | undefined {
  if (text === undefined) return undefined;
  const found = /^\s*(\d{1,6})\s*\/\s*(\d{1,6})\s*$/.exec(text);
  const index = Number(found?.[1]);
  const count = Number(found?.[2]);
  if (index >= 1 && index <= count) return { index, count };
  faults.push({
    key: "--part",
    problem: `"${printable(text)}" is no share of a run`,
    remedy: "write which share of how many, counted from 1: 3/8 is the third of eight",
  });
  return undefined;
}

function whole(
  key: string,
  text: string | undefined,
  least: number,
  most: number,
  faults: Fault[],
): number | undefined {
  if (text === undefined) return undefined;
  const value = /^\d+$/.test(text.trim()) ? Number(text) : Number.NaN;
  if (value >= least && value <= most) return value;
  faults.push({
    key,
    problem: `"${printable(text)}" is no whole number from ${least} to ${most}`,
    remedy: `write it in digits, say ${key} ${Math.max(least, 2)}`,
  });
  return undefined;
}

/**
 * Memory one worker may come to need, bytes: a program solving 205,000 unknowns was measured at 340 MB, and
 * up to 400,000 are solved when nobody says otherwise.
 */
const WORKER_BYTES = 800e6;

/** Workers to start: one a core, fewer where memory is short, never more than tasks. */
export function workerCount(asked: number | undefined, tasks: number): number {
  const fitting = Math.max(1, Math.floor(process.availableMemory() / WORKER_BYTES));
  return Math.max(1, Math.min(asked ?? Math.min(availableParallelism(), fitting), tasks));
}

/** Bytes that each of so many workers may use: what the machine (or its container) has to give, in equal shares. */
export function memoryShare(workers: number): number {
  return process.availableMemory() / workers;
}

/**
 * The variants that `asked` names, in the order of `known`; `leftOut` are such as another option leaves out.
 * @returns null when none was asked for.
 */
export function chosenNames(
  key: string,
  asked: readonly string[] | undefined,
  known: readonly string[],
  faults: Fault[],
  leftOut: readonly string[] = [],
): Set<string> | null {
  if (!asked) return null;
  const chosen = new Set<string>();
  for (const name of asked) {
    if (known.includes(name)) {
      chosen.add(name);
      continue;
    }
    if (leftOut.includes(name)) {
      faults.push({
        key,
        problem: `"${printable(name)}" is not among the variants that --only names`,
        remedy: "name it behind --only too",
      });
      continue;
    }
    const near = nearest(name, known);
    const { names } = shortNames(known);
    const inFull =
      names.filter((short) => short === name).length === 1 ? known[names.indexOf(name)] : undefined;
    faults.push({
      key,
      problem: `no variant is called "${printable(name)}"`,
      remedy: /\.ya?ml$/i.test(name)
        ? `put part files before ${key}`
        : inFull
          ? `in full its name is "${printable(inFull, 200)}"`
          : near
            ? `did you mean "${printable(near)}"?`
            : "see notchwright list for their names",
    });
  }
  return chosen;
}
