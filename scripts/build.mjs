// Bundles the command and the library into dist/. The command is one file: a tool that opens a hundred
// modules before it prints its help feels broken.
import { rmSync } from "node:fs";
import { build } from "esbuild";

rmSync("dist", { recursive: true, force: true });
const shared = {
  bundle: true,
  platform: "node",
  target: "node20.19",
  format: "esm",
  sourcemap: false,
  legalComments: "linked",
  logLevel: "warning",
  // some libraries are CommonJS and call require() for node's own modules
  banner: {
    js: 'import { createRequire as __createRequire } from "node:module"; const require = __createRequire(import.meta.url);',
  },
};
await build({
  ...shared,
  entryPoints: ["src/cli/notchwright.ts"],
  outfile: "dist/notchwright.js",
  minifySyntax: true,
  banner: { js: `#!/usr/bin/env node\n${shared.banner.js}` },
});
