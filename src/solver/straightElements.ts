import { PLACE_BOTH, type SimdExports, simdInstance } from "./sparse/index.ts";
import { ELEMENT_BLOCKS, type Elasticity, elementBlocks, isStraight } from "./triangle6.ts";

/** An instance whose memory has grown beyond this is not kept for the next call. */
const KEPT_BYTES = 64 * 2 ** 20;
/** Arrays of the module: their length, then, this many bytes on, their numbers. */
const HEADER = 16;

let kept: SimdExports | null = null;

/**
 * Adds the stiffness of every element with straight sides and no `special` node into `values` (zeros) by `elementPlace`.
 * Returns the elements left. Done in WebAssembly, or, where that is absent or with `kind` "plain", in JavaScript: the same
 * bits. Throws when one of them is inside out.
 */
export function addStraightElements(
  xy: Float64Array,
  elements: Uint32Array,
  special: Uint8Array,
  moduli: Elasticity,
  thickness: number,
  elementPlace: Int32Array,
  values: Float64Array,
  kind?: "plain",
): Int32Array {
  return (
    (kind === "plain" ? null : inWasm(xy, elements, special, moduli, thickness, elementPlace, values)) ??
    inScript(xy, elements, special, moduli, thickness, elementPlace, values)
  );
}

function inScript(
  xy: Float64Array,
  elements: Uint32Array,
  special: Uint8Array,
  moduli: Elasticity,
  thickness: number,
  elementPlace: Int32Array,
  values: Float64Array,
): Int32Array {
  const count = elements.length / 6;
  const rest = new Int32Array(count);
  const k = new Float64Array(ELEMENT_BLOCKS);
  let others = 0;
  for (let e = 0; e < count; e++) {
    const at = 6 * e;
    const marks =
      special[elements[at]] |
      special[elements[at + 1]] |
      special[elements[at + 2]] |
      special[elements[at + 3]] |
      special[elements[at + 4]] |
      special[elements[at + 5]];
    if (marks !== 0 || !isStraight(xy, elements, e)) {
      rest[others++] = e;
      continue;
    }
    elementBlocks(xy, elements, e, moduli, thickness, k);
    addBlocks(values, elementPlace, e, k);
  }
  return rest.slice(0, others);
}

/** Adds the 21 blocks of element `e` where they belong. */
export function addBlocks(values: Float64Array, elementPlace: Int32Array, e: number, k: Float64Array): void {
  for (let q = 0, place = 21 * e; q < ELEMENT_BLOCKS; q += 4, place++) {
    const code = elementPlace[place];
    if (code < 0) continue;
    const p = code & ~3;
    if ((code & 3) !== PLACE_BOTH) {
      // a transposed block changes its two middle numbers; without branching, since either comes as often
      const t = code & 1;
      values[p] += k[q];
      values[p + 1 + t] += k[q + 1];
      values[p + 2 - t] += k[q + 2];
      values[p + 3] += k[q + 3];
    } else {
      values[p] += 2 * k[q];
      values[p + 1] += k[q + 1] + k[q + 2];
      values[p + 2] += k[q + 1] + k[q + 2];
      values[p + 3] += 2 * k[q + 3];
    }
  }
}

function inWasm(
  xy: Float64Array,
  elements: Uint32Array,
  special: Uint8Array,
  moduli: Elasticity,
  thickness: number,
  elementPlace: Int32Array,
  values: Float64Array,
): Int32Array | null {
  const wasm = kept ?? simdInstance();
  kept = null; // not to be used again if the work fails half-way
  if (wasm === null) return null;
  const room = (bytes: number) => wasm.newInts((bytes + 3) >> 2) + HEADER;
  let others: number;
  let at: number;
  try {
    const count = elements.length / 6;
    at = room(values.byteLength);
    const rest = room(4 * count);
    const nodes = room(xy.byteLength);
    const corners = room(elements.byteLength);
    const marks = room(special.byteLength);
    const places = room(elementPlace.byteLength);
    const { buffer } = wasm.memory;
    new Float64Array(buffer, nodes, xy.length).set(xy);
    new Uint32Array(buffer, corners, elements.length).set(elements);
    new Uint8Array(buffer, marks, special.length).set(special);
    new Int32Array(buffer, places, elementPlace.length).set(elementPlace);
    const { d11, d12, d33 } = moduli;
    const a11 = d11 * thickness;
    others = wasm.addStraightElements(
      nodes,
      corners,
      count,
      marks,
      places,
      at,
      rest,
      a11,
      d12 * thickness,
      d33 * thickness,
    );
    if (others >= 0) {
      values.set(new Float64Array(buffer, at, values.length));
      const list = new Int32Array(buffer, rest, others).slice();
      wasm.reset();
      if (buffer.byteLength <= KEPT_BYTES) kept = wasm;
      return list;
    }
  } catch (error) {
    // no more memory to be had there: the caller goes on with arrays of the runtime
    if (error instanceof Error && error.constructor.name === "RuntimeError") return null;
    throw error;
  }
  // says in words which element is inside out
  elementBlocks(xy, elements, -1 - others, moduli, thickness, new Float64Array(ELEMENT_BLOCKS));
  throw new Error(`assemble: element ${-1 - others} was found inside out, and then not`);
}
