import { SIMD_MODULE } from "./simdModule.ts";

/** The part of the runtime's WebAssembly used here; the type libraries know it only for browsers. */
interface Engine {
  readonly Module: new (bytes: Uint8Array) => object;
  readonly Instance: new (module: object) => { readonly exports: object };
}
interface Memory {
  readonly buffer: ArrayBuffer;
  grow(pages: number): number;
}

/** What the compiled module offers: see `assembly/`. Addresses are in bytes from the start of its memory. */
export interface SimdExports {
  readonly memory: Memory;
  firstFree(): number;
  reset(): void;
  newInts(length: number): number;
  patternArrays(nodeCount: number, elements: number, m: number): number;
  orderPattern(
    n: number,
    colPtr: number,
    rowIdx: number,
    cliques: number,
    cliquePtr: number,
    cliqueNodes: number,
    way: number,
  ): number;
  symbolicArrays(
    n: number,
    colPtr: number,
    rowIdx: number,
    cliques: number,
    cliquePtr: number,
    cliqueNodes: number,
    order: number,
  ): number;
  addStraightElements(
    xy: number,
    elements: number,
    count: number,
    special: number,
    place: number,
    values: number,
    rest: number,
    a11: number,
    a12: number,
    a33: number,
  ): number;
  newFieldFit(): number;
  startFieldFit(fit: number, kappa: number): void;
  fitField(fit: number, most: number, points: number, rows: number, f: number): void;
  fittedStresses(fit: number, count: number): void;
  fittedDisplacements(fit: number, count: number): void;
  startWeights(fit: number): void;
  addWeights(fit: number, x: number, y: number, g0: number, g1: number, g2: number): void;
  weightedLoad(fit: number, points: number, f: number): void;
  factorFronts(
    fronts: number,
    frontFirst: number,
    rowPtr: number,
    rowInParent: number,
    childPtr: number,
    childList: number,
    panelStart: number,
    updateStart: number,
    entryPtr: number,
    entrySource: number,
    entryTarget: number,
    values: number,
    panels: number,
    updates: number,
    floors: number,
    tolerance: number,
  ): number;
  solveFronts(
    fronts: number,
    n: number,
    frontFirst: number,
    rowPtr: number,
    rows: number,
    panelStart: number,
    panels: number,
    x: number,
    count: number,
    local: number,
  ): void;
}

let compiled: object | null | undefined;
const { WebAssembly: engine } = globalThis as unknown as { readonly WebAssembly?: Engine };

/** The module, compiled when first asked for; null where the machine or the runtime has no 128-bit vectors. */
function simdModule(): object | null {
  if (compiled === undefined) {
    try {
      compiled = engine ? new engine.Module(Buffer.from(SIMD_MODULE, "base64")) : null;
    } catch {
      compiled = null;
    }
  }
  return compiled ?? null;
}

/** A fresh instance with a memory of its own; null where it cannot run, or the process may not reserve the addresses it wants. */
export function simdInstance(): SimdExports | null {
  const module = simdModule();
  if (module === null || !engine) return null;
  try {
    return new engine.Instance(module).exports as unknown as SimdExports;
  } catch {
    // the engine reserves some ten GB of addresses for each memory, which a limit on them (`ulimit -v`) forbids
    return null;
  }
}
