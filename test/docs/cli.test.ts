import { execFile } from "node:child_process";
import { chmodSync, readFileSync } from "node:fs";
import { delimiter } from "node:path";
import { describe, expect, test } from "vitest";
import { PROGRAM, workFolder } from "../cli/command.ts";

const work = workFolder();

/** Runs a line as a shell does, with the program on its path. */
function shell(line: string): Promise<{ readonly code: number; readonly err: string }> {
  const PATH = `${work.path}${delimiter}${process.env.PATH}`;
  return new Promise((resolve) =>
    execFile("sh", ["-c", line], { cwd: work.path, env: { ...process.env, PATH } }, (error, _out, err) =>
      resolve({ code: error ? Number(error.code) : 0, err }),
    ),
  );
}

describe("docs/cli.md", () => {
  test("its first commands run one after another in an empty folder", { timeout: 120_000 }, async () => {
    chmodSync(work.file("notchwright", `#!/bin/sh\nexec "${process.execPath}" "${PROGRAM}" "$@"\n`), 0o755);
    const [, block] = /```\n([\s\S]*?)```/.exec(readFileSync("docs/cli.md", "utf8"))!;
    const lines = block
      .trim()
      .split("\n")
      .map((line) => line.split(/ {2,}/)[0]);
    expect(lines.length).toBeGreaterThanOrEqual(12);
    // what the other machine does
    const other = "notchwright run hub.yaml --part 2/2 --out shares/2";
    const merge = lines.findIndex((line) => line.includes(" merge "));
    for (const line of [...lines.slice(0, merge), other, ...lines.slice(merge)])
      expect([line, await shell(line)]).toMatchObject([line, { code: 0 }]);
  });
});
