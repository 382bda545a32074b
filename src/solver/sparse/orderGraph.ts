import { type Ints, type int, ints, most } from "./flat.ts";

/** State of a node or element: a live variable is 0. */
const LIVE_ELEMENT: int = 1;
const DEAD: int = 2;

/** A node tied to more than this many times √n others is put last: it would end there, and slows each step. */
const DENSE_FACTOR: number = 10;
const DENSE_LEAST: number = 16;

/**
 * An order of elimination that keeps the factor sparse: `order[k]` is the node eliminated at step k.
 *
 * Approximate minimum degree after P. Amestoy, T. Davis and I. Duff, SIAM J. Matrix Anal. Appl. 17(4), 1996,
 * 886-905, on the graph of nodes: the quotient graph is kept in place, an eliminated node becoming an element that
 * lists the variables it connects; elements met again are absorbed; the degree of a variable is bounded by the sum
 * over its elements of what each adds to the newest one; variables that only see the newest element leave with it
 * (mass elimination); variables with equal lists, found by a hash, go on as one; elements that lie within the
 * newest one are absorbed although nothing links them (aggressive absorption).
 *
 * The graph is `colPtr`, `rowIdx` as in `NodePattern`. With `stage` (one number a node, or none at all) the nodes of
 * a lower stage all go before those of a higher one, which only wait their turn: their degrees count, so that what a
 * separator will suffer is seen while its sides are ordered. To start from the elements of a mesh as first elements of the
 * quotient graph was tried: no faster, and 5 % more work in the factorisation.
 *
 * Deterministic. Memory: one list of 2 × off-diagonal blocks + n, never grown; swept when its tail is used up.
 */
