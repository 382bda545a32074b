import {
  curveLength,
  curvePoint,
  curveTangent,
  type Edge,
  type Outline,
  outlineEdges,
} from "../geometry/index.ts";
import { arrowHead, INK, lineAt, num } from "./svg.ts";
import { sheetX, sheetY, type View } from "./view.ts";

interface Arrow {
  readonly x: number;
  readonly y: number;
  /** Direction of the force on the part, unit, model axes. */
  readonly dx: number;
  readonly dy: number;
}

/** Points spread over the named edges, about `spacing` mm apart, with the outward normal (material on the left). */
function spread(edges: readonly Edge[], spacing: number): Arrow[] {
  return edges.flatMap(({ curve }) => {
    const count = Math.max(1, Math.round(curveLength(curve) / spacing));
    return Array.from({ length: count }, (_, k) => {
      const [x, y] = curvePoint(curve, (k + 0.5) / count, [0, 0]);
      const [tx, ty] = curveTangent(curve, (k + 0.5) / count, [0, 0]);
      return { x, y, dx: ty, dy: -tx };
    });
  });
}

export interface LoadArrows {
  readonly svg: string;
  /** Places the arrows take, for lettering to avoid: sheet units. */
  readonly spots: readonly { readonly x: number; readonly y: number }[];
}

/**
 * Thin arrows: the pressure pushing on the loaded flanks, the reaction running along the rim the other way
 * round (about the part's centre, or against the push of an unrolled tooth).
 */
export function loadArrows(
  outline: Outline,
  view: View,
  loaded: readonly string[],
  reaction: readonly string[],
  unrolled: boolean,
  held: boolean,
): LoadArrows {
  const edges = outlineEdges(outline);
  const pick = (names: readonly string[]) => edges.filter((edge) => names.includes(edge.name));
  const push = spread(pick(loaded), 11 / view.scale).map((p) => ({ ...p, dx: -p.dx, dy: -p.dy }));
  // on a whole ring the teeth are small, and so are their arrows
  const shaft = Math.min(20, 3.2 * view.scale);
  let svg = "";
  const spots: { x: number; y: number }[] = [];
  for (const p of push) {
    const x = sheetX(view, p.x, p.y);
    const y = sheetY(view, p.x, p.y);
    const dx = sheetX(view, p.x + p.dx, p.y + p.dy) - x;
    const dy = sheetY(view, p.x + p.dx, p.y + p.dy) - y;
    const length = Math.hypot(dx, dy);
    const ux = dx / length;
    const uy = dy / length;
    svg += lineAt(x - shaft * ux, y - shaft * uy, x - 3 * ux, y - 3 * uy, 0.7);
    svg += `<path d="${arrowHead(x, y, ux, uy, Math.min(5, shaft / 2))}" fill="${INK}"/>`;
    spots.push({ x: x - (shaft / 2) * ux, y: y - (shaft / 2) * uy });
  }
  // which way the push turns (or moves) the part: the reaction goes against it
  const turn = push.reduce((sum, p) => sum + (unrolled ? p.dx : p.x * p.dy - p.y * p.dx), 0);
  for (const p of spread(pick(reaction), 34 / view.scale)) {
    const tx = -p.dy;
    const ty = p.dx;
    const along = unrolled ? tx : p.x * ty - p.y * tx;
    const way = along * turn > 0 ? -1 : 1;
    // drawn just outside the rim
    const x = sheetX(view, p.x, p.y);
    const y = sheetY(view, p.x, p.y);
    const nx = (sheetX(view, p.x + p.dx, p.y + p.dy) - x) / view.scale;
    const ny = (sheetY(view, p.x + p.dx, p.y + p.dy) - y) / view.scale;
    const ux = ((sheetX(view, p.x + tx, p.y + ty) - x) / view.scale) * way;
    const uy = ((sheetY(view, p.x + tx, p.y + ty) - y) / view.scale) * way;
    const ox = x + 5 * nx;
    const oy = y + 5 * ny;
    if (held) {
      // a held rim: short slanted ticks, as ground is drawn
      svg += lineAt(x, y, x + 7 * nx + 4 * ux, y + 7 * ny + 4 * uy, 0.7);
    } else {
      svg += lineAt(ox - 9 * ux, oy - 9 * uy, ox + 6 * ux, oy + 6 * uy, 0.7);
      svg += `<path d="${arrowHead(ox + 9 * ux, oy + 9 * uy, ux, uy, 5)}" fill="${INK}"/>`;
    }
    spots.push({ x: Number(num(ox)), y: Number(num(oy)) });
  }
  return { svg, spots };
}
