import { curvePoint, curveTangent, outlineEdges } from "../../geometry/index.ts";
import { freeDirection, type KnownTraction, knownTractions } from "../knownTractions.ts";
import type { Problem } from "../problem.ts";
import { MOST_KNOWN } from "./fieldFit.ts";
import type { Patch } from "./patch.ts";

export interface BoundarySides {
  /** 1 at nodes with at least one side that is not tied. */
  readonly free: Uint8Array;
  /** Writes what is known at the sides of vertex v and of its images as rows of `FieldFit`. @returns their number. */
  rows(v: number, patch: Patch, out: Float64Array): number;
}

/** Tractions closer than this share of their size pass as one. */
const SAME_TRACTION = 0.02;

export function boundarySides(problem: Problem, nodes: number): BoundarySides {
  const { outline, mesh } = problem;
  const { elements, sideElement, sideLocal, sideEdge, sideU } = mesh;
  const edges = outlineEdges(outline);
  const known = knownTractions(problem);
  const tied = new Set((outline.ties ?? []).flatMap((tie) => [...tie.leader, ...tie.follower]));
  const tiedEdge = Uint8Array.from(edges, ({ name }) => (tied.has(name) ? 1 : 0));

  const count = sideElement.length;
  const free = new Uint8Array(nodes);
  const ptr = new Uint32Array(nodes + 1);
  const startOf = (b: number): number => elements[6 * sideElement[b] + sideLocal[b]];
  const endOf = (b: number): number =>
    elements[6 * sideElement[b] + (sideLocal[b] === 2 ? 0 : sideLocal[b] + 1)];
  for (let b = 0; b < count; b++) {
    if (tiedEdge[sideEdge[b]]) continue;
    free[startOf(b)] = 1;
    free[endOf(b)] = 1;
    ptr[startOf(b) + 1]++;
    ptr[endOf(b) + 1]++;
  }
  for (let i = 0; i < nodes; i++) ptr[i + 1] += ptr[i];
  const next = ptr.slice(0, nodes);
  const list = new Uint32Array(ptr[nodes]);
  for (let b = 0; b < count; b++) {
    if (tiedEdge[sideEdge[b]]) continue;
    list[next[startOf(b)]++] = b;
    list[next[endOf(b)]++] = b;
  }

  const point = new Float64Array(2);
  const tangent = new Float64Array(2);
  const t = new Float64Array(2);
  /** At the vertex, by side seen: tangent of travel, traction, whether all of it is known, whether it starts there. */
  const atVertex = new Float64Array(5 * 16);

  const rows = (v: number, patch: Patch, out: Float64Array): number => {
    let count = 0;
    const put = (x: number, y: number, nx: number, ny: number, ex: number, ey: number, value: number) => {
      if (count >= MOST_KNOWN) return;
      const at = 7 * count++;
      out[at] = x;
      out[at + 1] = y;
      out[at + 2] = nx;
      out[at + 3] = ny;
      out[at + 4] = ex;
      out[at + 5] = ey;
      out[at + 6] = value;
    };
    const x0 = mesh.xy[2 * v];
    const y0 = mesh.xy[2 * v + 1];
    let seen = 0;
    for (let m = 0; m < patch.images; m++) {
      const i = patch.imageNode[m];
      const g = 4 * patch.imageMotion[m];
      const c = patch.motions[g];
      const s = patch.motions[g + 1];
      const dx = patch.motions[g + 2];
      const dy = patch.motions[g + 3];
      for (let k = ptr[i]; k < ptr[i + 1]; k++) {
        const b = list[k];
        const what: KnownTraction | null = known[sideEdge[b]];
        const { curve } = edges[sideEdge[b]];
        const starts = startOf(b) === i;
        for (let step = 0; step < 3; step++) {
          const w = starts ? step / 2 : 1 - step / 2;
          const along = (1 - w) * sideU[2 * b] + w * sideU[2 * b + 1];
          curvePoint(curve, along, point);
          curveTangent(curve, along, tangent);
          const nx = tangent[1];
          const ny = -tangent[0];
          if (what) what.traction(point[0], point[1], nx, ny, t);
          const mx = c * nx - s * ny;
          const my = s * nx + c * ny;
          if (step === 0 && seen < 16) {
            atVertex[5 * seen] = -my; // the tangent, beyond the tie
            atVertex[5 * seen + 1] = mx;
            atVertex[5 * seen + 2] = c * t[0] - s * t[1];
            atVertex[5 * seen + 3] = s * t[0] + c * t[1];
            atVertex[5 * seen + 4] = (what && what.supports.length === 0 ? 1 : 0) + (starts ? 2 : 0);
            seen++;
          }
          if (!what) continue;
          const px = (c * point[0] - s * point[1] + dx - x0) / patch.radius;
          const py = (s * point[0] + c * point[1] + dy - y0) / patch.radius;
          if (what.supports.length === 0) {
            put(px, py, mx, my, mx, my, t[0] * nx + t[1] * ny);
            put(px, py, mx, my, -my, mx, t[1] * nx - t[0] * ny);
          } else {
            const a = freeDirection(what.supports[0], point[0], point[1]);
            const ex = Math.cos(a);
            const ey = Math.sin(a);
            put(px, py, mx, my, c * ex - s * ey, s * ex + c * ey, t[0] * ex + t[1] * ey);
          }
        }
      }
    }
    return seen === 2 && !agree() ? 0 : count;
  };

  /** Whether one smooth stress can carry the tractions of both sides that meet at the vertex. */
  const agree = (): boolean => {
    const first = atVertex[4] >= 2 ? 5 : 0; // the side that arrives
    const second = 5 - first;
    const [ax, ay, atx, aty, aKnown] = atVertex.subarray(first, first + 5);
    const [bx, by, btx, bty, bKnown] = atVertex.subarray(second, second + 5);
    const turn = Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
    if (turn < -0.05) return false; // re-entrant: the stress has no limit there
    if ((aKnown & 1) === 0 || (bKnown & 1) === 0) return true;
    const size = Math.hypot(atx, aty) + Math.hypot(btx, bty);
    if (turn < 0.05) return Math.hypot(atx - btx, aty - bty) <= SAME_TRACTION * size;
    // n_a · σ n_b = n_b · σ n_a, with n = (ty, −tx) of the tangents
    return Math.abs(ay * btx - ax * bty - (by * atx - bx * aty)) <= SAME_TRACTION * size;
  };
  return { free, rows };
}
