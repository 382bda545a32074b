import { curvePoint, curveTangent, outlineEdges } from "../geometry/index.ts";
import { freeDirection, type KnownTraction, knownTractions } from "./knownTractions.ts";
import { missedForce } from "./missedForce.ts";
import type { NodalStress, Problem, Solution } from "./problem.ts";
import { elasticity } from "./triangle6.ts";

/** Degree of the stress polynomial at vertices inside the part, and on its boundary, where the patch lies to one side. */
const DEGREE_INSIDE = 3;
const DEGREE_BOUNDARY = 4;
/** A vertex with fewer elements round it takes in those round its neighbours too. */
const PATCH_INSIDE = 5;
const PATCH_BOUNDARY = 6;
/**
 * Rows are weighted 1 / r (r = distance over patch radius), but no more than at this distance. Measured on the exact solutions of
 * the tests: with r^−2 the error at the hole is smaller on four sides a quarter turn (5 % against 8 %), alike on eight
 * (0.5 % and 0.8 %) and larger beyond (0.16 % against 0.06 % on sixteen).
 */
const NEAREST = 0.1;
/** Weight of a known traction against a displacement of the same stress. */
const TRACTION_WEIGHT = 3;
/** Rows wanted for each unknown of the polynomial; with fewer the degree falls. */
const ROWS_PER_UNKNOWN = 1.2;
/** Unknowns of degree p: complex a_0 … a_p, b_0 … b_p and one shift. */
const unknownsOf = (p: number): number => 4 * p + 6;
const MOST_UNKNOWNS = unknownsOf(DEGREE_BOUNDARY);
const MOST_ELEMENTS = 96;
const MOST_STATES = 256;
/** A pivot that falls under this share of its diagonal says that the patch cannot tell two polynomials apart. */
const PIVOT = 1e-13;

/**
 * Stress at the nodes, MPa, `[sxx, syy, sxy]` a node, global frame, from the displacements of the elements round them.
 *
 * Every vertex gets a patch of elements and on it the elastic field that fits the patch's nodal displacements best
 * (weighted least squares). Only true solutions of plane elasticity without body force are tried: with z the place
 * from the vertex,
 *
 *     2G (u + iv) = κ φ(z) − z conj φ'(z) − conj ψ(z) + shift,   φ' = Σ a_k z^k,   ψ' = Σ b_k z^k
 *     (sxx + syy)/2 = 2 Re φ',   (syy − sxx)/2 + i sxy = conj(z) φ'' + ψ'
 *
 * (Kolosov and Muskhelishvili, as in Timoshenko & Goodier arts. 60-61; from memory). A full polynomial of degree 4
 * that balances and fits together thus costs 22 unknowns in place of 45 free coefficients of three separate stresses,
 * so a one-sided patch at a boundary still pins it down. Fitting displacements in place of stresses follows the
 * polynomial preserving recovery of Z. Zhang and A. Naga (SIAM J. Sci. Comput. 26, 1192, 2005; from memory),
 * patches that of O. C. Zienkiewicz and J. Z. Zhu (Int. J. Numer. Methods Eng. 33, 1331, 1992; from memory).
 *
 * On boundary sides at the vertex the traction known from loads and supports enters as further rows, at points of the true
 * outline; not on tied or held edges, not where it jumps, not at re-entrant corners. At tied nodes the patch goes on beyond
 * the cut: elements of the other side are moved into the vertex's frame. Mid-side nodes take the mean of the polynomials of
 * their two vertices.
 *
 * Exact for stress fields of degree 3 (4 next to a boundary) whose displacements the mesh holds exactly at its nodes.
 * Where `doubt` is handed in, it is filled with what the fits say of the error.
 */
