import type { NodeMatrix, NodePattern } from "./sparse/index.ts";
// temporary stand-in
export function analyse(p: NodePattern) {
  return p;
}
export interface Factor {
  perm: Int32Array;
  start: Int32Array;
  first: Int32Array;
  v: Float64Array;
  n: number;
  nonZeros: number;
}
export function factor(_s: NodePattern, m: NodeMatrix): Factor {
  const nb = m.n;
  const adj: number[][] = Array.from({ length: nb }, () => []);
  for (let j = 0; j < nb; j++)
    for (let p = m.colPtr[j] + 1; p < m.colPtr[j + 1]; p++) {
      adj[j].push(m.rowIdx[p]);
      adj[m.rowIdx[p]].push(j);
    }
  const seen = new Uint8Array(nb);
  const order: number[] = [];
  const bfs = (s: number, mark: Uint8Array) => {
    const q = [s];
    mark[s] = 1;
    for (let h = 0; h < q.length; h++) {
      const a = adj[q[h]].filter((x) => !mark[x]).sort((x, y) => adj[x].length - adj[y].length);
      for (const x of a) {
        mark[x] = 1;
        q.push(x);
      }
    }
    return q;
  };
  for (let i = 0; i < nb; i++)
    if (!seen[i]) {
      const f = bfs(i, Uint8Array.from(seen));
      const s2 = bfs(f[f.length - 1], Uint8Array.from(seen));
      order.push(...bfs(s2[s2.length - 1], seen));
    }
  order.reverse();
  const pos = new Int32Array(nb);
  order.forEach((o, k) => {
    pos[o] = k;
  });
  const n = 2 * nb;
  const first = new Int32Array(n);
  for (let i = 0; i < n; i++) first[i] = 2 * (i >> 1);
  for (let j = 0; j < nb; j++)
    for (let p = m.colPtr[j]; p < m.colPtr[j + 1]; p++) {
      const a = pos[j],
        b = pos[m.rowIdx[p]];
      const lo = Math.min(a, b),
        hi = Math.max(a, b);
      for (const d of [0, 1]) first[2 * hi + d] = Math.min(first[2 * hi + d], 2 * lo);
    }
  const start = new Int32Array(n + 1);
  for (let i = 0; i < n; i++) start[i + 1] = start[i] + i - first[i] + 1;
  const v = new Float64Array(start[n]);
  const at = (i: number, j: number) => start[i] + j - first[i];
  for (let j = 0; j < nb; j++)
    for (let p = m.colPtr[j]; p < m.colPtr[j + 1]; p++) {
      const i = m.rowIdx[p];
      for (let c = 0; c < 2; c++)
        for (let r = 0; r < 2; r++) {
          const I = 2 * pos[i] + r,
            J = 2 * pos[j] + c;
          let x = m.values[4 * p + 2 * c + r];
          if (i === j && r < c) x = m.values[4 * p + 2 * r + c];
          if (I >= J) v[at(I, J)] = x;
          else v[at(J, I)] = x;
        }
    }
  for (let i = 0; i < n; i++)
    for (let j = first[i]; j <= i; j++) {
      let s = v[at(i, j)];
      const lo = Math.max(first[i], first[j]);
      const oi = start[i] - first[i],
        oj = start[j] - first[j];
      for (let k = lo; k < j; k++) s -= v[oi + k] * v[oj + k];
      if (i === j) {
        if (!(s > 0)) throw new Error("singular at node " + order[i >> 1]);
        v[at(i, i)] = Math.sqrt(s);
      } else v[at(i, j)] = s / v[at(j, j)];
    }
  return { perm: Int32Array.from(order), start, first, v, n, nonZeros: start[n] };
}
export function solve({ perm, start, first, v, n }: Factor, b: Float64Array): Float64Array {
  const x = new Float64Array(n);
  for (let i = 0; i < n; i++) x[i] = b[2 * perm[i >> 1] + (i & 1)];
  for (let i = 0; i < n; i++) {
    let s = x[i];
    const o = start[i] - first[i];
    for (let k = first[i]; k < i; k++) s -= v[o + k] * x[k];
    x[i] = s / v[o + i];
  }
  for (let i = n - 1; i >= 0; i--) {
    const o = start[i] - first[i];
    x[i] /= v[o + i];
    for (let k = first[i]; k < i; k++) x[k] -= v[o + k] * x[i];
  }
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) y[2 * perm[i >> 1] + (i & 1)] = x[i];
  return y;
}
