import { linkSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { hostname } from "node:os";
import { removeIfPossible } from "./removeIfPossible.ts";

/** What a lock of this process says. */
const mine = (): string => `${process.pid} ${hostname()}\n`;

/**
 * Takes a lock file, which only one process can hold. One whose process is gone (of this machine; of another nobody can tell) is taken over.
 * It appears whole, under a name of its own first, so that nobody ever reads half of one.
 * @returns false where another process holds it.
 */
export function takeLock(lock: string): boolean {
  const own = `${lock}.${process.pid}`;
  writeFileSync(own, mine());
  try {
    // each turn another process may have been quicker
    for (let turn = 0; turn < 10; turn++) {
      if (putThere(own, lock)) return true;
      const owner = readIfThere(lock);
      if (owner === null) continue;
      if (isHeld(owner)) return false;
      // of two that find it stale one alone moves it away; the other may catch what the first has put in its place, and gives it back
      const aside = `${own}.stale`;
      if (!movedTo(lock, aside)) continue;
      if (readIfThere(aside) !== owner) putThere(aside, lock);
      removeIfPossible(aside);
    }
    return false;
  } finally {
    removeIfPossible(own);
  }
}

/** Gives a lock back, if it is still this process's. Never throws. */
export function leaveLock(lock: string): void {
  if (readIfThere(lock) === mine()) removeIfPossible(lock);
}

/** Puts a file under another name where nothing has that name yet. */
function putThere(file: string, name: string): boolean {
  try {
    linkSync(file, name);
    return true;
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "EEXIST") return false;
    // file systems without hard links
    if (!["EPERM", "ENOSYS", "ENOTSUP", "EOPNOTSUPP", "EMLINK"].includes(code ?? "")) throw error;
  }
  try {
    writeFileSync(name, readFileSync(file), { flag: "wx" });
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "EEXIST") return false;
    throw error;
  }
}

function movedTo(file: string, name: string): boolean {
  try {
    renameSync(file, name);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === "ENOENT") return false;
    throw error;
  }
}

function readIfThere(file: string): string | null {
  try {
    return readFileSync(file, "utf8");
  } catch {
    return null;
  }
}

/** Whether the process that a lock names may still run. One of this very process is left from an earlier life of its number. */
function isHeld(owner: string): boolean {
  const [pid, host] = owner.trim().split(" ");
  if (!host) return false;
  if (host !== hostname()) return true;
  return Number(pid) !== process.pid && isAlive(Number(pid));
}

function isAlive(pid: number): boolean {
  if (!Number.isInteger(pid) || pid <= 0) return false;
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === "EPERM";
  }
}