export function recoverStress(
  problem: Problem,
  solution: Pick<Solution, "displacement">,
  doubt?: RecoveryDoubt,
): NodalStress {
  const { mesh, material } = problem;
  const { xy, elements } = mesh;
  const u = solution.displacement;
  const nodes = xy.length / 2;
  if (u.length !== xy.length) throw new Error(`recoverStress: ${u.length} displacements for ${nodes} nodes`);
  const { d11, d12, d33 } = elasticity(material);
  const nu1 = d12 / d11; // ν, or ν/(1 − ν) in plane strain
  const kappa = (3 - nu1) / (1 + nu1);

  const round = elementsRound(nodes, elements);
  const sides = boundarySides(problem, nodes);
  const ties = tieNeighbours(problem, nodes);
  const stress = new Float64Array(3 * nodes);
  const share = new Uint8Array(nodes);
  const patch = new Patch(xy, elements, u, round, ties, nodes);
  const fit = new Fit(kappa);
  const sample = new Float64Array(3);
  const addMissed = doubt ? missedForce(problem, fit, doubt.missed) : null;

  for (let v = 0; v < nodes; v++) {
    if (round.ptr[v + 1] === round.ptr[v]) continue; // a mid-side node
    fitVertex(v, sides.free[v] === 1, patch, sides, fit, 2 * d33);

    fit.stressAt(0, 0, sample);
    addTo(v);
    for (let k = round.ptr[v]; k < round.ptr[v + 1]; k++) {
      const e = round.list[k];
      const at = 6 * e;
      addMissed?.(e, v, patch.radius);
      const a = elements[at] === v ? 0 : elements[at + 1] === v ? 1 : 2;
      // the side that leaves v; one that arrives leaves it in the next element, unless it lies on the boundary
      addMidSide(elements[at + 3 + a], v);
      const before = a === 0 ? 2 : a - 1;
      if (mesh.neighbours[3 * e + before] < 0) addMidSide(elements[at + 3 + before], v);
    }
  }
  for (let i = 0; i < nodes; i++) {
    if (share[i] < 2) continue;
    stress[3 * i] /= share[i];
    stress[3 * i + 1] /= share[i];
    stress[3 * i + 2] /= share[i];
  }
  return stress;

  function addMidSide(m: number, v: number): void {
    const scale = 1 / patch.radius;
    fit.stressAt((xy[2 * m] - xy[2 * v]) * scale, (xy[2 * m + 1] - xy[2 * v + 1]) * scale, sample);
    if (doubt) for (let c = 0; c < 3; c++) doubt.gap[3 * m + c] = sample[c] - doubt.gap[3 * m + c];
    addTo(m);
  }

  function addTo(i: number): void {
    stress[3 * i] += sample[0];
    stress[3 * i + 1] += sample[1];
    stress[3 * i + 2] += sample[2];
    share[i]++;
  }
}

/** Fits the polynomial of vertex v, of the highest degree that its patch determines. */
function fitVertex(
  v: number,
  boundary: boolean,
  patch: Patch,
  sides: BoundarySides,
  fit: Fit,
  twoG: number,
): void {
  patch.start(v);
  if (patch.count < (boundary ? PATCH_BOUNDARY : PATCH_INSIDE)) patch.grow();
  patch.gatherNodes();
  const known = boundary ? sides.rows(v, patch) : null;
  let p = boundary ? DEGREE_BOUNDARY : DEGREE_INSIDE;
  const rows = 2 * patch.points + (known?.count ?? 0);
  while (p > 0 && rows < ROWS_PER_UNKNOWN * unknownsOf(p)) p--;
  while (!fit.solve(p, patch, known, twoG) && p > 0) p--;
}

/** What recovery can say of its own error. Both arrays must come zeroed. */
export interface RecoveryDoubt {
  /** 3 × nodes: by how much the polynomials of the two vertices of a side differ at its mid-side node, MPa; 0 at vertices. */
  readonly gap: Float64Array;
  /**
   * 12 × elements: ∫ Bᵀ (σ* − σ(I u*)) dA × thickness, N, two components a local node, of the recovered field u*: the
   * force that its interpolation I u* on the element's six nodes misses. Mean over the element's three vertices.
   */
  readonly missed: Float64Array;
}

/**
 * The nodal load r, 2 × nodes, for which r · v is by how much Σ weights · stress recovered changes when v is added to the
 * displacements: the derivative of what is read from the recovered stress. `weights` is 3 × nodes.
 */
