import Delaunator from "delaunator";
import { addElement, type NodeMatrix, patternFromElements } from "../../../src/solver/sparse/index.ts";

/** Uniform numbers in [0, 1) from a seed: the usual 32-bit mixing of a counter, common practice, no source. */
export function uniform(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/** The whole symmetric matrix as rows of numbers, built from the documented layout and nothing else. */
export function dense({ n, colPtr, rowIdx, values }: NodeMatrix): number[][] {
  const a = Array.from({ length: 2 * n }, () => new Array<number>(2 * n).fill(0));
  for (let j = 0; j < n; j++) {
    for (let p = colPtr[j]; p < colPtr[j + 1]; p++) {
      for (let r = 0; r < 2; r++) {
        for (let c = 0; c < 2; c++) {
          const row = 2 * rowIdx[p] + r;
          const column = 2 * j + c;
          a[row][column] = values[4 * p + 2 * c + r];
          a[column][row] = values[4 * p + 2 * c + r];
        }
      }
    }
  }
  return a;
}

/** Matrix of single 2×2 blocks: `block(i, j)` for each edge i > j and i = j, as [a00, a10, a01, a11]. */
export function matrixFromEdges(
  n: number,
  edges: Iterable<readonly [number, number]>,
  block: (i: number, j: number) => readonly [number, number, number, number],
): NodeMatrix {
  const columns = Array.from({ length: n }, (_, j) => new Set([j]));
  for (const [a, b] of edges) columns[Math.min(a, b)].add(Math.max(a, b));
  const colPtr = new Int32Array(n + 1);
  const rows: number[] = [];
  const values: number[] = [];
  columns.forEach((set, j) => {
    for (const i of [...set].sort((x, y) => x - y)) {
      rows.push(i);
      values.push(...block(i, j));
    }
    colPtr[j + 1] = rows.length;
  });
  return { n, colPtr, rowIdx: Int32Array.from(rows), values: Float64Array.from(values) };
}

/** Random blocks in [-1, 1] on the given graph, positive definite by diagonal dominance. */
export function dominant(n: number, edges: readonly (readonly [number, number])[], seed: number): NodeMatrix {
  const random = uniform(seed);
  const pick = () => 2 * random() - 1;
  const matrix = matrixFromEdges(n, edges, () => [pick(), pick(), pick(), pick()]);
  const { colPtr, rowIdx, values } = matrix;
  const sums = new Float64Array(2 * n);
  for (let j = 0; j < n; j++) {
    const d = 4 * colPtr[j];
    values[d + 2] = values[d + 1];
    sums[2 * j] += Math.abs(values[d + 1]);
    sums[2 * j + 1] += Math.abs(values[d + 1]);
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      for (let r = 0; r < 2; r++) {
        for (let c = 0; c < 2; c++) {
          const size = Math.abs(values[4 * p + 2 * c + r]);
          sums[2 * rowIdx[p] + r] += size;
          sums[2 * j + c] += size;
        }
      }
    }
  }
  for (let j = 0; j < n; j++) {
    values[4 * colPtr[j]] = sums[2 * j] + 0.1 + random();
    values[4 * colPtr[j] + 3] = sums[2 * j + 1] + 0.1 + random();
  }
  return matrix;
}

/** The same matrix under other node numbers: node i becomes `place[i]`. */
export function renumber(matrix: NodeMatrix, place: Int32Array): NodeMatrix {
  const { n, colPtr, rowIdx, values } = matrix;
  const blocks = new Map<number, [number, number, number, number]>();
  const edges: [number, number][] = [];
  for (let j = 0; j < n; j++) {
    for (let p = colPtr[j]; p < colPtr[j + 1]; p++) {
      const a = place[rowIdx[p]];
      const b = place[j];
      const [a00, a10, a01, a11] = values.subarray(4 * p, 4 * p + 4);
      edges.push([a, b]);
      blocks.set(Math.max(a, b) * n + Math.min(a, b), a >= b ? [a00, a10, a01, a11] : [a00, a01, a10, a11]);
    }
  }
  return matrixFromEdges(n, edges, (i, j) => blocks.get(i * n + j)!);
}

export function shuffled(n: number, seed: number): Int32Array {
  const random = uniform(seed);
  const place = Int32Array.from({ length: n }, (_, i) => i);
  for (let i = n - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    const t = place[i];
    place[i] = place[j];
    place[j] = t;
  }
  return place;
}

/** Nodes, six-node triangles and which nodes are held. */
export interface TestMesh {
  readonly xy: Float64Array;
  readonly elements: Uint32Array;
  readonly held: Uint8Array;
}

