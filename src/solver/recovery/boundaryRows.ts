import { curvePoint, curveTangent, type Edge, outlineEdges } from "../../geometry/index.ts";
import type { Mesh } from "../../mesh/index.ts";
import { freeDirection, type KnownTraction, knownTractions } from "../knownTractions.ts";
import type { Problem } from "../problem.ts";
import { MOST_KNOWN } from "./fieldFit.ts";
import type { Patch } from "./patch.ts";

/** Tractions closer than this share of their size pass as one. */
const SAME_TRACTION = 0.02;
/** Sides that are kept apart at one vertex. */
const MOST_SIDES = 16;

/** What loads and supports say of the traction at boundary sides, vertex by vertex. */
export class BoundarySides {
  /** 1 at nodes with at least one side that is not tied. */
  readonly free: Uint8Array;
  readonly #mesh: Mesh;
  readonly #edges: readonly Edge[];
  readonly #known: readonly (KnownTraction | null)[];
  /** Untied sides at node i: `#list[#ptr[i] … #ptr[i + 1] − 1]`. */
  readonly #ptr: Uint32Array;
  readonly #list: Uint32Array;
  /** At the vertex, by side seen: tangent of travel, traction, whether all of it is known (1) and whether the side starts there (2). */
  readonly #atVertex = new Float64Array(5 * MOST_SIDES);
  #seen = 0;
  /** Rows written. */
  #count = 0;
  readonly #point = new Float64Array(2);
  readonly #tangent = new Float64Array(2);
  readonly #traction = new Float64Array(2);