export function recoveryLoad(problem: Problem, weights: Float64Array): Float64Array {
  const { mesh, material } = problem;
  const { xy, elements, neighbours } = mesh;
  const nodes = xy.length / 2;
  if (weights.length !== 3 * nodes)
    throw new Error(`recoveryLoad: ${weights.length} weights for ${nodes} nodes`);
  const { d11, d12, d33 } = elasticity(material);
  const nu1 = d12 / d11;
  const round = elementsRound(nodes, elements);
  const sides = boundarySides(problem, nodes);
  const rest = new Float64Array(2 * nodes);
  const patch = new Patch(xy, elements, rest, round, tieNeighbours(problem, nodes), nodes);
  const fit = new Fit((3 - nu1) / (1 + nu1));
  const load = new Float64Array(2 * nodes);
  const weighs = (i: number) => weights[3 * i] !== 0 || weights[3 * i + 1] !== 0 || weights[3 * i + 2] !== 0;
  const near: number[] = []; // the vertex and the mid-side nodes of its sides
  for (let v = 0; v < nodes; v++) {
    if (round.ptr[v + 1] === round.ptr[v]) continue;
    near.length = 0;
    near.push(v);
    for (let k = round.ptr[v]; k < round.ptr[v + 1]; k++) {
      const e = round.list[k];
      const a = elements[6 * e] === v ? 0 : elements[6 * e + 1] === v ? 1 : 2;
      near.push(elements[6 * e + 3 + a]);
      const before = a === 0 ? 2 : a - 1;
      if (neighbours[3 * e + before] < 0) near.push(elements[6 * e + 3 + before]);
    }
    if (!near.some(weighs)) continue;
    fitVertex(v, sides.free[v] === 1, patch, sides, fit, 2 * d33);
    fit.startWeights();
    const scale = 1 / patch.radius;
    for (const i of near) {
      const share = i === v ? 1 : 0.5;
      fit.addWeights(
        (xy[2 * i] - xy[2 * v]) * scale,
        (xy[2 * i + 1] - xy[2 * v + 1]) * scale,
        share * weights[3 * i],
        share * weights[3 * i + 1],
        share * weights[3 * i + 2],
      );
    }
    fit.addLoad(patch, 2 * d33, v, load);
  }
  return load;
}

/** Elements at whose corner node i sits: `list[ptr[i]] … list[ptr[i + 1] - 1]`; none for mid-side nodes. */
interface Round {
  readonly ptr: Uint32Array;
  readonly list: Uint32Array;
}

function elementsRound(nodes: number, elements: Uint32Array): Round {
  const ptr = new Uint32Array(nodes + 1);
  for (let k = 0; k < elements.length; k += 6) {
    for (let a = 0; a < 3; a++) ptr[elements[k + a] + 1]++;
  }
  for (let i = 0; i < nodes; i++) ptr[i + 1] += ptr[i];
  const next = ptr.slice(0, nodes);
  const list = new Uint32Array(ptr[nodes]);
  for (let k = 0; k < elements.length; k += 6) {
    for (let a = 0; a < 3; a++) list[next[elements[k + a]]++] = k / 6;
  }
  return { ptr, list };
}

/** Tied partners of nodes: entries `ptr[i] … ptr[i + 1] - 1` name the partner and the motion from its place to i's. */
interface TieNeighbours {
  readonly any: boolean;
  readonly ptr: Uint32Array;
  readonly partner: Uint32Array;
  /** cos, sin, dx, dy by entry. */
  readonly motion: Float64Array;
}

function tieNeighbours({ outline, mesh }: Problem, nodes: number): TieNeighbours {
  const { tieLeader, tieFollower, tieIndex } = mesh;
  const ptr = new Uint32Array(nodes + 1);
  for (let k = 0; k < tieLeader.length; k++) {
    ptr[tieLeader[k] + 1]++;
    ptr[tieFollower[k] + 1]++;
  }
  for (let i = 0; i < nodes; i++) ptr[i + 1] += ptr[i];
  const next = ptr.slice(0, nodes);
  const partner = new Uint32Array(2 * tieLeader.length);
  const motion = new Float64Array(8 * tieLeader.length);
  for (let k = 0; k < tieLeader.length; k++) {
    const { angle, dx, dy } = outline.ties![tieIndex[k]].motion;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const l = tieLeader[k];
    const f = tieFollower[k];
    let n = next[f]++;
    partner[n] = l;
    motion.set([c, s, dx, dy], 4 * n);
    n = next[l]++;
    partner[n] = f;
    motion.set([c, -s, -(c * dx + s * dy), s * dx - c * dy], 4 * n);
  }
  return { any: tieLeader.length > 0, ptr, partner, motion };
}

