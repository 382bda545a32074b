// Bundles the command and the library into dist/, declares the library's types, and collects the licences of
// what went into the bundles. Nothing is left to be installed beside them.
import { execFileSync } from "node:child_process";
import { chmodSync, existsSync, readdirSync, readFileSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { isBuiltin } from "node:module";
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
  plugins: [nodesOwn()],
};

// what a worker thread runs is one file: shared pieces would bring it all that the main thread wants of them, and every worker reads it
const files = [
  { entry: "src/index.ts", outfile: "index.js" },
  { entry: "src/cli/worker.ts", outfile: "worker.js" },
];
// the benchmark stays at home: its yardstick libraries are not part of what is handed out
const home = existsSync("bench/bench.ts") ? [{ entry: "bench/bench.ts", outfile: "bench.js" }] : [];
const [handedOut] = await Promise.all([
  Promise.all([command(), ...files.map(oneFile)]),
  Promise.all(home.map(oneFile)),
]);
chmodSync(`${made}/notchwright.js`, 0o755);
writeFileSync(`${made}/THIRD-PARTY.txt`, thirdParty(handedOut));

const tsc = ["node_modules/typescript/bin/tsc", "-p", "tsconfig.build.json", "--outDir", `${made}/types`];
execFileSync(process.execPath, tsc, { stdio: "inherit" });

await updateSimdModule();
rmSync("dist", { recursive: true, force: true });
renameSync(made, "dist");

/**
 * The command: a small file to start with, and in `pieces/` what it loads when asked for, each named after a hash of what is in it and in
 * the pieces it loads in turn. Help opens four of them; read as one file of two megabytes they would cost every start tens of milliseconds.
 */
function command() {
  return build({
    ...shared,
    entryPoints: ["src/cli/notchwright.ts"],
    outdir: made,
    splitting: true,
    chunkNames: "pieces/[name]-[hash]",
  });
}

/**
 * A bundle of one file, in two steps. The first leaves what is imported lazily in pieces of its own, without the parts of libraries
 * that nobody calls; the second puts the pieces into one file, each still run only when it is first asked for. In one
 * step, every library reached by a lazy import would be kept, and run, whole.
 */
async function oneFile({ entry, outfile }) {
  const pieces = `${made}/${outfile}.pieces`;
  const { metafile } = await build({ ...shared, entryPoints: [entry], outdir: pieces, splitting: true });
  await build({
    ...shared,
    entryPoints: [`${pieces}/${entry.split("/").at(-1).replace(".ts", ".js")}`],
    outfile: `${made}/${outfile}`,
  });
  rmSync(pieces, { recursive: true });
  return { metafile };
}

/**
 * Some libraries are CommonJS and call require() for node's own modules: those are fetched from node when first used. A start for
 * help is then spared what commander wants for starting other programs (child_process, and with it sockets), which this one never does.
 */
function nodesOwn() {
  return {
    name: "node's own modules",
    setup({ onResolve, onLoad }) {
      onResolve({ filter: /./ }, ({ path, kind }) =>
        kind === "require-call" && isBuiltin(path) ? { path, namespace: "node" } : null,
      );
      onLoad({ filter: /./, namespace: "node" }, ({ path }) => ({
        contents: `module.exports = ${
          /^(node:)?child_process$/.test(path)
            ? `new Proxy({}, { get: (_, name) => process.getBuiltinModule("${path}")[name] })`
            : `process.getBuiltinModule("${path}")`
        };`,
      }));
    },
  };
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
