import { copyFileSync, realpathSync, renameSync } from "node:fs";
import { basename, dirname, join, resolve } from "node:path";
import { DesignError, type Fault } from "../design/index.ts";
import type { MergeOptions } from "./commands/merge.ts";
import { compareCountFault } from "./compareCountFault.ts";
import { exitCode } from "./exitCode.ts";
import { Interrupted, interruptSignal } from "./interrupt.ts";
import { type JoinedRun, joinShares } from "./joinShares.ts";
import { asFault, closeOutput, inspectOutput, openOutput, solvedFolder } from "./outputFolder.ts";
import { FIXED_NAMES, mapNames } from "./outputNames.ts";
import { printable } from "./printable.ts";
import { reportRun } from "./reportRun.ts";
import { pruneStore } from "./runParts.ts";
import { chosenNames, workerCount } from "./runSettings.ts";
import { err } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import type { Reply, Task } from "./serve.ts";
import { dropShareRecord } from "./shareRecord.ts";
import { solverThread } from "./solverThread.ts";
import { workerPool } from "./workerPool.ts";

/**
 * The `merge` command: the folders of all shares of a run become the folder that the run would have written by itself.
 * Everything is checked before anything is written; the shares are only read. @returns the exit code.
 */
export async function mergeShares(
  target: string,
  folders: readonly string[],
  options: MergeOptions,
  programUrl: string,
): Promise<number> {
  const joined = joinShares(folders);
  const faults: Fault[] = Array.isArray(joined) ? joined : [];
  const maps = Array.isArray(joined) ? [] : mapNames(joined.variants);
  const compare = Array.isArray(joined) ? null : comparedNames(joined, options.compare, faults);
  faults.push(...inspectTarget(target, folders, [...FIXED_NAMES, ...(options.maps ? maps : [])], options));
  if (Array.isArray(joined) || faults.length > 0) return sayFaults(faults);

  const folder = openOutput(target);
  dropShareRecord(folder);
  const { signal, release } = interruptSignal();
  const size = workerCount(undefined, joined.variants.length);
  const pool = workerPool<Task, Reply>(() => solverThread(programUrl), size);
  try {
    const store = solvedFolder(folder);
    const ended = joined.ended.map((one) => {
      if (!("store" in one)) return one;
      const own = join(store, basename(one.store));
      copyWhole(one.store, own, target);
      return { ...one, store: own };
    });
    const plan = {
      variants: joined.variants,
      mapNames: maps,
      compare,
      maps: options.maps,
      quiet: options.quiet === true,
      shown: target,
    };
    const code = await reportRun(plan, ended, folder, pool, signal);
    pruneStore(store, new Set(ended.flatMap((one) => ("store" in one ? [one.store] : []))));
    return code;
  } catch (error) {
    if (error instanceof DesignError) {
      sayFaults(error.faults);
      err("The shares are as they were; give the same command again.");
      return exitCode.numerics;
    }
    if (!(error instanceof Interrupted)) throw error;
    err("Stopped. Give the same command again; the shares are as they were.");
    return error.code;
  } finally {
    await pool.close();
    closeOutput(folder);
    release();
  }
}

function copyWhole(from: string, to: string, shown: string): void {
  const part = `${to}.${process.pid}.part`;
  try {
    copyFileSync(from, part);
    renameSync(part, to);
  } catch (error) {
    throw asFault(error, shown);
  }
}

/** The names `--compare` gives, as `run` takes them. */
function comparedNames(
  { variants }: JoinedRun,
  asked: readonly string[] | undefined,
  faults: Fault[],
): Set<string> | null {
  const known = [...new Set(variants.map(({ design }) => design.variant))];
  const compare = chosenNames("--compare", asked, known, faults);
  const miscounted = compare && compare.size > 0 ? compareCountFault(variants, compare) : null;
  if (miscounted) faults.push(miscounted);
  return compare;
}

/** The folder to write into must be fit for it, and none of the shares. */
function inspectTarget(
  target: string,
  folders: readonly string[],
  wanted: readonly string[],
  { intoExisting }: MergeOptions,
): Fault[] {
  const real = (path: string) => {
    try {
      return realpathSync(path);
    } catch {
      return null;
    }
  };
  const remedy = "name another folder first, the one to write into";
  for (let at = resolve(target); ; at = dirname(at)) {
    const own = real(at);
    const share = own === null ? undefined : folders.find((folder) => real(folder) === own);
    if (share !== undefined) {
      const problem =
        at === resolve(target)
          ? "is itself one of the shares"
          : `lies inside the share ${printable(share, 200)}`;
      return [{ key: printable(target, 200), problem, remedy }];
    }
    if (at === dirname(at)) break;
  }
  return inspectOutput(target, wanted, intoExisting === true);
}
