import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { hostname, tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { leaveLock, takeLock } from "../../src/cli/folderLock.ts";

let home: string;
let lock: string;
beforeEach(() => {
  home = mkdtempSync(join(tmpdir(), "notchwright-lock-"));
  lock = join(home, "running");
});
afterEach(() => rmSync(home, { recursive: true, force: true }));

/** No process has this number: beyond what any system gives. */
const GONE = 2 ** 30;
const text = (pid: number, host = hostname()) => `${pid} ${host}\n`;

describe("the lock of a folder", () => {
  test("says whose it is, and nothing is left beside it or of it", () => {
    expect(takeLock(lock)).toBe(true);
    expect(readFileSync(lock, "utf8")).toBe(text(process.pid));
    expect(readdirSync(home)).toEqual(["running"]);
    leaveLock(lock);
    expect(readdirSync(home)).toEqual([]);
  });

  test.each([
    ["a process that runs", () => text(process.ppid)],
    ["a process of another machine, of which nobody can tell", () => text(GONE, "another-machine")],
  ])("is not taken from %s, nor removed for it", (_of, held) => {
    writeFileSync(lock, held());
    expect(takeLock(lock)).toBe(false);
    leaveLock(lock);
    expect(readFileSync(lock, "utf8")).toBe(held());
    expect(readdirSync(home)).toEqual(["running"]);
  });

  test.each([
    ["a process that is gone", text(GONE)],
    ["an earlier process of this one's number", text(process.pid)],
    ["nobody that can be read", ""],
  ])("is taken over from %s", (_of, left) => {
    writeFileSync(lock, left);
    expect(takeLock(lock)).toBe(true);
    expect(readFileSync(lock, "utf8")).toBe(text(process.pid));
    expect(readdirSync(home)).toEqual(["running"]);
  });
});
