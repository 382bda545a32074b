import { execFileSync } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, test } from "vitest";
import { HUB, workFolder } from "./command.ts";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const work = workFolder();
const shop = join(work.path, "shop");
/** npm without the network and without running scripts: what is packed must be enough. */
const npm = (args: readonly string[], cwd: string) =>
  execFileSync("npm", [...args, "--ignore-scripts", "--offline", "--no-audit", "--no-fund"], {
    cwd,
    encoding: "utf8",
    stdio: ["ignore", "pipe", "pipe"],
    // npm test sets variables for its own folder that would mislead the npm started here
    env: Object.fromEntries(Object.entries(process.env).filter(([key]) => !/^npm_|^INIT_CWD/i.test(key))),
  });
const node = (args: readonly string[]) =>
  execFileSync(process.execPath, args, { cwd: shop, encoding: "utf8", stdio: ["ignore", "pipe", "pipe"] });

describe("the package, installed into an empty folder", () => {
  let packed: readonly string[];
  beforeAll(() => {
    const [{ filename, files }] = JSON.parse(npm(["pack", "--json", "--pack-destination", work.path], ROOT));
    packed = (files as readonly { path: string }[]).map(({ path }) => path);
    mkdirSync(shop);
    writeFileSync(join(shop, "package.json"), '{ "name": "shop", "private": true, "type": "module" }');
    npm(["install", join(work.path, filename)], shop);
  });

  test("brings nothing along and no sources, but the licences of what is bundled", () => {
    expect(readdirSync(join(shop, "node_modules")).filter((name) => !name.startsWith("."))).toEqual([
      "notchwright",
    ]);
    expect(packed).toEqual(
      expect.arrayContaining(["LICENSE", "dist/THIRD-PARTY.txt", "dist/notchwright.js"]),
    );
    expect(packed).not.toContain("dist/bench.js"); // with yardstick libraries whose licences are not handed out
    expect(packed.filter((path) => /^(src|test|node_modules)\//.test(path))).toEqual([]);
    const licences = readFileSync(join(shop, "node_modules/notchwright/dist/THIRD-PARTY.txt"), "utf8");
    for (const name of ["commander", "yaml", "zod", "mathjs", "cli-progress"]) {
      expect(licences).toMatch(new RegExp(`^${name} \\d`, "m"));
    }
  });

  test("has a command that runs", () => {
    const program = join(shop, "node_modules/.bin/notchwright");
    writeFileSync(join(shop, "hub.yaml"), HUB);
    const run = ["run", "hub.yaml", "--out", "out", "--only", "V1", "--quiet"];
    const table = execFileSync(program, run, {
      cwd: shop,
      encoding: "utf8",
      stdio: ["ignore", "pipe", "pipe"],
    });
    expect(table).toMatch(/^V1 /m);
    expect(readdirSync(join(shop, "out"))).toContain("index.html");
  });

  test("has a library that answers a part file and any outline", () => {
    writeFileSync(
      join(shop, "use.js"),
      `import { readFileSync } from "node:fs";
       import { answerDesign, line, readPart, solveOutline, stressMap, stressScale } from "notchwright";
       const { designs } = readPart(readFileSync("hub.yaml", "utf8"), "hub.yaml");
       const { result, field, profile } = answerDesign(designs[0]);
       const svg = stressMap({ result, field, profile, scale: stressScale(result, [result]) });
       const corners = [[0, 0], [4, 0], [4, 1], [0, 1]];
       const names = ["bottom", "right", "top", "left"];
       const loop = corners.map(([x, y], k) => {
         const [u, v] = corners[(k + 1) % 4];
         return { name: names[k], zone: "side", curve: line(x, y, u, v) };
       });
       const bar = solveOutline({
         outline: { loops: [loop] },
         material: { E: 200000, nu: 0.3, state: "plane stress" },
         loads: [{ edges: ["right"], traction: [100, 0] }],
         supports: [{ edges: ["left"], u: 0 }, { point: [0, 0], v: 0 }],
       });
       console.log(JSON.stringify([svg.includes("<svg"), result.root.peakPrincipal.stress > 0, bar.at(2, 0.5).sxx]));`,
    );
    const [svg, peak, pulled] = JSON.parse(node(["use.js"]));
    expect([svg, peak]).toEqual([true, true]);
    // a bar pulled with 100 MPa carries 100 MPa
    expect(pulled).toBeCloseTo(100, 6);
  });

  test("declares types that a strict program compiles against, nothing skipped", () => {
    writeFileSync(
      join(shop, "use.ts"),
      `import { answerDesign, type Design, readPart, type VariantResult } from "notchwright";
       const designs: readonly Design[] = readPart("", "hub.yaml").designs;
       const result: VariantResult = answerDesign(designs[0]!, { accuracy: 0.01 }).result;
       export const stress: number | undefined = result.root.peakPrincipal?.stress;
       // @ts-expect-error: a design has no such key
       export const wrong = designs[0]!.colour;
      `,
    );
    const tsc = join(ROOT, "node_modules/typescript/bin/tsc");
    const options = ["--noEmit", "--strict", "--module", "nodenext", "--target", "es2022", "--types", ""];
    try {
      node([tsc, ...options, "use.ts"]);
    } catch (error) {
      expect.fail(String((error as { stdout: string }).stdout));
    }
  });
});
