import { MOST_POINTS } from "./fieldFit.ts";
import type { FieldFitting } from "./fieldFitting.ts";
import type { Round, TieNeighbours } from "./neighbours.ts";

const MOST_ELEMENTS = MOST_POINTS / 6;
const MOST_STATES = 256;

/**
 * The elements and nodes that one vertex is fitted to. Beyond a tie, places x are seen as R x + d, so each entry carries
 * a motion: motion m is `motions[4 m …]` = cos, sin, dx, dy; motion 0 rests.
 */
export class Patch {
  /** Number of elements and, after `gatherNodes`, of points. */
  count = 0;
  points = 0;
  /** Largest distance of a point, mm; `x`, `y` are counted from the vertex in units of it. */
  radius = 0;
  readonly x: Float64Array;
  readonly y: Float64Array;
  /** Displacement beyond that of the vertex, mm. */
  readonly ux: Float64Array;
  readonly uy: Float64Array;
  /** Mesh node and motion of each point. */
  readonly node = new Uint32Array(MOST_POINTS);
  readonly nodeMotion = new Uint32Array(MOST_POINTS);
  /** Images of the vertex itself: node and motion. */
  images = 0;
  readonly imageNode = new Uint32Array(MOST_STATES);
  readonly imageMotion = new Uint32Array(MOST_STATES);
  readonly motions = new Float64Array(4 * MOST_STATES);

  #vertex = 0;
  #motionCount = 1;
  readonly #element = new Uint32Array(MOST_ELEMENTS);
  readonly #motion = new Uint32Array(MOST_ELEMENTS);
  readonly #elementSeen: Int32Array;
  /** Vertex for which a node was listed last, and as which point. */
  readonly #nodeSeen: Int32Array;
  readonly #point: Uint32Array;
  /** Corners whose elements are all in, as (node, motion). */
  readonly #stateNode = new Uint32Array(MOST_STATES);
  readonly #stateMotion = new Uint32Array(MOST_STATES);
  #states = 0;

  readonly #xy: Float64Array;
  readonly #elements: Uint32Array;
  readonly #u: Float64Array;
  readonly #round: Round;
  readonly #ties: TieNeighbours;

  constructor(
    xy: Float64Array,
    elements: Uint32Array,
    u: Float64Array,
    round: Round,
    ties: TieNeighbours,
    nodes: number,
    { x, y, ux, uy }: Pick<FieldFitting, "x" | "y" | "ux" | "uy">,
  ) {
    this.x = x;
    this.y = y;
    this.ux = ux;
    this.uy = uy;
    this.#xy = xy;
    this.#elements = elements;
    this.#u = u;
    this.#round = round;
    this.#ties = ties;
    this.#elementSeen = new Int32Array(elements.length / 6).fill(-1);
    this.#nodeSeen = new Int32Array(nodes).fill(-1);
    this.#point = new Uint32Array(nodes);
    this.motions[0] = 1;
  }

  /** The elements round vertex v, on every side of ties. */
  start(v: number): void {
    this.#vertex = v;
    this.count = 0;
    this.#states = 0;
    this.#motionCount = 1;
    this.#takeCorner(v, 0);
    this.images = this.#states;
    for (let k = 0; k < this.#states; k++) {
      this.imageNode[k] = this.#stateNode[k];
      this.imageMotion[k] = this.#stateMotion[k];
    }
  }

  /** Adds the elements round all corners. */
  grow(): void {
    const before = this.count;
    for (let k = 0; k < before; k++) {
      const at = 6 * this.#element[k];
      for (let a = 0; a < 3; a++) this.#takeCorner(this.#elements[at + a], this.#motion[k]);
    }
  }

  /** Takes in the elements round a corner seen through a motion, and round what is tied to it. */
  #takeCorner(node: number, motion: number): void {
    const ties = this.#ties;
    if (!ties.any || ties.ptr[node + 1] === ties.ptr[node]) {
      this.#takeElements(node, motion);
      if (node === this.#vertex && this.#states === 0) {
        this.#stateNode[0] = node;
        this.#stateMotion[0] = motion;
        this.#states = 1;
      }
      return;
    }
    let head = this.#states;
    if (!this.#addState(node, motion)) return;
    for (; head < this.#states; head++) {
      const i = this.#stateNode[head];
      const m = 4 * this.#stateMotion[head];
      this.#takeElements(i, this.#stateMotion[head]);
      for (let k = ties.ptr[i]; k < ties.ptr[i + 1]; k++) {
        if (this.#motionCount >= MOST_STATES) return;
        // the partner's place x reaches i's by the tie, and the vertex's frame by i's own motion
        const g = this.motions;
        const t = ties.motion;
        const n = 4 * this.#motionCount;
        const c = g[m];
        const s = g[m + 1];
        g[n] = c * t[4 * k] - s * t[4 * k + 1];
        g[n + 1] = s * t[4 * k] + c * t[4 * k + 1];
        g[n + 2] = c * t[4 * k + 2] - s * t[4 * k + 3] + g[m + 2];
        g[n + 3] = s * t[4 * k + 2] + c * t[4 * k + 3] + g[m + 3];
        const same = this.#knownMotion(n);
        if (same < 0) this.#addState(ties.partner[k], this.#motionCount++);
        else this.#addState(ties.partner[k], same);
      }
    }
  }

  /** Index of a motion equal to the one written at place n, or -1. */
  #knownMotion(n: number): number {
    const g = this.motions;
    const reach = Math.abs(g[n + 2]) + Math.abs(g[n + 3]) + this.#span();
    for (let k = 0; k < this.#motionCount; k++) {
      if (
        Math.abs(g[4 * k] - g[n]) + Math.abs(g[4 * k + 1] - g[n + 1]) < 1e-9 &&
        Math.abs(g[4 * k + 2] - g[n + 2]) + Math.abs(g[4 * k + 3] - g[n + 3]) < 1e-9 * reach
      ) {
        return k;
      }
    }
    return -1;
  }

