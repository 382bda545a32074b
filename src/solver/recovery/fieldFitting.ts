import { type SimdExports, simdInstance } from "../sparse/index.ts";
import { FieldFit, MOST_KNOWN, MOST_PLACES, MOST_POINTS } from "./fieldFit.ts";

/**
 * `FieldFit` as recovery uses it, wherever it runs: the caller fills the arrays, calls, and reads `found`. One for all, so not
 * to be kept over a call of recovery.
 */
export interface FieldFitting {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly ux: Float64Array;
  readonly uy: Float64Array;
  readonly known: Float64Array;
  readonly places: Float64Array;
  readonly found: Float64Array;
  fit(most: number, points: number, rows: number, f: number): void;
  stresses(count: number): void;
  displacements(count: number): void;
  startWeights(): void;
  addWeights(x: number, y: number, g0: number, g1: number, g2: number): void;
  weightedLoad(points: number, f: number): void;
}

let inWasm: WasmFit | null | undefined;
let inScript: FieldFit | undefined;

/** The fit for a material with Kolosov's constant κ: in WebAssembly, or, where that is absent or with `kind` "plain", in JavaScript. */
export function fieldFitting(kappa: number, kind?: "plain"): FieldFitting {
  if (kind !== "plain" && inWasm === undefined) {
    const wasm = simdInstance();
    inWasm = wasm && new WasmFit(wasm);
  }
  if (kind === "plain" || !inWasm) {
    inScript ??= new FieldFit();
    inScript.start(kappa);
    return inScript;
  }
  inWasm.start(kappa);
  return inWasm;
}

/** Arrays of the module: their length, then, this many bytes on, their numbers. */
const HEADER = 16;

class WasmFit implements FieldFitting {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly ux: Float64Array;
  readonly uy: Float64Array;
  readonly known: Float64Array;
  readonly places: Float64Array;
  readonly found: Float64Array;
  readonly #wasm: SimdExports;
  readonly #at: number;

  constructor(wasm: SimdExports) {
    this.#wasm = wasm;
    this.#at = wasm.newFieldFit();
    // pointers in the order in which the class declares its fields; nothing is allocated after it, so the memory stays where it is
    const field = new Int32Array(wasm.memory.buffer, this.#at, 7);
    const array = (k: number, length: number) =>
      new Float64Array(wasm.memory.buffer, field[k] + HEADER, length);
    this.x = array(0, MOST_POINTS);
    this.y = array(1, MOST_POINTS);
    this.ux = array(2, MOST_POINTS);
    this.uy = array(3, MOST_POINTS);
    this.known = array(4, 7 * MOST_KNOWN);
    this.places = array(5, 2 * MOST_PLACES);
    this.found = array(6, 3 * MOST_PLACES);
  }

  start(kappa: number): void {
    this.#wasm.startFieldFit(this.#at, kappa);
  }
  fit(most: number, points: number, rows: number, f: number): void {
    this.#wasm.fitField(this.#at, most, points, rows, f);
  }
  stresses(count: number): void {
    this.#wasm.fittedStresses(this.#at, count);
  }
  displacements(count: number): void {
    this.#wasm.fittedDisplacements(this.#at, count);
  }
  startWeights(): void {
    this.#wasm.startWeights(this.#at);
  }
  addWeights(x: number, y: number, g0: number, g1: number, g2: number): void {
    this.#wasm.addWeights(this.#at, x, y, g0, g1, g2);
  }
  weightedLoad(points: number, f: number): void {
    this.#wasm.weightedLoad(this.#at, points, f);
  }
}
