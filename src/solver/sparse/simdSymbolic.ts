import type { NodePattern } from "./nodeMatrix.ts";
import { PatternArrays } from "./patternArrays.ts";
import { type SimdExports, simdInstance } from "./simdInstance.ts";
import { SymbolicArrays } from "./symbolicArrays.ts";

/** An instance whose memory has grown beyond this is not kept for the next call. */
const KEPT_BYTES = 64 * 2 ** 20;
/** Arrays of the module: their length, then, this many bytes on, their numbers. */
const HEADER = 16;

let kept: SimdExports | null = null;

/** The order of `orderPattern`, found in WebAssembly; null where that cannot run. */
export function simdOrder({ n, colPtr, rowIdx, cliques }: NodePattern, way: number): Int32Array | null {
  return withInstance((wasm) => {
    const ptr = writeInts(wasm, colPtr);
    const rows = writeInts(wasm, rowIdx);
    const sets = cliques ? cliques.ptr.length - 1 : 0;
    const setPtr = cliques ? writeInts(wasm, cliques.ptr) : ptr;
    const setNodes = cliques ? writeInts(wasm, cliques.nodes) : rows;
    return readInts(wasm, wasm.orderPattern(n, ptr, rows, sets, setPtr, setNodes, way));
  });
}

/**
 * What `symbolicArrays` gives, found in WebAssembly, ordered there too if a way is given in place of an order; null
 * where that cannot run.
 */
export function simdSymbolicArrays(pattern: NodePattern, order: Int32Array | number): SymbolicArrays | null {
  return withInstance((wasm) => {
    const { n, cliques } = pattern;
    const colPtr = writeInts(wasm, pattern.colPtr);
    const rowIdx = writeInts(wasm, pattern.rowIdx);
    const sets = cliques ? cliques.ptr.length - 1 : 0;
    const setPtr = cliques ? writeInts(wasm, cliques.ptr) : colPtr;
    const setNodes = cliques ? writeInts(wasm, cliques.nodes) : rowIdx;
    const at = wasm.symbolicArrays(
      n,
      colPtr,
      rowIdx,
      sets,
      setPtr,
      setNodes,
      typeof order === "number"
        ? wasm.orderPattern(n, colPtr, rowIdx, sets, setPtr, setNodes, order)
        : writeInts(wasm, order),
    );
    const out = new SymbolicArrays();
    // pointers in the order in which the class declares its fields
    const field = new Int32Array(wasm.memory.buffer, at, 14);
    out.order = readInts(wasm, field[0]);
    out.frontFirst = readInts(wasm, field[1]);
    out.frontParent = readInts(wasm, field[2]);
    out.childPtr = readInts(wasm, field[3]);
    out.childList = readInts(wasm, field[4]);
    out.rowPtr = readInts(wasm, field[5]);
    out.rows = readInts(wasm, field[6]);
    out.rowInParent = readInts(wasm, field[7]);
    out.panelStart = readInts(wasm, field[8]);
    out.updateStart = readInts(wasm, field[9]);
    out.entryPtr = readInts(wasm, field[10]);
    out.entrySource = readInts(wasm, field[11]);
    out.entryTarget = readInts(wasm, field[12]);
    const length = new Int32Array(wasm.memory.buffer, field[13], 1)[0];
    out.numbers = new Float64Array(wasm.memory.buffer, field[13] + HEADER, length).slice();
    return out;
  });
}

/** What `patternArrays` gives, found in WebAssembly; null where that cannot run. */
export function simdPatternArrays(nodeCount: number, elements: Int32Array, m: number): PatternArrays | null {
  return withInstance((wasm) => {
    const at = wasm.patternArrays(nodeCount, writeInts(wasm, elements), m);
    // pointers in the order in which the class declares its fields
    const field = new Int32Array(wasm.memory.buffer, at, 6);
    const out = new PatternArrays();
    out.fault = readInts(wasm, field[5]);
    if (out.fault[0] !== -1) return out;
    out.colPtr = readInts(wasm, field[0]);
    out.rowIdx = readInts(wasm, field[1]);
    out.elementPlace = readInts(wasm, field[2]);
    out.cliquePtr = readInts(wasm, field[3]);
    out.cliqueNodes = readInts(wasm, field[4]);
    return out;
  });
}

function withInstance<T>(work: (wasm: SimdExports) => T): T | null {
  const wasm = kept ?? simdInstance();
  kept = null; // not to be used again if the work fails half-way
  if (wasm === null) return null;
  try {
    const result = work(wasm);
    wasm.reset();
    if (wasm.memory.buffer.byteLength <= KEPT_BYTES) kept = wasm;
    return result;
  } catch (error) {
    // no more memory to be had there: the caller goes on with arrays of the runtime
    if (error instanceof Error && error.constructor.name === "RuntimeError") return null;
    throw error;
  }
}

function writeInts(wasm: SimdExports, values: Int32Array): number {
  const at = wasm.newInts(values.length);
  new Int32Array(wasm.memory.buffer, at + HEADER, values.length).set(values);
  return at;
}

function readInts(wasm: SimdExports, at: number): Int32Array {
  const length = new Int32Array(wasm.memory.buffer, at, 1)[0];
  return new Int32Array(wasm.memory.buffer, at + HEADER, length).slice();
}