export function orderGraph(n: int, colPtr: Ints, rowIdx: Ints, stage: Ints): Ints {
  // full adjacency without the diagonal, one list a node
  const start = ints(n);
  const len = ints(n);
  for (let j = 0; j < n; j++) {
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      len[j] += 1;
      len[rowIdx[p]] += 1;
    }
  }
  let free = 0;
  for (let i = 0; i < n; i++) {
    start[i] = free;
    free += len[i];
  }
  // never more in use than the graph itself (an element is no longer than what it absorbs), and one element to come
  const list = ints(free + n + 1);
  const next = start.slice(0, n); // places being filled; later, links of the degree lists
  for (let j = 0; j < n; j++) {
    for (let p = colPtr[j] + 1; p < colPtr[j + 1]; p++) {
      const i = rowIdx[p];
      const atJ = next[j];
      list[atJ] = i;
      next[j] = atJ + 1;
      const atI = next[i];
      list[atI] = j;
      next[i] = atI + 1;
    }
  }
  next.fill(-1);

  const state = ints(n);
  const elen = ints(n); // a variable's list: elen elements, then variables
  const degree = ints(n); // bound on a variable's external degree; an element's number of nodes
  const rank = ints(n).fill(-1); // step at which an element was formed
  const parent = ints(n).fill(-1); // whom an absorbed variable or element went to
  const nv = ints(n).fill(1); // nodes in a supervariable; negative while in the newest element; 0 absorbed
  const mark = ints(n).fill(1); // 0 for dead elements; otherwise stamps counted from `stamp`
  const head = ints(n + 1).fill(-1); // variables by degree, doubly linked
  const last = ints(n).fill(-1);
  const bucket = ints(n).fill(-1); // variables of the newest element by hash
  const bucketNext = ints(n);
  const hashOf = ints(n);
  let stamp = 2;
  let largest = 1; // nodes of the largest element so far: stamps of one step spread no further

  const order = ints(n);
  const denseLimit = Math.max(DENSE_LEAST, DENSE_FACTOR * Math.sqrt(n));
  let total = n;
  for (let i = n - 1; i >= 0; i--) {
    if (len[i] > denseLimit) {
      nv[i] = 0;
      state[i] = DEAD;
      order[--total] = i;
    }
  }
  const stageOf = stage.length > 0 ? stage : ints(n);
  let stages = 1;
  for (let i = 0; i < n; i++) {
    degree[i] = len[i];
    stages = most(stages, stageOf[i] + 1);
  }
  const byStage = ints(n);
  const stageEnd = ints(stages + 1); // starts first, counted up to ends while filling
  for (let i = 0; i < n; i++) stageEnd[stageOf[i] + 1] += 1;
  for (let k = 0; k < stages; k++) stageEnd[k + 1] += stageEnd[k];
  for (let i = 0; i < n; i++) {
    const place = stageEnd[stageOf[i]];
    byStage[place] = i;
    stageEnd[stageOf[i]] = place + 1;
  }

  let now = -1; // stage at hand: only its variables stand in the degree lists
  let listed = 0; // nodes of it and of those before
  let unlisted = 0; // first place in `byStage` of what comes later
  let minimum = 0;
  let eliminated = 0;
  let steps = 0;
  while (eliminated < total) {
    while (eliminated === listed) {
      now++;
      minimum = 0;
      for (; unlisted < stageEnd[now]; unlisted++) {
        const i = byStage[unlisted];
        if (state[i] === DEAD) continue; // dense, or gone into another one
        listed += nv[i];
        const d = degree[i];
        next[i] = head[d];
        if (head[d] !== -1) last[head[d]] = i;
        head[d] = i;
      }
    }

    // pivot: a variable of least bound
    while (head[minimum] === -1) minimum++;
    const p = head[minimum];
    head[minimum] = next[p];
    if (next[p] !== -1) last[next[p]] = -1;
    let nvp = nv[p];
    eliminated += nvp;

    // the newest element lists every variable p sees, directly or through an element
    const inPlace = elen[p] === 0;
    if (!inPlace && free + degree[p] > list.length) free = sweep(list, free, start, len, state);
    nv[p] = -nvp;
    let degp = 0;
    const from = inPlace ? start[p] : free;
    let end = from;
    const sources = elen[p];
    const ownStart = start[p];
    for (let s = 0; s <= sources; s++) {
      let q: int;
      let stop: int;
      if (s < sources) {
        const e = list[ownStart + s];
        q = start[e];
        stop = q + len[e];
        parent[e] = p;
        state[e] = DEAD;
        mark[e] = 0;
      } else {
        q = ownStart + sources;
        stop = ownStart + len[p];
      }
      for (; q < stop; q++) {
        const i = list[q];
        const nvi = nv[i];
        if (nvi <= 0) continue;
        degp += nvi;
        nv[i] = -nvi;
        list[end++] = i;
        if (stageOf[i] !== now) continue;
        const before = last[i];
        const after = next[i];
        if (after !== -1) last[after] = before;
        if (before !== -1) next[before] = after;
        else head[degree[i]] = after;
      }
    }
    if (!inPlace) free = end;
    state[p] = LIVE_ELEMENT;
    rank[p] = steps++;
    start[p] = from;
    len[p] = end - from;
    elen[p] = 0;
    mark[p] = 1;

    // mark[e] - stamp becomes the number of nodes of e outside the newest element
    if (stamp > 0x7fffffff - 4 * n - 4) {
      for (let i = 0; i < n; i++) if (mark[i] !== 0) mark[i] = 1;
      stamp = 2;
    }
    for (let t = from; t < end; t++) {
      const i = list[t];
      const nvi = -nv[i];
      const untouched = stamp - nvi;
      const eEnd = start[i] + elen[i];
      for (let q = start[i]; q < eEnd; q++) {
        const e = list[q];
        const m = mark[e];
        if (m >= stamp) mark[e] = m - nvi;
        else if (m !== 0) mark[e] = degree[e] + untouched;
      }
    }

    // bounds, absorption, mass elimination
    for (let t = from; t < end; t++) {
      const i = list[t];
      const s = start[i];
      const eEnd = s + elen[i];
      const vEnd = s + len[i];
      let q = s;
      let deg = 0;
      let hash = 0;
      for (let k = s; k < eEnd; k++) {
        const e = list[k];
        const m = mark[e];
        if (m === 0) continue;
        const outside = m - stamp;
        if (outside > 0) {
          deg += outside;
          hash = (hash + e) & 0x3fffffff;
          list[q++] = e;
        } else {
          parent[e] = p;
          state[e] = DEAD;
          mark[e] = 0;
        }
      }
      const variables = q;
      for (let k = eEnd; k < vEnd; k++) {
        const j = list[k];
        const nvj = nv[j];
        if (nvj > 0) {
          deg += nvj;
          hash = (hash + j) & 0x3fffffff;
          list[q++] = j;
        }
      }
      if (deg === 0 && stageOf[i] === now) {
        const nvi = -nv[i];
        parent[i] = p;
        state[i] = DEAD;
        nv[i] = 0;
        degp -= nvi;
        nvp += nvi;
        eliminated += nvi;
        continue;
      }
      if (deg < degree[i]) degree[i] = deg;
      // p goes first; a place is free since p, or an element absorbed into it, has left the list
      list[q] = list[variables];
      list[variables] = list[s];
      list[s] = p;
      elen[i] = variables - s + 1;
      len[i] = q - s + 1;
      const h = hash % n;
      hashOf[i] = h;
      bucketNext[i] = bucket[h];
      bucket[h] = i;
    }
    degree[p] = degp;
    if (degp > largest) largest = degp;
    stamp += largest + 1;

    // indistinguishable variables: same hash, same lists
    for (let t = from; t < end; t++) {
      if (nv[list[t]] === 0) continue;
      const h = hashOf[list[t]];
      let i = bucket[h];
      if (i === -1) continue;
      bucket[h] = -1;
      for (; i !== -1 && bucketNext[i] !== -1; i = bucketNext[i]) {
        const length = len[i];
        const elements = elen[i];
        const si = start[i];
        for (let q = si + 1; q < si + length; q++) mark[list[q]] = stamp;
        let before = i;
        let j = bucketNext[i];
        while (j !== -1) {
          let same = len[j] === length && elen[j] === elements && stageOf[j] === stageOf[i];
          const sEnd = start[j] + length;
          for (let q = start[j] + 1; same && q < sEnd; q++) same = mark[list[q]] === stamp;
          if (same) {
            parent[j] = i;
            state[j] = DEAD;
            nv[i] += nv[j];
            nv[j] = 0;
            j = bucketNext[j];
            bucketNext[before] = j;
          } else {
            before = j;
            j = bucketNext[j];
          }
        }
        stamp++;
      }
    }

    // what is left of the newest element; its variables back among the degrees
    let q = from;
    const remaining = total - eliminated;
    for (let t = from; t < end; t++) {
      const i = list[t];
      const nvi = -nv[i];
      if (nvi <= 0) continue;
      nv[i] = nvi;
      list[q++] = i;
      let d = degree[i] + degp - nvi;
      if (d > remaining - nvi) d = remaining - nvi;
      degree[i] = d;
      if (stageOf[i] !== now) continue;
      const first = head[d];
      next[i] = first;
      last[i] = -1;
      if (first !== -1) last[first] = i;
      head[d] = i;
      if (d < minimum) minimum = d;
    }
    nv[p] = nvp;
    len[p] = q - from;
    if (q === from) {
      state[p] = DEAD;
      mark[p] = 0;
    }
    if (!inPlace) free = q;
  }

  // each node goes with the element it was eliminated in: counted by rank, the pivot first
  const owner = ints(n).fill(-1);
  const place = ints(steps + 1);
  for (let i = 0; i < n; i++) {
    if (rank[i] === -1 && parent[i] === -1) continue; // dense, placed already
    let r = i;
    while (rank[r] === -1) r = parent[r];
    for (let k = i; rank[k] === -1; ) {
      const up = parent[k];
      parent[k] = r;
      k = up;
    }
    owner[i] = r;
    place[rank[r] + 1] += 1;
  }
  for (let s = 0; s < steps; s++) place[s + 1] += place[s];
  for (let i = 0; i < n; i++) {
    if (owner[i] !== i) continue;
    const s = rank[i];
    order[place[s]] = i;
    place[s] += 1;
  }
  for (let i = 0; i < n; i++) {
    if (owner[i] === -1 || owner[i] === i) continue;
    const s = rank[owner[i]];
    order[place[s]] = i;
    place[s] += 1;
  }
  return order;
}

/**
 * Moves the lists still in use to the front and returns where free room starts. The first entry of each list is put
 * aside in `start` and the list's owner, bitwise inverted, left in its place, so that one pass finds them all. Beyond the `used` part
 * marks of an earlier sweep may stand.
 */
function sweep(list: Ints, used: int, start: Ints, len: Ints, state: Ints): int {
  const n = start.length;
  for (let i = 0; i < n; i++) {
    if (state[i] === DEAD || len[i] === 0) continue;
    const first = list[start[i]];
    list[start[i]] = ~i;
    start[i] = first;
  }
  let to = 0;
  for (let q = 0; q < used; ) {
    const entry = list[q];
    if (entry >= 0) {
      q++;
      continue;
    }
    const i = ~entry;
    const length = len[i];
    const first = start[i];
    start[i] = to;
    list[to++] = first;
    for (let k = 1; k < length; k++) list[to++] = list[q + k];
    q += length;
  }
  return to;
}
