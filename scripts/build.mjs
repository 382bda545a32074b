// Bundles the command and the library into dist/, declares the library's types, and collects the licences of
// what went into the bundles. The command is one file: a tool that opens a hundred modules before it prints its
// help feels broken. Nothing is left to be installed beside it.
import { execFileSync } from "node:child_process";
import { chmodSync, existsSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { updateSimdModule } from "./simdModule.mjs";

process.chdir(fileURLToPath(new URL("..", import.meta.url)));
const { version } = JSON.parse(readFileSync("package.json", "utf8"));

// made beside and swapped in, so that a program that runs meanwhile never finds the folder half made
const made = `node_modules/.notchwright-${process.pid}`;
process.on("exit", () => rmSync(made, { recursive: true, force: true }));
const shared = {
  bundle: true,
  platform: "node",
  target: "node20.19",
  format: "esm",
  sourcemap: false,
  minifySyntax: true,
  minifyWhitespace: true,
  legalComments: "none",
  logLevel: "warning",
  metafile: true,
  define: { NOTCHWRIGHT_VERSION: JSON.stringify(version) },
};
// some libraries are CommonJS and call require() for node's own modules
const requireLine =
  'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);';

const bundles = [
  { entryPoints: ["src/cli/notchwright.ts"], outfile: "notchwright.js", start: "#!/usr/bin/env node\n" },
  { entryPoints: ["src/index.ts"], outfile: "index.js", start: "" },
];
if (existsSync("bench/bench.ts")) {
  bundles.push({ entryPoints: ["bench/bench.ts"], outfile: "bench.js", start: "" });
}
const results = await Promise.all(bundles.map(bundle));
chmodSync(`${made}/notchwright.js`, 0o755);
// the benchmark stays at home: its yardstick libraries are not part of what is handed out
writeFileSync(`${made}/THIRD-PARTY.txt`, thirdParty(results.slice(0, 2)));

const tsc = ["node_modules/typescript/bin/tsc", "-p", "tsconfig.build.json", "--outDir", `${made}/types`];
execFileSync(process.execPath, tsc, { stdio: "inherit" });

await updateSimdModule();
rmSync("dist", { recursive: true, force: true });
renameSync(made, "dist");

/**
 * In two steps. The first leaves what is imported lazily in pieces of its own, without the parts of libraries that
 * nobody calls; the second puts the pieces into one file, each still run only when it is first asked for. In one
 * step, every library reached by a lazy import would be kept, and run, whole.
 */
async function bundle({ entryPoints, outfile, start }) {
  const pieces = `${made}/${outfile}.pieces`;
  const { metafile } = await build({ ...shared, entryPoints, outdir: pieces, splitting: true });
  const entry = `${pieces}/${entryPoints[0].split("/").at(-1).replace(".ts", ".js")}`;
  await build({
    ...shared,
    entryPoints: [entry],
    outfile: `${made}/${outfile}`,
    banner: { js: start + requireLine },
  });
  rmSync(pieces, { recursive: true });
  return { metafile };
}

/** Name, version and licence text of every package a bundle holds code of. */
function thirdParty(bundled) {
  const folders = new Set();
  for (const { metafile } of bundled) {
    for (const { inputs } of Object.values(metafile.outputs)) {
      for (const [input, { bytesInOutput }] of Object.entries(inputs)) {
        const found = /^(.*node_modules\/(?:@[^/]+\/)?[^/]+)\//.exec(input);
        if (found && bytesInOutput > 0) folders.add(found[1]);
      }
    }
  }
  const texts = [...folders].sort().map((folder) => {
    const about = JSON.parse(readFileSync(`${folder}/package.json`, "utf8"));
    const file = readdirSync(folder).find((name) => /^licen[cs]e/i.test(name));
    const notice = readdirSync(folder).find((name) => /^notice/i.test(name));
    const text = [file, notice].flatMap((name) => (name ? [readFileSync(`${folder}/${name}`, "utf8")] : []));
    if (text.length === 0) text.push(`Licence: ${about.license} (the package carries no licence file)`);
    return `${about.name} ${about.version} (${about.license})\n\n${text.join("\n").trim()}\n`;
  });
  const rule = `\n${"-".repeat(78)}\n\n`;
  return `The bundles in this folder hold code of these packages.\n${rule}${texts.join(rule)}`;
}
