import { type Ints, type int, ints, most } from "./flat.ts";

/** Vertices a part is coarsened to before it is first cut. */
const COARSEST: int = 40;
/** Sets in one cluster at most: clusters are what a part is first cut into, sets what the cut is then moved by. */
const CLUSTER: int = 3;
/** Share of a part that its larger side may have, in 64ths. */
const LARGER: int = 44;
/** Moves that may follow the best cut met before a pass is given up. */
const PATIENCE: int = 20;
/** Passes on each level. */
const PASSES: int = 2;
/** Seeds tried for the first cut of a part, by its number of sets. */
const LARGE: int = 8000;
const MIDDLING: int = 2000;
const LARGE_TRIES: int = 8;
const MIDDLING_TRIES: int = 4;
const SMALL_TRIES: int = 2;
/** Parts lying one within the other at most; sizes make it far less. */
const DEEPEST: int = 60;

/** What `dissectGraph` gives. */
export class Dissection {
  /** Stage of elimination of each node. */
  stage!: Ints;
  /** Stage of the separator that bounds each stage's part, -1 at the outermost; always a later one. */
  parent!: Ints;
}

/**
 * Graphs from fine to coarse, and the cut of one of them. Vertices and edges of all levels are counted through. The
 * sets of the mesh are level 0; the room behind their clusters serves one part after the other.
 */
class Levels {
  /** First vertex of each level, and the greatest `pull` in it. */
  first!: Ints;
  widest!: Ints;
  /** Edges of vertex v: to `edge[begin[v]] … edge[end[v] - 1]`, standing for `edgeWeight` links each. */
  begin!: Ints;
  end!: Ints;
  edge!: Ints;
  edgeWeight!: Ints;
  /** Sets in a vertex, and links that leave it. */
  weight!: Ints;
  pull!: Ints;
  /** Vertex of the next level it lies in. */
  coarse!: Ints;
  /** 0 or 1, and what the cut loses when the vertex goes over: links across minus links within. */
  side!: Ints;
  gain!: Ints;
  /** Vertices by gain and side, doubly linked; `listed` is 0 out, 1 in, 2 out until the pass is over. */
  next!: Ints;
  last!: Ints;
  listed!: Ints;
  head!: Ints;
  /** Gains in the lists go from -reach to reach; no list of side s above `top[s]` holds anything. */
  reach!: int;
  top!: Ints;
  /** Vertices moved in this pass, and all that were ever at the cut. */
  moved!: Ints;
  candidates!: Ints;
  candidateCount!: int;
  /** Sets on the two sides, links between them. */
  side0!: int;
  side1!: int;
  cut!: int;
}

/**
 * Nested dissection (A. George, SIAM J. Numer. Anal. 10, 1973) of the graph that is the union of `cliques` sets of
 * nodes, set c being `cliqueNodes[cliquePtr[c]] …` (finite elements). The sets are parted in two, the parts again, down
 * to `leaf` sets. Nodes that sets of both halves hold separate them: they are eliminated after everything within the
 * halves, so that nothing fills in between. Returns stages: all nodes of one are to be eliminated before those of the
 * next. Separators separate whatever the sets are; they are short where the graph of sets tells how these hang together,
 * as that of a plane mesh does.
 *
 * In the graph of sets, two are tied by each node that is in these two only: in a mesh of six-node triangles the
 * mid-side nodes, so that a cut along k sides costs k of them and k + 1 corners. Each part is cut by multilevel
 * bisection (G. Karypis and V. Kumar, SIAM J. Sci. Comput. 20(1), 1998): merge vertices along heavy edges until few
 * are left, grow one half from some seed, go back level by level, each time moving single vertices across the cut
 * (C. Fiduccia and R. Mattheyses, 19th Design Automation Conf., 1982: lists by gain, each vertex once a pass, back to
 * the best cut met). Pairs and threes of sets are formed once for all parts; where a cut goes through
 * one, its sets go to clusters on their side.
 *
 * Deterministic, whole numbers only. Time: as the number of sets times its logarithm.
 */
