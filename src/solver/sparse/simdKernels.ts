import { fromNewOrder, type Kernels, toNewOrder } from "./kernels.ts";
import { simdInstance } from "./simdInstance.ts";
import type { Symbolic } from "./symbolic.ts";

const PAGE = 65536;
/** All that 32-bit addresses reach. */
export const SIMD_MOST_BYTES = 4 * 2 ** 30 - PAGE;

/** The integer arrays of `Symbolic` that the kernels read, in the order they are laid out. */
const ARRAYS = [
  "frontFirst",
  "rowPtr",
  "rows",
  "rowInParent",
  "childPtr",
  "childList",
  "panelStart",
  "updateStart",
  "entryPtr",
  "entrySource",
  "entryTarget",
] as const;

/** Where things lie in the module's memory, bytes. Once the factor is there, vectors take the place of updates. */
interface Layout {
  readonly arrays: Record<(typeof ARRAYS)[number], number>;
  readonly values: number;
  readonly floors: number;
  readonly panels: number;
  readonly updates: number;
  readonly end: number;
}

function layOut(symbolic: Symbolic, from: number): Layout {
  let at = from;
  const take = (bytes: number): number => {
    const start = Math.ceil(at / 64) * 64; // a cache line
    at = start + bytes;
    return start;
  };
  const arrays = Object.fromEntries(ARRAYS.map((name) => [name, take(4 * symbolic[name].length)]));
  const places = {
    arrays: arrays as Layout["arrays"],
    values: take(32 * symbolic.pattern.rowIdx.length),
    floors: take(8 * (symbolic.statistics.largestFront + 2)),
    panels: take(8 * symbolic.statistics.factorStored),
    updates: take(8 * symbolic.updateLength),
  };
  return { ...places, end: at };
}

/** Bytes these kernels need for a matrix of this pattern; beyond `SIMD_MOST_BYTES` they cannot take it. */
export function simdBytes(symbolic: Symbolic): number {
  return layOut(symbolic, PAGE).end;
}

/**
 * Kernels in WebAssembly with 128-bit vectors, each set with a memory of its own; null where they cannot run.
 * The matrix and the symbolic arrays are copied in, the latter once for all factorisations in a row that share them.
 */
export function simdKernels(): Kernels | null {
  const wasm = simdInstance();
  if (wasm === null) return null;
  const { memory } = wasm;
  let loaded: Symbolic | null = null;
  let layout: Layout | null = null;

  const reach = (bytes: number): void => {
    const missing = bytes - memory.buffer.byteLength;
    if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
  };
  const load = (symbolic: Symbolic): Layout => {
    if (loaded === symbolic && layout !== null) return layout;
    loaded = null;
    const place = layOut(symbolic, wasm.firstFree());
    reach(place.end);
    for (const name of ARRAYS) {
      const source = symbolic[name];
      new Int32Array(memory.buffer, place.arrays[name], source.length).set(source);
    }
    loaded = symbolic;
    layout = place;
    return place;
  };

  return {
    kind: "simd",
    factor(symbolic, values, tolerance) {
      const { arrays, ...at } = load(symbolic);
      new Float64Array(memory.buffer, at.values, values.length).set(values);
      const column = wasm.factorFronts(
        symbolic.fronts,
        arrays.frontFirst,
        arrays.rowPtr,
        arrays.rowInParent,
        arrays.childPtr,
        arrays.childList,
        arrays.panelStart,
        arrays.updateStart,
        arrays.entryPtr,
        arrays.entrySource,
        arrays.entryTarget,
        at.values,
        at.panels,
        at.updates,
        at.floors,
        tolerance,
      );
      if (column === -1) return null;
      const [pivot, floor] = new Float64Array(memory.buffer, at.floors, 2);
      return { column, pivot, floor };
    },
    solve(symbolic, rhs, count) {
      const { arrays, ...at } = load(symbolic);
      const local = at.updates + 8 * rhs.length;
      reach(local + 8 * (symbolic.statistics.largestFront + 8));
      const x = new Float64Array(memory.buffer, at.updates, rhs.length);
      toNewOrder(symbolic, rhs, count, x);
      wasm.solveFronts(
        symbolic.fronts,
        symbolic.n,
        arrays.frontFirst,
        arrays.rowPtr,
        arrays.rows,
        arrays.panelStart,
        at.panels,
        at.updates,
        count,
        local,
      );
      fromNewOrder(symbolic, x, count, rhs);
    },
    panels(symbolic) {
      return new Float64Array(memory.buffer, load(symbolic).panels, symbolic.statistics.factorStored);
    },
    bytes: () => memory.buffer.byteLength,
  };
}