/** Annulus sector, radii 20 to 30, 0.8 rad, nr × nt cells of two triangles; the inner arc is held. */
export function sectorMesh(nr: number, nt: number): TestMesh {
  const ni = 2 * nr + 1;
  const nj = 2 * nt + 1;
  const xy = new Float64Array(2 * ni * nj);
  const held = new Uint8Array(ni * nj);
  for (let j = 0; j < nj; j++) {
    for (let i = 0; i < ni; i++) {
      const r = 20 + (10 * i) / (ni - 1);
      const t = (0.8 * j) / (nj - 1);
      xy[2 * (j * ni + i)] = r * Math.cos(t);
      xy[2 * (j * ni + i) + 1] = r * Math.sin(t);
    }
    held[j * ni] = 1;
  }
  const elements: number[] = [];
  const id = (i: number, j: number) => j * ni + i;
  for (let j = 0; j < nj - 1; j += 2) {
    for (let i = 0; i < ni - 1; i += 2) {
      elements.push(
        id(i, j),
        id(i + 2, j),
        id(i + 2, j + 2),
        id(i + 1, j),
        id(i + 2, j + 1),
        id(i + 1, j + 1),
      );
      elements.push(
        id(i, j),
        id(i + 2, j + 2),
        id(i, j + 2),
        id(i + 1, j + 1),
        id(i + 1, j + 2),
        id(i, j + 1),
      );
    }
  }
  return { xy, elements: Uint32Array.from(elements), held };
}

/**
 * Unstructured mesh of a 10 × 6 rectangle, graded about tenfold towards a spot on the lower side; straight sides; the
 * left side is held. Points are thrown at random and kept where they keep their distance.
 */
export function gradedMesh(coarse: number, seed: number): TestMesh {
  const random = uniform(seed);
  const size = (x: number, y: number) => coarse * Math.min(1, 0.1 + 0.3 * Math.hypot(x - 5, y));
  const points: number[] = [];
  const side = (ax: number, ay: number, bx: number, by: number) => {
    const length = Math.hypot(bx - ax, by - ay);
    for (let s = 0; s < length - 0.3 * coarse * 0.1; ) {
      const x = ax + ((bx - ax) * s) / length;
      const y = ay + ((by - ay) * s) / length;
      points.push(x, y);
      s += size(x, y);
      if (length - s < 0.6 * size(bx, by)) break;
    }
  };
  side(0, 0, 10, 0);
  side(10, 0, 10, 6);
  side(10, 6, 0, 6);
  side(0, 6, 0, 0);
  const cells = new Map<number, number[]>();
  const cellOf = (x: number, y: number) => Math.floor(x / coarse) * 4096 + Math.floor(y / coarse);
  const keep = (x: number, y: number, k: number) => {
    const cell = cells.get(cellOf(x, y));
    if (cell) cell.push(k);
    else cells.set(cellOf(x, y), [k]);
  };
  for (let k = 0; k < points.length; k += 2) keep(points[k], points[k + 1], k);
  const tries = Math.ceil(1500 / (coarse * coarse));
  for (let t = 0; t < tries; t++) {
    let x = 10 * random();
    let y = 6 * random();
    if (t % 2 === 1) {
      // half of them near the spot, evenly over the logarithm of the distance
      const d = 4 * Math.exp(random() * Math.log(0.1 * coarse * 0.1));
      const angle = Math.PI * random();
      x = 5 + d * Math.cos(angle);
      y = d * Math.sin(angle);
    }
    const h = size(x, y);
    if (x < 0.5 * h || x > 10 - 0.5 * h || y < 0.5 * h || y > 6 - 0.5 * h) continue;
    let clear = true;
    for (let cx = -1; cx <= 1 && clear; cx++) {
      for (let cy = -1; cy <= 1 && clear; cy++) {
        for (const k of cells.get(cellOf(x + cx * coarse, y + cy * coarse)) ?? []) {
          if (Math.hypot(points[k] - x, points[k + 1] - y) < 0.78 * h) {
            clear = false;
            break;
          }
        }
      }
    }
    if (!clear) continue;
    keep(x, y, points.length);
    points.push(x, y);
  }
  const { triangles } = new Delaunator(Float64Array.from(points));
  const midside = new Map<number, number>();
  const corners = points.length / 2;
  const middle = (a: number, b: number) => {
    const key = Math.min(a, b) * corners + Math.max(a, b);
    let k = midside.get(key);
    if (k === undefined) {
      k = points.length / 2;
      points.push((points[2 * a] + points[2 * b]) / 2, (points[2 * a + 1] + points[2 * b + 1]) / 2);
      midside.set(key, k);
    }
    return k;
  };
  const elements: number[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    // the library's triangles run clockwise in axes with y upwards
    const a = triangles[t];
    const b = triangles[t + 2];
    const c = triangles[t + 1];
    const ux = points[2 * b] - points[2 * a];
    const uy = points[2 * b + 1] - points[2 * a + 1];
    const vx = points[2 * c] - points[2 * a];
    const vy = points[2 * c + 1] - points[2 * a + 1];
    const area = ux * vy - uy * vx;
    if (Math.abs(area) < 1e-9) continue; // three points of one side
    if (area > 0) elements.push(a, b, c, middle(a, b), middle(b, c), middle(c, a));
    else elements.push(a, c, b, middle(a, c), middle(c, b), middle(b, a));
  }
  const xy = Float64Array.from(points);
  const held = Uint8Array.from({ length: xy.length / 2 }, (_, i) => (xy[2 * i] < 1e-9 ? 1 : 0));
  return { xy, elements: Uint32Array.from(elements), held };
}