/**
 * The elements and nodes that one vertex is fitted to. Beyond a tie, places x are seen as R x + d, so each entry carries
 * a motion: motion m is `motions[4 m …]` = cos, sin, dx, dy; motion 0 rests.
 */
class Patch {
  /** Number of elements and, after `gatherNodes`, of points. */
  count = 0;
  points = 0;
  /** Largest distance of a point, mm; `x`, `y` are counted from the vertex in units of it. */
  radius = 0;
  readonly x = new Float64Array(6 * MOST_ELEMENTS);
  readonly y = new Float64Array(6 * MOST_ELEMENTS);
  /** Displacement beyond that of the vertex, mm. */
  readonly ux = new Float64Array(6 * MOST_ELEMENTS);
  readonly uy = new Float64Array(6 * MOST_ELEMENTS);
  /** Mesh node and motion of each point. */
  readonly node = new Uint32Array(6 * MOST_ELEMENTS);
  readonly nodeMotion = new Uint32Array(6 * MOST_ELEMENTS);
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
  readonly #nodeSeen: Int32Array;
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
  ) {
    this.#xy = xy;
    this.#elements = elements;
    this.#u = u;
    this.#round = round;
    this.#ties = ties;
    this.#elementSeen = new Int32Array(elements.length / 6).fill(-1);
    this.#nodeSeen = new Int32Array(nodes).fill(-1);
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

/** Rows "traction along direction e on the surface with normal n at z is `value`". */
interface KnownRows {
  count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly nx: Float64Array;
  readonly ny: Float64Array;
  readonly ex: Float64Array;
  readonly ey: Float64Array;
  readonly value: Float64Array;
}

interface BoundarySides {
  /** 1 at nodes with at least one side that is not tied. */
  readonly free: Uint8Array;
  /** What is known at the sides of vertex v and of its images. */
  rows(v: number, patch: Patch): KnownRows;
}

/** Tractions closer than this share of their size pass as one. */
const SAME_TRACTION = 0.02;

function boundarySides(problem: Problem, nodes: number): BoundarySides {
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

  const room = 64;
  const out: KnownRows = {
    count: 0,
    x: new Float64Array(room),
    y: new Float64Array(room),
    nx: new Float64Array(room),
    ny: new Float64Array(room),
    ex: new Float64Array(room),
    ey: new Float64Array(room),
    value: new Float64Array(room),
  };
  const point = new Float64Array(2);
  const tangent = new Float64Array(2);
  const t = new Float64Array(2);
  /** At the vertex, by side seen: tangent of travel, traction, whether all of it is known, whether it starts there. */
  const atVertex = new Float64Array(5 * 16);

  const put = (x: number, y: number, nx: number, ny: number, ex: number, ey: number, value: number): void => {
    const k = out.count;
    if (k >= room) return;
    out.x[k] = x;
    out.y[k] = y;
    out.nx[k] = nx;
    out.ny[k] = ny;
    out.ex[k] = ex;
    out.ey[k] = ey;
    out.value[k] = value;
    out.count++;
  };

  const rows = (v: number, patch: Patch): KnownRows => {
    out.count = 0;
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
    if (seen === 2 && !agree()) out.count = 0;
    return out;
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

/** Square of a row's weight from the square of its distance. */
function nearness(square: number): number {
  return 1 / Math.max(square, NEAREST * NEAREST);
}

/** Highest power of z in the sums T, and its row length. */
const MOST_POWER = 2 * DEGREE_BOUNDARY + 2;
const T_ROW = MOST_POWER + 1;

/**
 * Weighted least squares on one patch. Unknown 4 k … 4 k + 3: Re a_k, Im a_k, Re b_k, Im b_k; the last two the shift.
 *
 * A displacement row reads Σ_k (a_k P_k − conj(a_k) Q_k − conj(b_k) R_k) + shift with P_k = κ z^(k+1)/(k + 1), Q_k = z conj(z)^k and
 * R_k = conj(z)^(k+1)/(k + 1). Every product of two of them is a number times z^j conj(z)^k, so the whole normal matrix
 * comes from the sums T(s, n) = Σ w |z|^(2s) z^n: some sixty multiplications a point in place of two rows of twenty-two
 * squared.
 */
class Fit {
  readonly #kappa: number;
  #degree = 0;
  readonly #normal = new Float64Array(MOST_UNKNOWNS * MOST_UNKNOWNS);
  readonly #c = new Float64Array(MOST_UNKNOWNS);
  readonly #scale = new Float64Array(MOST_UNKNOWNS);
  readonly #row = new Float64Array(MOST_UNKNOWNS);
  readonly #re = new Float64Array(MOST_POWER + 1);
  readonly #im = new Float64Array(MOST_POWER + 1);
  readonly #pair = new Float64Array(2);
  /** T(s, n) at `s * T_ROW + n`. */
  readonly #tr = new Float64Array((DEGREE_BOUNDARY + 2) * T_ROW);
  readonly #ti = new Float64Array((DEGREE_BOUNDARY + 2) * T_ROW);
  /** Σ w d z̄^(k+1), Σ w d z̄ z^k and Σ w d z^(k+1) of the data d: six numbers for each k. */
  readonly #data = new Float64Array(6 * (DEGREE_BOUNDARY + 1));

  constructor(kappa: number) {
    this.#kappa = kappa;
  }

  /** Powers z⁰ … z^last. */
  #powers(x: number, y: number, last: number): void {
    const re = this.#re;
    const im = this.#im;
    let a = 1;
    let b = 0;
    re[0] = 1;
    im[0] = 0;
    for (let k = 1; k <= last; k++) {
      const t = a * x - b * y;
      b = a * y + b * x;
      a = t;
      re[k] = a;
      im[k] = b;
    }
  }

  /** Fits degree p; false when the data do not determine it. `twoG` MPa. */
  solve(p: number, patch: Patch, known: KnownRows | null, twoG: number): boolean {
    this.#degree = p;
    // in units of the radius the displacement is 2G u / radius, a stress
    this.#sumPoints(p, patch, twoG / patch.radius);
    this.#normalFromSums(p);
    if (known) this.#addTractions(p, known);
    const n = unknownsOf(p);
    if (!this.#factorNormal(n)) return false;
    this.#solveNormal(n);
    return true;
  }

  #sumPoints(p: number, patch: Patch, f: number): void {
    const re = this.#re;
    const im = this.#im;
    const tr = this.#tr;
    const ti = this.#ti;
    const data = this.#data;
    const c = this.#c;
    tr.fill(0);
    ti.fill(0);
    data.fill(0);
    const shift = 4 * p + 4;
    let sumR = 0;
    let sumI = 0;
    for (let k = 0; k < patch.points; k++) {
      const x = patch.x[k];
      const y = patch.y[k];
      const square = x * x + y * y;
      const w = nearness(square);
      this.#powers(x, y, 2 * p + 2);
      let ws = w;
      for (let s = 0; s <= p + 1; s++) {
        const last = s === 0 ? 2 * p + 2 : s === 1 ? 2 * p : p + 2 - s;
        const at = s * T_ROW;
        for (let n = 0; n <= last; n++) {
          tr[at + n] += ws * re[n];
          ti[at + n] += ws * im[n];
        }
        ws *= square;
      }
      const dr = w * f * patch.ux[k];
      const di = w * f * patch.uy[k];
      sumR += dr;
      sumI += di;
      const qr = dr * x + di * y; // w d z̄
      const qi = di * x - dr * y;
      for (let d = 0, at = 0; d <= p; d++, at += 6) {
        const zr = re[d + 1];
        const zi = im[d + 1];
        data[at] += dr * zr + di * zi;
        data[at + 1] += di * zr - dr * zi;
        data[at + 2] += qr * re[d] - qi * im[d];
        data[at + 3] += qr * im[d] + qi * re[d];
        data[at + 4] += dr * zr - di * zi;
        data[at + 5] += dr * zi + di * zr;
      }
    }
    for (let d = 0, at = 0; d <= p; d++, at += 6) {
      const kp = this.#kappa / (d + 1);
      c[4 * d] = kp * data[at] - data[at + 2];
      c[4 * d + 1] = kp * data[at + 1] + data[at + 3];
      c[4 * d + 2] = -data[at + 4] / (d + 1);
      c[4 * d + 3] = data[at + 5] / (d + 1);
    }
    c[shift] = sumR;
    c[shift + 1] = sumI;
  }

  /** Lower triangle of the normal matrix, rows at stride n, from the sums. */
  #normalFromSums(p: number): void {
    const n = unknownsOf(p);
    const N = this.#normal;
    const tr = this.#tr;
    const ti = this.#ti;
    const kappa = this.#kappa;
    for (let j = 0; j <= p; j++) {
      const ij = 1 / (j + 1);
      for (let k = 0; k <= j; k++) {
        const ik = 1 / (k + 1);
        // Σ w conj(P_j) P_k and so on; M(j, k) = Σ w z^j z̄^k = T(k, j − k) for j ≥ k, its conjugate the other way
        const qq = (k + 1) * T_ROW + j - k; // Q̄Q = M(j + 1, k + 1); P̄P its conjugate times κ²/((j + 1)(k + 1)); R̄R
        const qqR = tr[qq];
        const qqI = ti[qq];
        const kk = kappa * kappa * ij * ik;
        const pq = T_ROW + j + k; // Q̄P = κ/(k + 1) T(1, j + k), P̄Q = κ/(j + 1) its conjugate
        const qpR = kappa * ik * tr[pq];
        const qpI = kappa * ik * ti[pq];
        const pqR = kappa * ij * tr[pq];
        const pqI = -kappa * ij * ti[pq];
        const rpR = kappa * ij * ik * tr[j + k + 2]; // R̄P = κ T(0, j + k + 2)/((j + 1)(k + 1)), both ways round
        const rpI = kappa * ij * ik * ti[j + k + 2];
        const rq = k * T_ROW + j + 2 - k; // R̄_j Q_k = M(j + 2, k)/(j + 1)
        const rqR = ij * tr[rq];
        const rqI = ij * ti[rq];
        const low = k + 2 < j; // R̄_k Q_j = M(k + 2, j)/(k + 1)
        const back = low ? (k + 2) * T_ROW + j - k - 2 : j * T_ROW + k + 2 - j;
        const srR = ik * tr[back];
        const srI = low ? -ik * ti[back] : ik * ti[back];
        const a = 4 * j * n + 4 * k;
        const b = a + n;
        const g = b + n;
        const d = g + n;
        N[a] = kk * qqR + qqR - pqR - qpR;
        N[a + 1] = kk * qqI + qqI - pqI + qpI;
        N[b] = -kk * qqI - qqI - pqI + qpI;
        N[b + 1] = kk * qqR + qqR + pqR + qpR;
        N[a + 2] = srR - rpR;
        N[a + 3] = rpI - srI;
        N[b + 2] = rpI + srI;
        N[b + 3] = rpR + srR;
        N[g] = rqR - rpR;
        N[g + 1] = rpI + rqI;
        N[d] = rpI - rqI;
        N[d + 1] = rpR + rqR;
        const rrR = ij * ik * qqR;
        const rrI = ij * ik * qqI;
        N[g + 2] = rrR;
        N[g + 3] = rrI;
        N[d + 2] = -rrI;
        N[d + 3] = rrR;
      }
    }
    const u = (4 * p + 4) * n;
    const v = u + n;
    for (let k = 0; k <= p; k++) {
      const ik = 1 / (k + 1);
      const pR = kappa * ik * tr[k + 1];
      const pI = kappa * ik * ti[k + 1];
      const qR = k === 0 ? tr[1] : tr[T_ROW + k - 1];
      const qI = k === 0 ? ti[1] : -ti[T_ROW + k - 1];
      const rR = ik * tr[k + 1];
      const rI = -ik * ti[k + 1];
      N[u + 4 * k] = pR - qR;
      N[u + 4 * k + 1] = -pI - qI;
      N[u + 4 * k + 2] = -rR;
      N[u + 4 * k + 3] = -rI;
      N[v + 4 * k] = pI - qI;
      N[v + 4 * k + 1] = pR + qR;
      N[v + 4 * k + 2] = -rI;
      N[v + 4 * k + 3] = rR;
    }
    N[u + 4 * p + 4] = tr[0];
    N[v + 4 * p + 4] = 0;
    N[v + 4 * p + 5] = tr[0];
  }

  /** Adds the rows of known tractions. */
  #addTractions(p: number, known: KnownRows): void {
    const n = unknownsOf(p);
    const N = this.#normal;
    const c = this.#c;
    const A = this.#row;
    const re = this.#re;
    const im = this.#im;
    const { nx, ny, ex, ey } = known;
    for (let k = 0; k < known.count; k++) {
      const x = known.x[k];
      const y = known.y[k];
      const w = TRACTION_WEIGHT * Math.sqrt(nearness(x * x + y * y));
      this.#powers(x, y, p);
      // traction t = S n − conj(n D), S = (sxx + syy)/2, D = (syy − sxx)/2 + i sxy; its share along e is Re(conj(e) t)
      const es = w * (ex[k] * nx[k] + ey[k] * ny[k]);
      // conj(e) conj(n D) has the real part of e n D
      const dr = w * (ex[k] * nx[k] - ey[k] * ny[k]);
      const di = w * (ex[k] * ny[k] + ey[k] * nx[k]);
      for (let d = 0, q = 0; d <= p; d++, q += 4) {
        let gr = 0;
        let gi = 0;
        if (d > 0) {
          // conj(z) φ'' gives d conj(z) z^(d − 1)
          gr = d * (x * re[d - 1] + y * im[d - 1]);
          gi = d * (x * im[d - 1] - y * re[d - 1]);
        }
        A[q] = 2 * es * re[d] - (dr * gr - di * gi);
        A[q + 1] = -2 * es * im[d] + (dr * gi + di * gr);
        A[q + 2] = -(dr * re[d] - di * im[d]);
        A[q + 3] = dr * im[d] + di * re[d];
      }
      const value = w * known.value[k];
      const last = 4 * p + 4; // a traction knows nothing of the shift
      for (let i = 0; i < last; i++) {
        const ai = A[i];
        c[i] += ai * value;
        const row = i * n;
        for (let j = 0; j <= i; j++) N[row + j] += ai * A[j];
      }
    }
  }

  /** Cholesky factor of the scaled normal matrix, rows of the lower triangle at stride n. */
  #factorNormal(n: number): boolean {
    const N = this.#normal;
    const scale = this.#scale;
    for (let i = 0; i < n; i++) {
      const d = N[i * n + i];
      if (!(d > 0)) return false;
      scale[i] = 1 / Math.sqrt(d);
    }
    for (let i = 0; i < n; i++) {
      const row = i * n;
      for (let j = 0; j <= i; j++) {
        const other = j * n;
        let s = N[row + j] * scale[i] * scale[j];
        for (let k = 0; k < j; k++) s -= N[row + k] * N[other + k];
        if (j < i) N[row + j] = s * N[other + j];
        else {
          if (!(s > PIVOT)) return false;
          N[row + j] = 1 / Math.sqrt(s); // kept as its reciprocal
        }
      }
    }
    return true;
  }

  /** Solves in place in `#c`. */
  #solveNormal(n: number): void {
    const N = this.#normal;
    const g = this.#c;
    const scale = this.#scale;
    for (let i = 0; i < n; i++) {
      let s = g[i] * scale[i];
      for (let k = 0; k < i; k++) s -= N[i * n + k] * g[k];
      g[i] = s * N[i * n + i];
    }
    for (let i = n - 1; i >= 0; i--) {
      const s = g[i] * N[i * n + i];
      for (let k = 0; k < i; k++) g[k] -= N[i * n + k] * s;
      g[i] = s;
    }
    for (let i = 0; i < n; i++) g[i] *= scale[i];
  }

  /** Displacement of the fitted field at (x, y), counted from the vertex in units of the radius, times 2G / radius, MPa. */
  displacementAt(x: number, y: number, out: Float64Array): void {
    const p = this.#degree;
    const c = this.#c;
    const re = this.#re;
    const im = this.#im;
    const kappa = this.#kappa;
    this.#powers(x, y, p + 1);
    let u = c[4 * p + 4];
    let v = c[4 * p + 5];
    for (let k = 0; k <= p; k++) {
      const pr = re[k + 1] / (k + 1);
      const pi = im[k + 1] / (k + 1);
      // z conj(z^k)
      const cr = x * re[k] + y * im[k];
      const ci = y * re[k] - x * im[k];
      const ar = c[4 * k];
      const ai = c[4 * k + 1];
      const br = c[4 * k + 2];
      const bi = c[4 * k + 3];
      u += ar * (kappa * pr - cr) - ai * (kappa * pi + ci) - br * pr + bi * pi;
      v += ar * (kappa * pi - ci) + ai * (kappa * pr + cr) + br * pi + bi * pr;
    }
    out[0] = u;
    out[1] = v;
  }

  /** Starts a sum of weighted stresses of the fit, in place of the fit itself. */
  startWeights(): void {
    this.#c.fill(0, 0, unknownsOf(this.#degree));
  }

  /** Adds g · stress at (x, y) to it: the transpose of `stressAt`. */
  addWeights(x: number, y: number, g0: number, g1: number, g2: number): void {
    const p = this.#degree;
    const c = this.#c;
    const re = this.#re;
    const im = this.#im;
    this.#powers(x, y, p);
    const mean = 2 * (g0 + g1);
    const d = g1 - g0;
    for (let k = 0; k <= p; k++) {
      let gr = 0;
      let gi = 0;
      if (k > 0) {
        gr = k * (x * re[k - 1] + y * im[k - 1]);
        gi = k * (x * im[k - 1] - y * re[k - 1]);
      }
      c[4 * k] += mean * re[k] + d * gr + g2 * gi;
      c[4 * k + 1] += -mean * im[k] - d * gi + g2 * gr;
      c[4 * k + 2] += d * re[k] + g2 * im[k];
      c[4 * k + 3] += -d * im[k] + g2 * re[k];
    }
  }

  /**
   * Adds to `load` the derivative of that sum by the patch's displacements. The fit is N⁻¹ Aᵀ W d, so the derivative by
   * datum d is w times row of A · N⁻¹ weights: the displacement, there, of the polynomial with those coefficients.
   */
  addLoad(patch: Patch, twoG: number, v: number, load: Float64Array): void {
    this.#solveNormal(unknownsOf(this.#degree));
    const pair = this.#pair;
    const f = twoG / patch.radius;
    for (let k = 0; k < patch.points; k++) {
      const x = patch.x[k];
      const y = patch.y[k];
      this.displacementAt(x, y, pair);
      const w = f * nearness(x * x + y * y);
      const px = w * pair[0];
      const py = w * pair[1];
      const m = 4 * patch.nodeMotion[k];
      const c = patch.motions[m];
      const s = patch.motions[m + 1];
      const i = 2 * patch.node[k];
      load[i] += c * px + s * py;
      load[i + 1] += c * py - s * px;
      load[2 * v] -= px;
      load[2 * v + 1] -= py;
    }
  }

  /** Stress of the fitted field at (x, y), counted from the vertex in units of the radius, MPa. */
  stressAt(x: number, y: number, out: Float64Array): void {
    const p = this.#degree;
    const c = this.#c;
    const re = this.#re;
    const im = this.#im;
    this.#powers(x, y, p);
    let mean = 0;
    let dr = 0;
    let di = 0;
    for (let k = 0; k <= p; k++) {
      const ar = c[4 * k];
      const ai = c[4 * k + 1];
      const br = c[4 * k + 2];
      const bi = c[4 * k + 3];
      mean += 2 * (ar * re[k] - ai * im[k]);
      dr += br * re[k] - bi * im[k];
      di += br * im[k] + bi * re[k];
      if (k > 0) {
        const gr = k * (x * re[k - 1] + y * im[k - 1]);
        const gi = k * (x * im[k - 1] - y * re[k - 1]);
        dr += ar * gr - ai * gi;
        di += ar * gi + ai * gr;
      }
    }
    out[0] = mean - dr;
    out[1] = mean + dr;
    out[2] = di;
  }
}
