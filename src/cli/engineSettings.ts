import { setFlagsFromString } from "node:v8";

/** Engine (of Node 20) these were tried with. Another might not know them, and would say so to the user. */
const TRIED = /^11\./;

/**
 * How much of a function the engine runs before it compiles it for speed: seven times what it would by itself. A command solves for
 * half a second or for ten, and much of what the engine would compile is called once a variant. What that saves stands in
 * docs/performance.md.
 */
export function compileLess(): void {
  if (TRIED.test(process.versions.v8)) setFlagsFromString("--interrupt-budget=500000");
}

/**
 * How the engine collects garbage while variants are solved. With as many workers as cores none is idle for the
 * collector's own threads: a worker clears its young objects and releases its array buffers itself, and its heap may
 * grow fourfold before it is marked. The engine reads all three anew at each collection, so that they may be set in a
 * running program; concurrent marking may not be switched off in one.
 */
export function collectAlone(): void {
  if (!TRIED.test(process.versions.v8)) return;
  setFlagsFromString("--no-parallel-scavenge");
  setFlagsFromString("--no-concurrent-array-buffer-sweeping");
  setFlagsFromString("--heap-growing-percent=300");
}
