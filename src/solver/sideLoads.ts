import { sidesOfEdges } from "./equations.ts";
import type { EdgeLoad, Problem, Traction } from "./problem.ts";
import { SIDE_POINTS, SIDE_WEIGHTS } from "./triangle6.ts";

/** Where sides are: what the functions here need of a problem. */
export type Place = Pick<Problem, "outline" | "mesh">;

/** Resultant of a traction over some edges: force, N, and moment about the origin, N·mm (counter-clockwise). */
export interface Resultant {
  readonly fx: number;
  readonly fy: number;
  readonly moment: number;
  /** Length of the sides, mm. */
  readonly length: number;
}

/** The traction of a load as a function; a pressure pushes against the outward normal. */
export function loadTraction(load: EdgeLoad): Traction {
  const { traction, pressure } = load;
  if ((traction === undefined) === (pressure === undefined)) {
    throw new Error(
      `load on ${load.edges.join(", ")}: give either a traction or a pressure, ` +
        (traction === undefined ? "neither is there" : "both are there"),
    );
  }
  if (pressure !== undefined) {
    return (_x, _y, nx, ny, out) => {
      out[0] = -pressure * nx;
      out[1] = -pressure * ny;
    };
  }
  if (typeof traction === "function") return traction;
  const [tx, ty] = traction!;
  return (_x, _y, _nx, _ny, out) => {
    out[0] = tx;
    out[1] = ty;
  };
}

/**
 * Consistent nodal loads, N, 2 × nodes: ∫ N_a t ds × thickness along the curved quadratic sides, five Gauss points a side,
 * so that the nodal loads have exactly the force and moment that `integrateSides` finds.
 */
export function sideLoads(
  { outline, mesh, thickness }: Place & { readonly thickness: number },
  loads: readonly EdgeLoad[],
): Float64Array {
  const f = new Float64Array(mesh.xy.length);
  for (const load of loads) {
    const traction = loadTraction(load);
    const sides = sidesOfEdges({ outline, mesh }, load.edges, "load");
    walkSides(mesh, sides, traction, (a, m, b, s, x, y, tx, ty, w) => {
      if (!Number.isFinite(tx + ty))
        throw new Error(
          `load on ${load.edges.join(", ")}: a traction of (${tx}, ${ty}) MPa at (${x}, ${y}); a function writes both numbers into its last argument`,
        );
      const na = 0.5 * s * (s - 1) * w * thickness;
      const nb = 0.5 * s * (s + 1) * w * thickness;
      const nm = (1 - s * s) * w * thickness;
      f[2 * a] += na * tx;
      f[2 * a + 1] += na * ty;
      f[2 * m] += nm * tx;
      f[2 * m + 1] += nm * ty;
      f[2 * b] += nb * tx;
      f[2 * b + 1] += nb * ty;
    });
  }
  return f;
}

/**
 * Force and moment about the origin of a traction over the named edges of the meshed boundary, times the thickness.
 * Uses the points that `sideLoads` uses: scaling one traction so that two resultants cancel here balances the model to
 * round-off.
 */
export function integrateSides(
  { outline, mesh, thickness }: Place & { readonly thickness: number },
  edges: readonly string[],
  traction: Traction,
): Resultant {
  let fx = 0;
  let fy = 0;
  let moment = 0;
  let length = 0;
  const sides = sidesOfEdges({ outline, mesh }, edges, "integrateSides");
  walkSides(mesh, sides, traction, (_a, _m, _b, _s, x, y, tx, ty, w) => {
    fx += w * tx;
    fy += w * ty;
    moment += w * (x * ty - y * tx);
    length += w;
  });
  return { fx: fx * thickness, fy: fy * thickness, moment: moment * thickness, length };
}

/** Force, N, and moment about the origin, N·mm, of nodal forces (2 × nodes): of loads or of reactions. */
export function nodalResultant(
  xy: Float64Array,
  f: Float64Array,
): { fx: number; fy: number; moment: number } {
  let fx = 0;
  let fy = 0;
  let moment = 0;
  for (let i = 0; i < f.length; i += 2) {
    fx += f[i];
    fy += f[i + 1];
    moment += xy[i] * f[i + 1] - xy[i + 1] * f[i];
  }
  return { fx, fy, moment };
}

/** Visits the Gauss points of sides: end, mid-side and end node, s in −1 … 1, place, traction, weight × length. */
function walkSides(
  mesh: Problem["mesh"],
  sides: readonly number[],
  traction: Traction,
  visit: (
    a: number,
    m: number,
    b: number,
    s: number,
    x: number,
    y: number,
    tx: number,
    ty: number,
    w: number,
  ) => void,
): void {
  const { xy, elements } = mesh;
  const t = new Float64Array(2);
  for (const side of sides) {
    const at = 6 * mesh.sideElement[side];
    const local = mesh.sideLocal[side];
    const a = elements[at + local];
    const m = elements[at + 3 + local];
    const b = elements[at + ((local + 1) % 3)];
    const ax = xy[2 * a];
    const ay = xy[2 * a + 1];
    // x(s) = mid + s half + s² bulge
    const hx = 0.5 * (xy[2 * b] - ax);
    const hy = 0.5 * (xy[2 * b + 1] - ay);
    const mx = xy[2 * m];
    const my = xy[2 * m + 1];
    const qx = ax + hx - mx;
    const qy = ay + hy - my;
    for (let g = 0; g < SIDE_POINTS.length; g++) {
      const s = SIDE_POINTS[g];
      const dx = hx + 2 * s * qx;
      const dy = hy + 2 * s * qy;
      const speed = Math.sqrt(dx * dx + dy * dy);
      const x = mx + s * (hx + s * qx);
      const y = my + s * (hy + s * qy);
      // what a function returns is not looked at: one that writes nothing is found out by these
      t[0] = Number.NaN;
      t[1] = Number.NaN;
      // the material lies on the left of the direction of travel
      traction(x, y, dy / speed, -dx / speed, t);
      visit(a, m, b, s, x, y, t[0], t[1], SIDE_WEIGHTS[g] * speed);
    }
  }
}