export function dissectGraph(
  n: int,
  cliques: int,
  cliquePtr: Ints,
  cliqueNodes: Ints,
  leaf: int,
): Dissection {
  const one = ints(n).fill(-1);
  const two = ints(n).fill(-1);
  for (let c = 0; c < cliques; c++) {
    for (let q = cliquePtr[c]; q < cliquePtr[c + 1]; q++) {
      const i = cliqueNodes[q];
      if (one[i] === -1) one[i] = c;
      else if (two[i] === -1) two[i] = c;
      else two[i] = -2;
    }
  }
  let edges = 0;
  for (let i = 0; i < n; i++) if (two[i] >= 0) edges += 2;

  // a level of three quarters, and as much again for a part's clusters and what is made of them
  const room = ((7 * cliques) >> 1) + 64;
  const g = new Levels();
  g.first = ints(64);
  g.widest = ints(64);
  g.begin = ints(room);
  g.end = ints(room);
  g.edge = ints(4 * edges);
  g.edgeWeight = ints(4 * edges);
  g.weight = ints(room);
  g.pull = ints(room);
  g.coarse = ints(room);
  g.side = ints(room);
  g.gain = ints(room);
  g.next = ints(room);
  g.last = ints(room);
  g.listed = ints(room);
  g.head = ints(2 * edges + 2); // no vertex has more than all links, edges / 2
  g.top = ints(2);
  g.moved = ints(room);
  g.candidates = ints(room);
  const begin = g.begin;
  const end = g.end;
  const edge = g.edge;
  const edgeWeight = g.edgeWeight;
  const weight = g.weight;
  const pull = g.pull;
  const side = g.side;
  const gain = g.gain;
  const candidates = g.candidates;

  for (let i = 0; i < n; i++) {
    if (two[i] < 0) continue;
    pull[one[i]] += 1;
    pull[two[i]] += 1;
  }
  let free = 0;
  let widest = 0;
  for (let c = 0; c < cliques; c++) {
    begin[c] = free;
    end[c] = free;
    free += pull[c];
    widest = most(widest, pull[c]);
    weight[c] = 1;
    gain[c] = -pull[c];
  }
  for (let i = 0; i < n; i++) {
    if (two[i] < 0) continue;
    const a = one[i];
    const b = two[i];
    edge[end[a]] = b;
    end[a] += 1;
    edge[end[b]] = a;
    end[b] += 1;
  }
  for (let q = 0; q < edges; q++) edgeWeight[q] = 1;
  g.first[1] = cliques;
  g.widest[0] = widest;

  const clustered = coarsen(g, 0, CLUSTER);
  const clusterBase = clustered ? cliques : 0;
  const clusterEnd = clustered ? g.first[2] : cliques;
  const clusters = clusterEnd - clusterBase;
  const cluster = ints(cliques);
  for (let c = 0; c < cliques; c++) cluster[c] = clustered ? g.coarse[c] : c;
  const work = clustered ? 2 : 1; // level of a part's own copy of its clusters
  const workEdge = clustered ? end[clusterEnd - 1] : edges;

  // parts in preorder, 0 being the whole; sets and clusters of a part stand together in their lists
  const list = ints(cliques);
  for (let c = 0; c < cliques; c++) list[c] = c;
  const clusterList = ints(clusters);
  for (let c = 0; c < clusters; c++) clusterList[c] = clusterBase + c;
  const spare = ints(cliques);
  const local = ints(clusterEnd); // a cluster's vertex in the part at hand
  const clusterPart = ints(clusterEnd);
  const mixed = ints(clusterEnd); // holds, or is next to, sets it was not made of
  const partOf = ints(cliques);
  const parent = ints(2 * cliques + 1);
  const stack = ints(5 * (DEEPEST + 2)); // from, to, from and to of the clusters, parent
  let parts = 0;
  let height = 1;
  stack[1] = cliques;
  stack[3] = clusters;
  stack[4] = -1;
  while (height > 0) {
    height--;
    const from = stack[5 * height];
    const to = stack[5 * height + 1];
    const clusterFrom = stack[5 * height + 2];
    const clusterTo = stack[5 * height + 3];
    const part = parts++;
    parent[part] = stack[5 * height + 4];
    for (let k = from; k < to; k++) partOf[list[k]] = part;
    const count = to - from;
    if (count <= leaf || height >= DEEPEST) continue;

    // the part's clusters as a graph of their own
    const shift = clusterEnd - clusterFrom;
    for (let k = clusterFrom; k < clusterTo; k++) {
      const c = clusterList[k];
      local[c] = k + shift;
      clusterPart[c] = part;
    }
    free = workEdge;
    widest = 0;
    for (let k = clusterFrom; k < clusterTo; k++) {
      const c = clusterList[k];
      const v = k + shift;
      let links = 0;
      begin[v] = free;
      for (let q = begin[c]; q < end[c]; q++) {
        const d = edge[q];
        if (clusterPart[d] !== part) continue;
        const w = edgeWeight[q];
        edge[free] = local[d];
        edgeWeight[free++] = w;
        links += w;
      }
      end[v] = free;
      weight[v] = weight[c];
      pull[v] = links;
      widest = most(widest, links);
    }
    g.first[work] = clusterEnd;
    g.first[work + 1] = clusterTo + shift;
    g.widest[work] = widest;
    bisect(g, work, count);

    // the cut of the clusters as one of sets, which it is moved by
    for (let k = from; k < to; k++) {
      const c = list[k];
      side[c] = side[local[cluster[c]]];
    }
    g.candidateCount = 0;
    g.cut = 0;
    for (let k = from; k < to; k++) {
      const c = list[k];
      const v = local[cluster[c]];
      if (gain[v] === -pull[v] && mixed[cluster[c]] === 0) continue;
      const s = side[c];
      let across = 0;
      for (let q = begin[c]; q < end[c]; q++) if (side[edge[q]] !== s) across++;
      if (across === 0) continue;
      gain[c] = 2 * across - pull[c];
      candidates[g.candidateCount++] = c;
      g.cut += across;
    }
    g.cut >>= 1;
    refine(g, g.widest[0], largestSide(count));

    // what has left the side of its cluster goes to one over there; links across are forgotten
    for (let k = 0; k < g.candidateCount; k++) {
      const c = candidates[k];
      const s = side[c];
      if (side[local[cluster[c]]] === s) continue;
      for (let q = begin[c]; q < end[c]; q++) {
        const into = cluster[edge[q]];
        if (side[edge[q]] !== s || side[local[into]] !== s) continue;
        weight[cluster[c]] -= 1;
        weight[into] += 1;
        cluster[c] = into;
        mixed[into] = 1;
        for (let r = begin[c]; r < end[c]; r++) mixed[cluster[edge[r]]] = 1;
        break;
      }
    }
    for (let k = 0; k < g.candidateCount; k++) {
      const c = candidates[k];
      const s = side[c];
      for (let q = begin[c]; q < end[c]; ) {
        if (side[edge[q]] === s) {
          q++;
          continue;
        }
        end[c] -= 1;
        edge[q] = edge[end[c]];
      }
      pull[c] = end[c] - begin[c];
      gain[c] = -pull[c];
    }

    const middle = splitList(list, from, to, side, spare);
    if (middle === from || middle === to) continue;
    for (let k = clusterFrom; k < clusterTo; k++) side[clusterList[k]] = side[k + shift];
    const clusterMiddle = splitList(clusterList, clusterFrom, clusterTo, side, spare);
    const at = 5 * height;
    stack[at] = middle;
    stack[at + 1] = to;
    stack[at + 2] = clusterMiddle;
    stack[at + 3] = clusterTo;
    stack[at + 4] = part;
    stack[at + 5] = from;
    stack[at + 6] = middle;
    stack[at + 7] = clusterFrom;
    stack[at + 8] = clusterMiddle;
    stack[at + 9] = part;
    height += 2;
  }

  // a node goes with the smallest part that holds all its sets; parts are worked off from the last, children first
  const stage = ints(n).fill(-1);
  for (let c = 0; c < cliques; c++) {
    for (let q = cliquePtr[c]; q < cliquePtr[c + 1]; q++) {
      const i = cliqueNodes[q];
      let a = stage[i];
      let b = partOf[c];
      if (a === -1) a = b;
      while (a !== b) {
        if (a > b) a = parent[a];
        else b = parent[b];
      }
      stage[i] = a;
    }
  }
  const out = new Dissection();
  for (let i = 0; i < n; i++) stage[i] = stage[i] === -1 ? 0 : parts - 1 - stage[i];
  out.stage = stage;
  out.parent = ints(parts);
  for (let p = 0; p < parts; p++) {
    out.parent[parts - 1 - p] = parent[p] === -1 ? -1 : parts - 1 - parent[p];
  }
  return out;
}

