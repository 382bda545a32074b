import { type Ints, type int, ints } from "./flat.ts";

/** What `patternFromElements` gives, as arrays. */
export class PatternArrays {
  colPtr!: Ints;
  rowIdx!: Ints;
  elementPlace!: Ints;
  /** The nodes of each element, without repetitions and without what has no equation. */
  cliquePtr!: Ints;
  cliqueNodes!: Ints;
  /** One number: -1, or the first entry of `elements` that names no node. */
  fault!: Ints;
}

/** No equation, in `elements`: `NO_NODE` read as a signed number. */
const NONE: int = -1;

/** How the block of a local pair is added; the two low bits of an entry of `elementPlace`. */
export const PLACE_DIRECT: int = 0;
export const PLACE_TRANSPOSED: int = 1;
export const PLACE_BOTH: int = 2;

/** See `patternFromElements`; `m` nodes an element. Linear in the number of element blocks. */
export function patternArrays(nodeCount: int, elements: Ints, m: int): PatternArrays {
  const out = new PatternArrays();
  out.fault = ints(1).fill(-1);
  const entries = elements.length;
  const elementCount = (entries / m) as int;
  // the elements of each node, by the node's local number among them: entries of `elements`
  const slotPtr = ints(nodeCount + 1);
  for (let s = 0; s < entries; s++) {
    const i = elements[s];
    if (i === NONE) continue;
    if (i < 0 || i >= nodeCount) {
      out.fault[0] = s;
      return out;
    }
    slotPtr[i + 1] += 1;
  }
  for (let i = 0; i < nodeCount; i++) slotPtr[i + 1] += slotPtr[i];
  const slotElement = ints(slotPtr[nodeCount]);
  const slotLocal = ints(slotPtr[nodeCount]);
  const next = slotPtr.slice(0, nodeCount);
  const seen = ints(nodeCount).fill(-1);
  const cliquePtr = ints(elementCount + 1);
  const cliqueNodes = ints(entries);
  let members = 0;
  for (let e = 0; e < elementCount; e++) {
    for (let b = 0; b < m; b++) {
      const i = elements[e * m + b];
      if (i === NONE) continue;
      const at = next[i];
      slotElement[at] = e;
      slotLocal[at] = b;
      next[i] = at + 1;
      if (seen[i] === e) continue;
      seen[i] = e;
      cliqueNodes[members++] = i;
    }
    cliquePtr[e + 1] = members;
  }

  const pairs = (m * (m + 1)) >> 1;
  const elementPlace = ints(elementCount * pairs).fill(-1);
  const colPtr = ints(nodeCount + 1);
  const rowIdx = ints(nodeCount + elementCount * (pairs - m)); // no more than every pair of every element
  const place = ints(nodeCount); // block index of row i in the column at hand
  seen.fill(-1);
  let count = 0;
  for (let j = 0; j < nodeCount; j++) {
    const first = slotPtr[j];
    const last = slotPtr[j + 1];
    const start = count;
    rowIdx[count++] = j;
    seen[j] = j;
    place[j] = start;
    for (let q = first; q < last; q++) {
      const base = slotElement[q] * m;
      for (let a = base; a < base + m; a++) {
        const i = elements[a];
        if (i <= j || seen[i] === j) continue;
        seen[i] = j;
        // insertion keeps the rows ascending; columns are short
        let p = count++;
        while (rowIdx[p - 1] > i) {
          rowIdx[p] = rowIdx[p - 1];
          p--;
        }
        rowIdx[p] = i;
      }
    }
    for (let p = start + 1; p < count; p++) place[rowIdx[p]] = p;
    for (let q = first; q < last; q++) {
      const base = slotElement[q] * m;
      const b = slotLocal[q];
      const table = slotElement[q] * pairs;
      for (let a = 0; a < m; a++) {
        const i = elements[base + a];
        if (i < j) continue;
        const code = place[i] << 2;
        if (i === j) {
          if (a >= b)
            elementPlace[table + ((a * (a + 1)) >> 1) + b] = code | (a === b ? PLACE_DIRECT : PLACE_BOTH);
        } else if (a > b) elementPlace[table + ((a * (a + 1)) >> 1) + b] = code | PLACE_DIRECT;
        else elementPlace[table + ((b * (b + 1)) >> 1) + a] = code | PLACE_TRANSPOSED;
      }
    }
    colPtr[j + 1] = count;
  }
  out.colPtr = colPtr;
  out.rowIdx = rowIdx.slice(0, count);
  out.elementPlace = elementPlace;
  out.cliquePtr = cliquePtr;
  out.cliqueNodes = cliqueNodes.slice(0, members);
  return out;
}
