#!/usr/bin/env node
/** The program: it reads the command line. Each room is loaded only when a command needs it, so that help is there at once. */
import { compileLess } from "./engineSettings.ts";
import { main } from "./main.ts";

compileLess();
process.exitCode = await main(process.argv.slice(2), import.meta.url);