  #span(): number {
    return Math.abs(this.#xy[2 * this.#vertex]) + Math.abs(this.#xy[2 * this.#vertex + 1]);
  }

  #addState(node: number, motion: number): boolean {
    for (let k = 0; k < this.#states; k++) {
      if (this.#stateNode[k] === node && this.#stateMotion[k] === motion) return false;
    }
    if (this.#states >= MOST_STATES) return false;
    this.#stateNode[this.#states] = node;
    this.#stateMotion[this.#states++] = motion;
    return true;
  }

  #takeElements(node: number, motion: number): void {
    const { ptr, list } = this.#round;
    for (let k = ptr[node]; k < ptr[node + 1]; k++) {
      const e = list[k];
      if (motion === 0) {
        if (this.#elementSeen[e] === this.#vertex) continue;
      } else if (this.#hasElement(e, motion)) continue;
      if (this.count >= MOST_ELEMENTS) return;
      if (motion === 0) this.#elementSeen[e] = this.#vertex;
      this.#element[this.count] = e;
      this.#motion[this.count++] = motion;
    }
  }

  #hasElement(e: number, motion: number): boolean {
    for (let k = 0; k < this.count; k++) {
      if (this.#element[k] === e && this.#motion[k] === motion) return true;
    }
    return false;
  }

  /** The point at which the patch, unmoved, has a node of an element round its vertex. */
  pointOf(node: number): number {
    return this.#point[node];
  }

  /** Lists the nodes of all elements, each place once. */
  gatherNodes(): void {
    const v = this.#vertex;
    const xy = this.#xy;
    const u = this.#u;
    const x0 = xy[2 * v];
    const y0 = xy[2 * v + 1];
    const u0 = u[2 * v];
    const v0 = u[2 * v + 1];
    let points = 0;
    let far = 0;
    for (let k = 0; k < this.count; k++) {
      const at = 6 * this.#element[k];
      const motion = this.#motion[k];
      if (motion === 0) {
        for (let a = 0; a < 6; a++) {
          const i = this.#elements[at + a];
          if (this.#nodeSeen[i] === v) continue;
          this.#nodeSeen[i] = v;
          this.#point[i] = points;
          const x = xy[2 * i] - x0;
          const y = xy[2 * i + 1] - y0;
          this.x[points] = x;
          this.y[points] = y;
          this.node[points] = i;
          this.nodeMotion[points] = 0;
          this.ux[points] = u[2 * i] - u0;
          this.uy[points++] = u[2 * i + 1] - v0;
          const r = x * x + y * y;
          if (r > far) far = r;
        }
      }
    }
    for (let k = 0; k < this.count; k++) {
      const motion = 4 * this.#motion[k];
      if (motion === 0) continue;
      const at = 6 * this.#element[k];
      const c = this.motions[motion];
      const s = this.motions[motion + 1];
      const dx = this.motions[motion + 2] - x0;
      const dy = this.motions[motion + 3] - y0;
      for (let a = 0; a < 6; a++) {
        const i = this.#elements[at + a];
        const x = c * xy[2 * i] - s * xy[2 * i + 1] + dx;
        const y = s * xy[2 * i] + c * xy[2 * i + 1] + dy;
        const r = x * x + y * y;
        // a node on the cut is there already, as its own image; nodes are never that near each other
        let there = false;
        for (let n = 0; n < points && !there; n++) {
          there = Math.abs(this.x[n] - x) + Math.abs(this.y[n] - y) < 1e-7 * Math.sqrt(far);
        }
        if (there) continue;
        this.x[points] = x;
        this.y[points] = y;
        this.node[points] = i;
        this.nodeMotion[points] = this.#motion[k];
        this.ux[points] = c * u[2 * i] - s * u[2 * i + 1] - u0;
        this.uy[points++] = s * u[2 * i] + c * u[2 * i + 1] - v0;
        if (r > far) far = r;
      }
    }
    this.radius = Math.sqrt(far);
    const scale = 1 / this.radius;
    for (let n = 0; n < points; n++) {
      this.x[n] *= scale;
      this.y[n] *= scale;
    }
    this.points = points;
  }
}