// mid-side rule of three points, exact to degree 2: rank 9 of 12, enough for a stiffness with three rigid motions
const GAUSS = [
  [2 / 3, 1 / 6],
  [1 / 6, 2 / 3],
  [1 / 6, 1 / 6],
];

/** Plane-stress stiffness (E = 1000, ν = 0.3) of one six-node triangle, 12 × 12 row after row, into `k`. */
export function triangleStiffness({ xy, elements }: TestMesh, e: number, k: Float64Array): void {
  const E = 1000;
  const nu = 0.3;
  const c11 = E / (1 - nu * nu);
  const c33 = E / (2 * (1 + nu));
  k.fill(0);
  for (const [s, t] of GAUSS) {
    const z = 1 - s - t;
    const dS = [1 - 4 * z, 4 * s - 1, 0, 4 * (z - s), 4 * t, -4 * t];
    const dT = [1 - 4 * z, 0, 4 * t - 1, -4 * s, 4 * s, 4 * (z - t)];
    let xS = 0;
    let xT = 0;
    let yS = 0;
    let yT = 0;
    for (let a = 0; a < 6; a++) {
      const i = 2 * elements[6 * e + a];
      xS += dS[a] * xy[i];
      xT += dT[a] * xy[i];
      yS += dS[a] * xy[i + 1];
      yT += dT[a] * xy[i + 1];
    }
    const det = xS * yT - xT * yS;
    const dx = dS.map((d, a) => (d * yT - dT[a] * yS) / det);
    const dy = dS.map((d, a) => (dT[a] * xS - d * xT) / det);
    const w = det / 6;
    for (let a = 0; a < 6; a++) {
      for (let b = 0; b < 6; b++) {
        k[24 * a + 2 * b] += w * (c11 * dx[a] * dx[b] + c33 * dy[a] * dy[b]);
        k[24 * a + 2 * b + 1] += w * (c11 * nu * dx[a] * dy[b] + c33 * dy[a] * dx[b]);
        k[24 * a + 12 + 2 * b] += w * (c11 * nu * dy[a] * dx[b] + c33 * dx[a] * dy[b]);
        k[24 * a + 12 + 2 * b + 1] += w * (c11 * dy[a] * dy[b] + c33 * dx[a] * dx[b]);
      }
    }
  }
}

/** Stiffness of a mesh over its free nodes, in their order; with `free` nothing is held. */
export function meshMatrix(mesh: TestMesh, free = false): NodeMatrix {
  const number = new Uint32Array(mesh.held.length).fill(0xffffffff);
  let n = 0;
  for (let i = 0; i < number.length; i++) if (free || mesh.held[i] === 0) number[i] = n++;
  const { pattern, elementPlace } = patternFromElements(
    n,
    mesh.elements.map((i) => number[i]),
    6,
  );
  const values = new Float64Array(4 * pattern.rowIdx.length);
  const k = new Float64Array(144);
  for (let e = 0; e < mesh.elements.length / 6; e++) {
    triangleStiffness(mesh, e, k);
    addElement(values, elementPlace, e, 6, k);
  }
  return { ...pattern, values };
}

/** Numbers between -1 and 1. */
export function randomVector(length: number, seed: number): Float64Array {
  const random = uniform(seed);
  return Float64Array.from({ length }, () => 2 * random() - 1);
}

/** Largest absolute difference over the largest absolute value of `b`. */
export function relativeDifference(a: ArrayLike<number>, b: ArrayLike<number>): number {
  let worst = 0;
  let size = 0;
  for (let k = 0; k < b.length; k++) {
    const d = Math.abs(a[k] - b[k]);
    if (!(d <= worst)) worst = d;
    size = Math.max(size, Math.abs(b[k]));
  }
  return worst / size;
}
