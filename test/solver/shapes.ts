import { arc, line, type Outline } from "../../src/geometry/index.ts";
import { along, type Block } from "./structured.ts";

/** An outline and the blocks that fill it. */
export interface Part {
  readonly outline: Outline;
  readonly blocks: readonly Block[];
}

/** Sector ri ≤ r ≤ ro, from ≤ θ ≤ to; edges "inner", "outer", "start", "end"; the ends tied when `tied`. */
export function ringSector(
  ri: number,
  ro: number,
  from: number,
  to: number,
  columns: number,
  rows: number,
  { tied = false, space }: { readonly tied?: boolean; readonly space?: (u: number) => number } = {},
): Part {
  const at = (r: number, a: number): [number, number] => [r * Math.cos(a), r * Math.sin(a)];
  const inner = arc(0, 0, ri, to, from);
  const outer = arc(0, 0, ro, from, to);
  const start = line(...at(ri, from), ...at(ro, from));
  const end = line(...at(ro, to), ...at(ri, to));
  const edges = [
    { name: "start", zone: "cut", curve: start },
    { name: "outer", zone: "rim", curve: outer },
    { name: "end", zone: "cut", curve: end },
    { name: "inner", zone: "bore", curve: inner },
  ];
  const outline: Outline = tied
    ? {
        loops: [edges],
        ties: [{ leader: ["start"], follower: ["end"], motion: { angle: to - from, dx: 0, dy: 0 } }],
      }
    : { loops: [edges] };
  return {
    outline,
    blocks: [
      {
        bottom: (u) => along(inner)(1 - u),
        top: along(outer),
        left: along(start),
        right: (u) => along(end)(1 - u),
        columns,
        rows,
        ...(space ? { spaceRows: space } : {}),
      },
    ],
  };
}

/** Whole ring, edges "outer" and "inner". */
export function ring(
  ri: number,
  ro: number,
  columns: number,
  rows: number,
  space?: (u: number) => number,
): Part {
  const outline: Outline = {
    loops: [
      [{ name: "outer", zone: "rim", curve: arc(0, 0, ro, 0, 2 * Math.PI) }],
      [{ name: "inner", zone: "bore", curve: arc(0, 0, ri, 2 * Math.PI, 0) }],
    ],
  };
  const blocks = [0, 1, 2, 3].map(
    (k) =>
      ringSector(
        ri,
        ro,
        (k * Math.PI) / 2,
        ((k + 1) * Math.PI) / 2,
        columns / 4,
        rows,
        space ? { space } : {},
      ).blocks[0],
  );
  return { outline, blocks };
}

/** Rectangle with edges "bottom", "right", "top", "left". */
export function rectangle(
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  columns: number,
  rows: number,
): Part {
  const bottom = line(x0, y0, x1, y0);
  const right = line(x1, y0, x1, y1);
  const top = line(x1, y1, x0, y1);
  const left = line(x0, y1, x0, y0);
  return {
    outline: {
      loops: [
        [
          { name: "bottom", zone: "rim", curve: bottom },
          { name: "right", zone: "rim", curve: right },
          { name: "top", zone: "rim", curve: top },
          { name: "left", zone: "rim", curve: left },
        ],
      ],
    },
    blocks: [
      {
        bottom: along(bottom),
        right: along(right),
        top: (u) => along(top)(1 - u),
        left: (u) => along(left)(1 - u),
        columns,
        rows,
      },
    ],
  };
}

/**
 * Quarter of a square plate of half-width w with a hole of radius a: edges "y0" (y = 0), "x1", "y1" (outer), "x0" (x = 0),
 * "hole". `sides` element sides along the quarter of the hole, `rows` from hole to outer edge.
 */
export function quarterPlate(
  a: number,
  w: number,
  sides: number,
  rows: number,
  space: (u: number) => number,
): Part {
  const q = Math.SQRT1_2 * a;
  const y0 = line(a, 0, w, 0);
  const x1 = line(w, 0, w, w);
  const y1 = line(w, w, 0, w);
  const x0 = line(0, w, 0, a);
  const hole = arc(0, 0, a, Math.PI / 2, 0);
  const diagonal = line(q, q, w, w);
  return {
    outline: {
      loops: [
        [
          { name: "y0", zone: "symmetry", curve: y0 },
          { name: "x1", zone: "outer", curve: x1 },
          { name: "y1", zone: "outer", curve: y1 },
          { name: "x0", zone: "symmetry", curve: x0 },
          { name: "hole", zone: "root", curve: hole },
        ],
      ],
    },
    blocks: [
      {
        bottom: along(arc(0, 0, a, 0, Math.PI / 4)),
        top: along(x1),
        left: along(y0),
        right: along(diagonal),
        columns: sides / 2,
        rows,
        spaceRows: space,
      },
      {
        bottom: along(arc(0, 0, a, Math.PI / 4, Math.PI / 2)),
        top: along(y1),
        left: along(diagonal),
        right: (u) => along(x0)(1 - u),
        columns: sides / 2,
        rows,
        spaceRows: space,
      },
    ],
  };
}
