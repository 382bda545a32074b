// Compiles src/solver/sparse/assembly/ (AssemblyScript) to WebAssembly and writes it, as text, into
// src/solver/sparse/simdModule.ts. The text is checked in, so that tests and type checks need no step before them; the
// build calls this first, and a test holds the text to its source. Unchanged sources are not compiled again.
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { fileURLToPath } from "node:url";

const folder = fileURLToPath(new URL("../src/solver/sparse/assembly/", import.meta.url));
const target = fileURLToPath(new URL("../src/solver/sparse/simdModule.ts", import.meta.url));
const OPTIONS = [
  ...["index.ts", "--outFile", "module.wasm", "-O3", "--noAssert", "--runtime", "stub", "--enable", "simd"],
  ...["--uncheckedBehavior", "always", "--maximumMemory", "65536", "--use", "abort="],
];
/** Files in the common dialect (see flat.ts) that go into the module too. */
const COMMON = [
  "../recovery/fieldFit",
  "columnCounts",
  "dissectGraph",
  "eliminationTree",
  "mergeFronts",
  "orderGraph",
  "orderPattern",
  "patternArrays",
  "symbolicArrays",
].map((name) => `../${name}.ts`);

/** Text of simdModule.ts as the sources now make it. */
export async function simdModuleText() {
  const { main } = await import("assemblyscript/asc");
  let binary;
  const { error, stderr } = await main(OPTIONS, {
    readFile: (name) => {
      // the words of the common dialect mean something else here
      const path =
        resolve(folder, name) === resolve(folder, "../flat.ts") ? `${folder}flat.ts` : `${folder}${name}`;
      return existsSync(path) ? assemblyText(readFileSync(path, "utf8")) : null;
    },
    writeFile: (_, contents) => {
      binary = contents;
    },
    listFiles: () => [],
  });
  if (error) throw new Error(`${error.message}\n${stderr.toString()}`);
  return `// Made from assembly/ by scripts/simdModule.mjs; change that, not this.

/** Hash of the sources and options. */
export const SIMD_SOURCE = "${sourceHash()}";

/** The compiled module, base64. */
export const SIMD_MODULE =
  "${Buffer.from(binary).toString("base64")}";
`;
}

/** TypeScript as AssemblyScript reads it: no type-only imports, no file endings. */
function assemblyText(text) {
  return text.replace(/^import .*$/gm, (line) => line.replace(/\btype /g, "").replace('.ts"', '"'));
}

/** Brings simdModule.ts up to date; says whether it had to be written. */
export async function updateSimdModule() {
  if (existsSync(target) && readFileSync(target, "utf8").includes(`"${sourceHash()}"`)) return false;
  writeFileSync(target, await simdModuleText());
  return true;
}

function sourceHash() {
  const hash = createHash("sha256").update(JSON.stringify(OPTIONS));
  const own = readdirSync(folder).filter((name) => name.endsWith(".ts"));
  for (const name of [...own, ...COMMON].sort()) hash.update(name).update(readFileSync(`${folder}${name}`));
  return hash.digest("hex").slice(0, 32);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  console.log((await updateSimdModule()) ? "simdModule.ts written" : "simdModule.ts is up to date");
}
