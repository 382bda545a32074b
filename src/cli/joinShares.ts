import { realpathSync } from "node:fs";
import { join } from "node:path";
import type { Design, Fault } from "../design/index.ts";
import { addTo } from "../report/index.ts";
import { redress } from "./designKey.ts";
import { printable } from "./printable.ts";
import { readShareRecord, type SharedVariant, type ShareRecord } from "./shareRecord.ts";
import { readSolved, solvedFile } from "./solvedStore.ts";
import type { Answered, Unanswered } from "./solveVariants.ts";

/** The whole run, as its shares tell it. */
export interface JoinedRun {
  readonly variants: readonly (Pick<SharedVariant, "file" | "label" | "base"> & {
    readonly design: Design;
  })[];
  /** One a variant; answers are still in the shares' own stores. */
  readonly ended: readonly (Answered | Unanswered)[];
}

interface Found {
  readonly shown: string;
  readonly path: string;
  readonly record: ShareRecord;
}

/** Reads the folders of all shares of one run. @returns the run, or every reason why they do not make one. */
export function joinShares(folders: readonly string[]): JoinedRun | Fault[] {
  const faults: Fault[] = [];
  const found: Found[] = [];
  for (const folder of folders) {
    const shown = printable(folder, 200);
    let path: string;
    try {
      path = realpathSync(folder);
    } catch {
      faults.push({ key: shown, problem: "no such folder", remedy: "name the results folder of a share" });
      continue;
    }
    const record = readShareRecord(path);
    if (record) found.push({ shown, path, record });
    else {
      faults.push({
        key: shown,
        problem: "holds no share of a run that has ended",
        remedy: "name a folder that notchwright run --part i/n has written to its end",
      });
    }
  }
  if (faults.length > 0) return faults;
  found.sort((a, b) => a.record.share.index - b.record.share.index);
  const first = found[0]!;
  for (const other of found.slice(1)) faults.push(...differences(first, other));
  if (faults.length > 0) return faults;
  faults.push(...gaps(found));
  return faults.length > 0 ? faults : answers(found);
}

/** Why two shares are not of one run; the first reason, since the others follow from it. */
function differences(first: Found, other: Found): Fault[] {
  const fault = (problem: string, remedy: string): Fault[] => [
    { key: other.shown, problem: `${problem} than ${first.shown}`, remedy },
  ];
  const [a, b] = [first.record, other.record];
  if (a.stamp !== b.stamp) {
    const versions =
      a.version === b.version
        ? `both ${a.version}, but not the same build`
        : `${b.version}, not ${a.version}`;
    return fault(`was solved by another program (${versions})`, "solve all shares with one program");
  }
  if (a.share.count !== b.share.count) {
    return fault(
      `is one of ${b.share.count} shares, not of ${a.share.count}: another run`,
      "give shares of one run, i/n with one n",
    );
  }
  const hashes = new Set(a.files.map(({ hash }) => hash));
  if (a.files.length !== b.files.length || b.files.some(({ hash }) => !hashes.has(hash))) {
    const odd = b.files.find(({ hash }) => !hashes.has(hash));
    return fault(
      `was made from other part files${odd ? ` ("${printable(odd.name, 200)}" differs)` : ""}`,
      "solve all shares from the same part files",
    );
  }
  const keys = (record: ShareRecord) => record.variants.map(identity).sort().join("\n");
  if (keys(a) !== keys(b)) {
    return fault(
      "was run with another choice of variants or other options",
      "give every share the same --only, --accuracy and --most-unknowns",
    );
  }
  return [];
}

/** What must agree of a variant between shares; the name of its file may differ from machine to machine. */
function identity({ source, place, key, share }: SharedVariant): string {
  return `${source} ${place} ${key} ${share}`;
}

/** Shares that are missing or given more than once. */
function gaps(found: readonly Found[]): Fault[] {
  const { count } = found[0]!.record.share;
  const by = new Map<number, Found[]>();
  for (const one of found) {
    const { index } = one.record.share;
    addTo(by, index, one);
  }
  const faults: Fault[] = [];
  for (const [index, twice] of by) {
    if (twice.length > 1) {
      faults.push({
        key: twice[1]!.shown,
        problem: `is share ${index} of ${count}, and so is ${twice[0]!.shown}`,
        remedy: "give each share once",
      });
    }
  }
  const missing: number[] = [];
  for (let index = 1; index <= count; index++) if (!by.has(index)) missing.push(index);
  if (missing.length > 0) {
    const named = missing.slice(0, 20).join(", ") + (missing.length > 20 ? ", …" : "");
    faults.push({
      key: "merge",
      problem: `${missing.length === 1 ? "share" : "shares"} ${named} of ${count} ${missing.length === 1 ? "is" : "are"} missing`,
      remedy: `run ${missing.length === 1 ? "it" : "them"} with --part ${missing[0]}/${count}${missing.length > 1 ? " and so on" : ""}, and name every folder`,
    });
  }
  return faults;
}

/** Puts answers in the order in which the first share lists the variants. */
function answers(found: readonly Found[]): JoinedRun | Fault[] {
  const { variants } = found[0]!.record;
  const faults: Fault[] = [];
  const own = found.map(({ record }) => {
    const place = new Map(record.variants.map((variant, k) => [identity(variant), k]));
    return { record, place };
  });
  const designs: Design[] = [];
  const ended: (Answered | Unanswered)[] = [];
  for (const variant of variants) {
    const { record, place } = own[variant.share - 1]!;
    const { design, failure } = record.own.get(place.get(identity(variant))!)!;
    designs.push(design);
    if (failure) {
      ended.push(failure);
      continue;
    }
    const { path, shown } = found[variant.share - 1]!;
    const store = solvedFile(join(path, ".notchwright", "solved"), variant.key);
    const solved = readSolved(store);
    if (solved) {
      ended.push({ result: redress(solved.result, design), store, kept: true });
    } else {
      faults.push({
        key: shown,
        problem: `the stored answer of "${variant.label}" is missing or damaged`,
        remedy: `run share ${variant.share} again into this folder`,
      });
    }
  }
  if (faults.length > 0) return faults;
  return { variants: variants.map((variant, k) => ({ ...variant, design: designs[k]! })), ended };
}