  constructor(problem: Problem, nodes: number) {
    const { outline, mesh } = problem;
    this.#mesh = mesh;
    this.#edges = outlineEdges(outline);
    this.#known = knownTractions(problem);
    const tied = new Set((outline.ties ?? []).flatMap((tie) => [...tie.leader, ...tie.follower]));
    const tiedEdge = Uint8Array.from(this.#edges, ({ name }) => (tied.has(name) ? 1 : 0));
    this.free = new Uint8Array(nodes);
    const ptr = new Uint32Array(nodes + 1);
    const count = mesh.sideElement.length;
    for (let b = 0; b < count; b++) {
      if (tiedEdge[mesh.sideEdge[b]]) continue;
      for (const i of [startOf(mesh, b), endOf(mesh, b)]) {
        this.free[i] = 1;
        ptr[i + 1]++;
      }
    }
    for (let i = 0; i < nodes; i++) ptr[i + 1] += ptr[i];
    const next = ptr.slice(0, nodes);
    const list = new Uint32Array(ptr[nodes]);
    for (let b = 0; b < count; b++) {
      if (tiedEdge[mesh.sideEdge[b]]) continue;
      list[next[startOf(mesh, b)]++] = b;
      list[next[endOf(mesh, b)]++] = b;
    }
    this.#ptr = ptr;
    this.#list = list;
  }

  /** Writes what is known at the sides of vertex v and of its images as rows of `FieldFit`. @returns their number. */
  rows(v: number, patch: Patch, out: Float64Array): number {
    this.#count = 0;
    this.#seen = 0;
    for (let m = 0; m < patch.images; m++) {
      const i = patch.imageNode[m];
      for (let k = this.#ptr[i]; k < this.#ptr[i + 1]; k++) {
        const b = this.#list[k];
        const starts = startOf(this.#mesh, b) === i;
        for (let step = 0; step < 3; step++)
          this.#addAt(v, patch, 4 * patch.imageMotion[m], b, starts, step, out);
      }
    }
    return this.#seen === 2 && !this.#agree() ? 0 : this.#count;
  }

  /** Adds what is known `step` half sides along side b from the vertex, seen through motion g. */
  #addAt(
    v: number,
    patch: Patch,
    g: number,
    b: number,
    starts: boolean,
    step: number,
    out: Float64Array,
  ): void {
    const { xy, sideEdge, sideU } = this.#mesh;
    const { motions } = patch;
    const p = this.#point;
    const t = this.#traction;
    const what = this.#known[sideEdge[b]];
    const w = starts ? step / 2 : 1 - step / 2;
    const along = (1 - w) * sideU[2 * b] + w * sideU[2 * b + 1];
    const { curve } = this.#edges[sideEdge[b]];
    curvePoint(curve, along, p);
    curveTangent(curve, along, this.#tangent);
    const nx = this.#tangent[1];
    const ny = -this.#tangent[0];
    if (what) what.traction(p[0], p[1], nx, ny, t);
    const c = motions[g];
    const s = motions[g + 1];
    const mx = c * nx - s * ny;
    const my = s * nx + c * ny;
    if (step === 0 && this.#seen < MOST_SIDES) {
      const at = 5 * this.#seen++;
      this.#atVertex[at] = -my; // the tangent, beyond the tie
      this.#atVertex[at + 1] = mx;
      this.#atVertex[at + 2] = c * t[0] - s * t[1];
      this.#atVertex[at + 3] = s * t[0] + c * t[1];
      this.#atVertex[at + 4] = (what && what.supports.length === 0 ? 1 : 0) + (starts ? 2 : 0);
    }
    if (!what) return;
    const px = (c * p[0] - s * p[1] + motions[g + 2] - xy[2 * v]) / patch.radius;
    const py = (s * p[0] + c * p[1] + motions[g + 3] - xy[2 * v + 1]) / patch.radius;
    if (what.supports.length === 0) {
      this.#put(out, px, py, mx, my, mx, my, t[0] * nx + t[1] * ny);
      this.#put(out, px, py, mx, my, -my, mx, t[1] * nx - t[0] * ny);
    } else {
      const a = freeDirection(what.supports[0], p[0], p[1]);
      const ex = Math.cos(a);
      const ey = Math.sin(a);
      this.#put(out, px, py, mx, my, c * ex - s * ey, s * ex + c * ey, t[0] * ex + t[1] * ey);
    }
  }

  /** One row: place, normal, direction, and the traction in that direction. */
  #put(
    out: Float64Array,
    x: number,
    y: number,
    nx: number,
    ny: number,
    ex: number,
    ey: number,
    value: number,
  ): void {
    if (this.#count >= MOST_KNOWN) return;
    const at = 7 * this.#count++;
    out[at] = x;
    out[at + 1] = y;
    out[at + 2] = nx;
    out[at + 3] = ny;
    out[at + 4] = ex;
    out[at + 5] = ey;
    out[at + 6] = value;
  }

  /** Whether one smooth stress can carry the tractions of both sides that meet at the vertex. */
  #agree(): boolean {
    const at = this.#atVertex;
    const a = at[4] >= 2 ? 5 : 0; // the side that arrives
    const b = 5 - a;
    const turn = Math.atan2(at[a] * at[b + 1] - at[a + 1] * at[b], at[a] * at[b] + at[a + 1] * at[b + 1]);
    if (turn < -0.05) return false; // re-entrant: the stress has no limit there
    if ((at[a + 4] & 1) === 0 || (at[b + 4] & 1) === 0) return true;
    const atx = at[a + 2];
    const aty = at[a + 3];
    const btx = at[b + 2];
    const bty = at[b + 3];
    const size = Math.hypot(atx, aty) + Math.hypot(btx, bty);
    if (turn < 0.05) return Math.hypot(atx - btx, aty - bty) <= SAME_TRACTION * size;
    // n_a · σ n_b = n_b · σ n_a, with n = (ty, −tx) of the tangents
    const cross = at[a + 1] * btx - at[a] * bty - (at[b + 1] * atx - at[b] * aty);
    return Math.abs(cross) <= SAME_TRACTION * size;
  }
}

function startOf({ elements, sideElement, sideLocal }: Mesh, b: number): number {
  return elements[6 * sideElement[b] + sideLocal[b]];
}

function endOf({ elements, sideElement, sideLocal }: Mesh, b: number): number {
  return elements[6 * sideElement[b] + (sideLocal[b] === 2 ? 0 : sideLocal[b] + 1)];
}