/** Side 0 first, both in the order they had; returns where side 1 begins. */
function splitList(list: Ints, from: int, to: int, side: Ints, spare: Ints): int {
  let left = from;
  let right = 0;
  for (let k = from; k < to; k++) {
    const c = list[k];
    if (side[c] === 0) list[left++] = c;
    else spare[right++] = c;
  }
  for (let k = 0; k < right; k++) list[left + k] = spare[k];
  return left;
}

/** Sets that one side of a part of `count` may have. */
function largestSide(count: int): int {
  return (count >> 6) * LARGER + (((count & 63) * LARGER) >> 6) + 1;
}

/** Cuts the graph of a level, `count` sets in all: leaves `side` and `gain` of its vertices. */
function bisect(g: Levels, bottom: int, count: int): void {
  const heaviest = Math.floor((3 * count) / (2 * COARSEST)) as int;
  let level = bottom;
  while (level < 60 && g.first[level + 1] - g.first[level] > COARSEST && coarsen(g, level, heaviest)) level++;
  firstCut(g, level, count);
  while (level > bottom) {
    level--;
    project(g, level);
    refine(g, g.widest[level], largestSide(count));
  }
}

/** Makes the next level, merging vertices to `heaviest` sets at most; false where too many are left, or there is no room. */
function coarsen(g: Levels, level: int, heaviest: int): boolean {
  const first = g.first[level];
  const stop = g.first[level + 1];
  const coarse = g.coarse;
  const weight = g.weight;
  const begin = g.begin;
  const end = g.end;
  const edge = g.edge;
  const edgeWeight = g.edgeWeight;
  if (stop === first) return false;
  const edgeStop = end[stop - 1];
  if (2 * edgeStop - begin[first] > edge.length || 2 * stop - first > coarse.length) return false;
  for (let v = first; v < stop; v++) coarse[v] = -1;
  const member = g.next; // the next vertex in the same coarse one
  const leader = g.last; // the first
  let made = stop;
  for (let v = first; v < stop; v++) {
    if (coarse[v] !== -1) continue;
    // a free neighbour it is tied to most, the lightest of such; if none is free, the like among what is made
    let best = -1;
    let bestWeight = 0;
    for (let q = begin[v]; q < end[v]; q++) {
      const u = edge[q];
      if (coarse[u] !== -1 || weight[u] + weight[v] > heaviest) continue;
      const w = edgeWeight[q];
      if (w > bestWeight || (w === bestWeight && weight[u] < weight[best])) {
        best = u;
        bestWeight = w;
      }
    }
    if (best === -1) {
      for (let q = begin[v]; q < end[v]; q++) {
        const c = coarse[edge[q]];
        if (c === -1 || weight[c] + weight[v] > heaviest) continue;
        const w = edgeWeight[q];
        if (w > bestWeight || (w === bestWeight && weight[c] < weight[best])) {
          best = c;
          bestWeight = w;
        }
      }
      if (best !== -1) {
        coarse[v] = best;
        weight[best] += weight[v];
        member[v] = member[leader[best]];
        member[leader[best]] = v;
        continue;
      }
    }
    coarse[v] = made;
    leader[made] = v;
    weight[made] = weight[v];
    member[v] = best;
    if (best !== -1) {
      coarse[best] = made;
      weight[made] += weight[best];
      member[best] = -1;
    }
    made++;
  }
  if (4 * (made - stop) > 3 * (stop - first)) return false;
  const place = g.candidates; // of the edge to a vertex
  for (let c = stop; c < made; c++) place[c] = -1;
  let free = edgeStop;
  let widest = 0;
  for (let c = stop; c < made; c++) {
    const own = free;
    let links = 0;
    begin[c] = own;
    for (let v = leader[c]; v !== -1; v = member[v]) {
      for (let q = begin[v]; q < end[v]; q++) {
        const d = coarse[edge[q]];
        if (d === c) continue;
        const w = edgeWeight[q];
        links += w;
        const at = place[d];
        if (at >= own) edgeWeight[at] += w;
        else {
          place[d] = free;
          edge[free] = d;
          edgeWeight[free++] = w;
        }
      }
    }
    end[c] = free;
    g.pull[c] = links;
    widest = most(widest, links);
  }
  g.first[level + 2] = made;
  g.widest[level + 1] = widest;
  return true;
}

