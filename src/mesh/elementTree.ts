import type { Mesh } from "./mesh.ts";

const FAN = 4;

/**
 * Boxes round the elements, gathered four by four in element order into a tree. Neighbours in number are
 * neighbours in place (see `buildMesh`), so the boxes stay tight; any other order is only slower. Cells 0 … elements − 1
 * are the elements; cell c ≥ elements has the cells `first[c − elements] … first[c − elements + 1] − 1` below it;
 * the last cell is the root. Boxes are `[xmin, ymin, xmax, ymax]`, mm.
 */
export interface ElementTree {
  readonly boxes: Float64Array;
  readonly first: Int32Array;
  readonly elements: number;
  readonly cells: number;
}

export function elementTree(mesh: Mesh): ElementTree {
  const { xy, elements } = mesh;
  const count = elements.length / 6;
  let cells = count;
  for (let level = count; level > 1; ) {
    level = Math.ceil(level / FAN);
    cells += level;
  }
  if (count === 1) cells = 2;
  const boxes = new Float64Array(4 * cells);
  for (let e = 0; e < count; e++) {
    let x0 = Infinity;
    let y0 = Infinity;
    let x1 = -Infinity;
    let y1 = -Infinity;
    for (let k = 0; k < 3; k++) {
      const a = 2 * elements[6 * e + k]!;
      const b = 2 * elements[6 * e + ((k + 1) % 3)]!;
      const m = 2 * elements[6 * e + 3 + k]!;
      // Bézier control point of the side: the curve stays in the hull of the three
      const mx = 2 * xy[m]! - (xy[a]! + xy[b]!) / 2;
      const my = 2 * xy[m + 1]! - (xy[a + 1]! + xy[b + 1]!) / 2;
      x0 = Math.min(x0, xy[a]!, mx);
      x1 = Math.max(x1, xy[a]!, mx);
      y0 = Math.min(y0, xy[a + 1]!, my);
      y1 = Math.max(y1, xy[a + 1]!, my);
    }
    boxes[4 * e] = x0;
    boxes[4 * e + 1] = y0;
    boxes[4 * e + 2] = x1;
    boxes[4 * e + 3] = y1;
  }
  const first = new Int32Array(cells - count + 1);
  let from = 0;
  let to = count;
  let made = count;
  do {
    const level = made;
    for (let c = from; c < to; c += FAN) {
      first[made - count] = c;
      const end = Math.min(c + FAN, to);
      let x0 = Infinity;
      let y0 = Infinity;
      let x1 = -Infinity;
      let y1 = -Infinity;
      for (let k = c; k < end; k++) {
        x0 = Math.min(x0, boxes[4 * k]!);
        y0 = Math.min(y0, boxes[4 * k + 1]!);
        x1 = Math.max(x1, boxes[4 * k + 2]!);
        y1 = Math.max(y1, boxes[4 * k + 3]!);
      }
      boxes[4 * made] = x0;
      boxes[4 * made + 1] = y0;
      boxes[4 * made + 2] = x1;
      boxes[4 * made + 3] = y1;
      made++;
      first[made - count] = end;
    }
    from = level;
    to = made;
  } while (to - from > 1);
  return { boxes, first, elements: count, cells };
}

/** Element whose box is nearest by `distance2(element)` (squared, to be found exactly by the caller), or -1. */
export function nearestElement(
  tree: ElementTree,
  x: number,
  y: number,
  stack: Int32Array,
  distance2: (element: number) => number,
): number {
  const { boxes, first, elements, cells } = tree;
  let best = -1;
  let least = Infinity;
  let depth = 0;
  stack[depth++] = cells - 1;
  while (depth > 0) {
    const c = stack[--depth]!;
    const dx = Math.max(boxes[4 * c]! - x, 0, x - boxes[4 * c + 2]!);
    const dy = Math.max(boxes[4 * c + 1]! - y, 0, y - boxes[4 * c + 3]!);
    if (dx * dx + dy * dy >= least) continue;
    if (c < elements) {
      const d = distance2(c);
      if (d < least) {
        least = d;
        best = c;
      }
    } else {
      for (let k = first[c - elements]!; k < first[c - elements + 1]!; k++) stack[depth++] = k;
    }
  }
  return best;
}
