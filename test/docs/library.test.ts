import { readFileSync } from "node:fs";
import { transformSync } from "esbuild";
import { describe, expect, test } from "vitest";
import * as notchwright from "../../src/index.ts";

/** The TypeScript blocks of a document. */
function blocks(file: string): string[] {
  return [...readFileSync(file, "utf8").matchAll(/```ts\n([\s\S]*?)```/g)].map((m) => m[1]);
}

/** Runs a block with the library in scope; returns what it printed. */
function run(code: string, log?: (...values: unknown[]) => void): string[] {
  const body = code.replace(/import \{([^}]*)\} from "notchwright";/, (_all, names: string) => {
    const values = names
      .split(",")
      .map((n) => n.trim())
      .filter((n) => n && !n.startsWith("type "));
    return `const { ${values.join(", ")} } = notchwright;`;
  });
  const printed: string[] = [];
  const js = transformSync(body, { loader: "ts", format: "cjs" }).code;
  new Function("notchwright", "console", js)(notchwright, {
    log: log ?? ((...values: unknown[]) => printed.push(values.join(" "))),
  });
  return printed;
}

describe("docs/library.md", () => {
  const [plate, part, strength] = blocks("docs/library.md");

  test("solves the plate with a hole to three times the far stress (Kirsch 1898)", () => {
    expect(run(plate)).toEqual(["300"]);
  });

  test("reads and answers a part file", () => {
    const [printed] = run(part);
    const [peak, inTarget] = printed.split(" ");
    expect(Number(peak)).toBeGreaterThan(100);
    expect(inTarget).toBe("true");
  });

  test("tells what breaks first, and judges other conditions without solving", () => {
    const told: unknown[][] = [];
    run(strength, (...values) => told.push(values));
    const [[id, torque], [peened], [window]] = told as [
      [string, { low: number; high: number }],
      [{ capacity: { governing: { id: string; torque: { low: number } } } }],
      [{ window: { required: number } }],
    ];
    expect(id).toBe("fatigue");
    expect(torque.low).toBeLessThan(torque.high);
    expect(peened.capacity.governing.torque.low).toBeGreaterThan(torque.low);
    expect(window.window.required).toBe(2 * 690_000 * 1.8);
  });
});