/** Sides, gains and what is at the cut on a level from the next. */
function project(g: Levels, level: int): void {
  const stop = g.first[level + 1];
  const coarse = g.coarse;
  const side = g.side;
  const gain = g.gain;
  const pull = g.pull;
  const edge = g.edge;
  const edgeWeight = g.edgeWeight;
  const begin = g.begin;
  const end = g.end;
  const candidates = g.candidates;
  let count = 0;
  for (let v = g.first[level]; v < stop; v++) {
    const c = coarse[v];
    const s = side[c];
    side[v] = s;
    let total = -pull[v];
    if (gain[c] !== -pull[c]) {
      for (let q = begin[v]; q < end[v]; q++) {
        if (side[coarse[edge[q]]] !== s) total += 2 * edgeWeight[q];
      }
    }
    gain[v] = total;
    if (total !== -pull[v]) candidates[count++] = v;
  }
  g.candidateCount = count;
}

/** The shortest of several cuts grown from seeds spread over the level. */
function firstCut(g: Levels, level: int, count: int): void {
  const first = g.first[level];
  const stop = g.first[level + 1];
  const vertices = stop - first;
  const side = g.side;
  const limit = largestSide(count);
  const tries = count > LARGE ? LARGE_TRIES : count > MIDDLING ? MIDDLING_TRIES : SMALL_TRIES;
  const best = g.moved; // the end of it, which moves of so few vertices do not reach
  const keep = best.length - stop;
  let bestCut = -1;
  for (let t = 0; t < tries; t++) {
    grow(g, level, first + (Math.floor(((2 * t + 1) * vertices) / (2 * tries)) as int), count);
    refine(g, g.widest[level], limit);
    const cut = most(g.side0, g.side1) <= limit ? g.cut : 2 * g.cut + count;
    if (bestCut !== -1 && cut >= bestCut) continue;
    bestCut = cut;
    for (let v = first; v < stop; v++) best[keep + v] = side[v];
  }
  g.cut = 0;
  g.side0 = 0;
  for (let v = first; v < stop; v++) {
    side[v] = best[keep + v];
    if (side[v] === 0) g.side0 += g.weight[v];
  }
  g.side1 = count - g.side0;
  for (let v = first; v < stop; v++) {
    let across = 0;
    for (let q = g.begin[v]; q < g.end[v]; q++) if (side[g.edge[q]] !== side[v]) across += g.edgeWeight[q];
    g.gain[v] = 2 * across - g.pull[v];
    g.cut += across;
  }
  g.cut >>= 1;
}

