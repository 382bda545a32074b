import { spawnSync } from "node:child_process";
import { expect, test } from "vitest";

// the bundle stands: `npm test` builds it first
test("the README's table, sentences and pictures are what the demo gives", () => {
  const { status, stdout } = spawnSync(process.execPath, ["scripts/docs.mjs", "--check"], {
    encoding: "utf8",
  });
  expect(stdout).toBe("");
  expect(status).toBe(0);
});
