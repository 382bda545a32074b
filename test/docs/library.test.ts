import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
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

/** What a strict compiler finds wrong in blocks that import the library: a line each, "" when nothing. */
function typeFaults(codes: readonly string[]): string {
  const folder = mkdtempSync(join(tmpdir(), "notchwright-types-"));
  try {
    for (const [k, code] of codes.entries()) writeFileSync(join(folder, `block${k}.ts`), code);
    const options = {
      extends: resolve("tsconfig.json"),
      compilerOptions: {
        noEmit: true,
        noUncheckedIndexedAccess: false,
        typeRoots: [resolve("node_modules/@types")],
        paths: { notchwright: [resolve("src/index.ts")] },
      },
      include: ["*.ts"],
    };
    writeFileSync(join(folder, "package.json"), '{ "type": "module" }');
    writeFileSync(join(folder, "tsconfig.json"), JSON.stringify(options));
    return spawnSync(process.execPath, ["node_modules/typescript/bin/tsc", "-p", folder], {
      encoding: "utf8",
    }).stdout;
  } finally {
    rmSync(folder, { recursive: true });
  }
}

describe("docs/library.md", () => {
  const [plate, part, strength] = blocks("docs/library.md");

  test("its examples pass a strict compiler", { timeout: 120_000 }, () => {
    const wrong = plate.replace("solveOutline({", "solveOutline({ nonsense: 1,");
    expect(typeFaults([wrong])).toContain("nonsense");
    expect(typeFaults([plate, part, strength, ...blocks("docs/strength.md")])).toBe("");
  });

  test("solves the plate with a hole to three times the far stress (Kirsch 1898)", () => {
    expect(run(plate)).toEqual(["300"]);
  });

  test("reads and answers a part file", () => {
    const [printed] = run(part);
    const [peak, inTarget] = printed.split(" ");
    expect(Number(peak)).toBeGreaterThan(100);
    expect(inTarget).toBe("true");
  });

  test("and of docs/strength.md: another steel and a hardness window without solving again", () => {
    const told: unknown[] = [];
    for (const block of blocks("docs/strength.md")) run(block, (...values) => told.push(...values));
    const [title, aim] = told as [string, unknown];
    expect(title.length).toBeGreaterThan(5);
    expect(Array.isArray(aim) || aim === null).toBe(true);
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