/** Side 0 grown from a seed to half of all, each time by the vertex that makes the cut least. */
function grow(g: Levels, level: int, seed: int, count: int): void {
  const first = g.first[level];
  const stop = g.first[level + 1];
  for (let v = first; v < stop; v++) {
    g.side[v] = 1;
    g.gain[v] = -g.pull[v];
    g.listed[v] = 0;
  }
  g.side0 = 0;
  g.side1 = count;
  g.cut = 0;
  g.candidateCount = 0;
  openLists(g, g.widest[level]);
  let v = seed;
  let untouched = first;
  while (2 * g.side0 < count) {
    if (v === -1) {
      // a graph in pieces: on with the next one
      while (g.side[untouched] === 0) untouched++;
      v = untouched;
    } else if (g.listed[v] === 1) unlist(g, v);
    g.listed[v] = 2;
    move(g, v, true);
    v = bestOf(g, 1);
  }
  g.candidateCount = 0;
  for (let u = first; u < stop; u++) {
    g.listed[u] = 0;
    if (g.gain[u] !== -g.pull[u]) g.candidates[g.candidateCount++] = u;
  }
}

/** Moves vertices across the cut, those in `candidates` being at it, to make it shorter, no side growing beyond `limit`. */
function refine(g: Levels, widest: int, limit: int): void {
  const moved = g.moved;
  const candidates = g.candidates;
  openLists(g, widest);
  for (let pass = 0; pass < PASSES; pass++) {
    const known = g.candidateCount;
    g.candidateCount = 0;
    for (let k = 0; k < known; k++) {
      const v = candidates[k];
      if (pass > 0 && g.gain[v] === -g.pull[v]) continue;
      candidates[g.candidateCount++] = v;
      enlist(g, v);
    }
    const cutBefore = g.cut;
    let bestCut = g.cut;
    let bestLarger = most(g.side0, g.side1);
    const overBefore = bestLarger > limit;
    let over = overBefore;
    let bestMoves = 0;
    let moves = 0;
    while (moves - bestMoves < PATIENCE) {
      const a = bestOf(g, 0);
      const b = bestOf(g, 1);
      const aFits = a !== -1 && (g.side0 > limit || g.side1 + g.weight[a] <= limit);
      const bFits = b !== -1 && (g.side1 > limit || g.side0 + g.weight[b] <= limit);
      let v = -1;
      if (aFits && bFits) {
        if (g.gain[a] === g.gain[b]) v = g.side0 > g.side1 ? a : b;
        else v = g.gain[a] > g.gain[b] ? a : b;
      } else if (aFits) v = a;
      else if (bFits) v = b;
      if (v === -1) break;
      unlist(g, v);
      g.listed[v] = 2;
      move(g, v, true);
      moved[moves++] = v;
      const larger = most(g.side0, g.side1);
      const better = over
        ? larger < bestLarger
        : larger <= limit && (g.cut < bestCut || (g.cut === bestCut && larger < bestLarger));
      if (!better) continue;
      bestCut = g.cut;
      bestLarger = larger;
      bestMoves = moves;
      over = larger > limit;
    }
    for (let k = 0; k < g.candidateCount; k++) {
      const v = candidates[k];
      if (g.listed[v] === 1) unlist(g, v);
      g.listed[v] = 0;
    }
    g.top[0] = -1;
    g.top[1] = -1;
    while (moves > bestMoves) move(g, moved[--moves], false);
    if (g.cut >= cutBefore && !overBefore) break;
  }
}

/** Moves a vertex that is in no list to the other side; with `lists` its neighbours go where their gains now belong. */
function move(g: Levels, v: int, lists: boolean): void {
  const s = 1 - g.side[v];
  const w = s === 0 ? g.weight[v] : -g.weight[v];
  g.side0 += w;
  g.side1 -= w;
  const side = g.side;
  const gain = g.gain;
  const edge = g.edge;
  const edgeWeight = g.edgeWeight;
  const listed = g.listed;
  g.cut -= gain[v];
  gain[v] = -gain[v];
  side[v] = s;
  const end = g.end[v];
  for (let q = g.begin[v]; q < end; q++) {
    const u = edge[q];
    const w2 = 2 * edgeWeight[q];
    const after = side[u] === s ? gain[u] - w2 : gain[u] + w2;
    const state = listed[u];
    if (!lists || state === 2) {
      gain[u] = after;
      continue;
    }
    if (state === 1) unlist(g, u);
    else g.candidates[g.candidateCount++] = u;
    gain[u] = after;
    enlist(g, u);
  }
}

/** Empties the lists, for gains up to `widest`. */
function openLists(g: Levels, widest: int): void {
  g.reach = widest;
  for (let k = 0; k < 4 * widest + 2; k++) g.head[k] = -1;
  g.top[0] = -1;
  g.top[1] = -1;
}

function enlist(g: Levels, v: int): void {
  const s = g.side[v];
  const rank = g.gain[v] + g.reach;
  const first = g.head[2 * rank + s];
  g.next[v] = first;
  g.last[v] = -1;
  if (first !== -1) g.last[first] = v;
  g.head[2 * rank + s] = v;
  g.listed[v] = 1;
  if (rank > g.top[s]) g.top[s] = rank;
}

function unlist(g: Levels, v: int): void {
  const before = g.last[v];
  const after = g.next[v];
  if (after !== -1) g.last[after] = before;
  if (before !== -1) g.next[before] = after;
  else g.head[2 * (g.gain[v] + g.reach) + g.side[v]] = after;
}

/** A vertex of a side with the greatest gain, the one last listed, or -1. */
function bestOf(g: Levels, s: int): int {
  let rank = g.top[s];
  while (rank >= 0 && g.head[2 * rank + s] === -1) rank--;
  g.top[s] = rank;
  return rank < 0 ? -1 : g.head[2 * rank + s];
}
