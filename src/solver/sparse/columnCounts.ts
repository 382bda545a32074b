import { type Ints, ints } from "./flat.ts";

/**
 * Entries in each column of the Cholesky factor, the diagonal counted, for a matrix whose elimination tree `parent`
 * is postordered (children before parents, subtrees contiguous). Column `j` of the lower triangle has its rows
 * i > j at `uppers[colPtr[j]] …`, in any order.
 *
 * J. R. Gilbert, E. G. Ng and B. W. Peyton, SIAM J. Matrix Anal. Appl. 15(4), 1994: row i of the factor is a
 * subtree with root i; column j's count is the number of row subtrees that hold j. A subtree's indicator is +1 at its
 * leaves, -1 where the paths of two neighbouring leaves meet, -1 above its root, summed over descendants. Leaves are
 * known by first descendants, meeting points by a union-find over the tree: nearly linear in the matrix.
 */
export function columnCounts(parent: Ints, colPtr: Ints, uppers: Ints): Ints {
  const n = parent.length;
  const first = ints(n); // lowest vertex of each subtree
  for (let j = 0; j < n; j++) first[j] = j;
  for (let j = 0; j < n; j++) {
    const up = parent[j];
    if (up !== -1 && first[j] < first[up]) first[up] = first[j];
  }
  const counts = ints(n);
  const lastLeaf = ints(n).fill(-1); // of row i's subtree
  const set = ints(n);
  for (let j = 0; j < n; j++) set[j] = j;
  for (let j = 0; j < n; j++) {
    if (first[j] === j) counts[j] += 1; // a tree leaf is the leaf of its own row
    const up = parent[j];
    if (up !== -1) counts[up] -= 1;
    for (let p = colPtr[j]; p < colPtr[j + 1]; p++) {
      const i = uppers[p];
      const before = lastLeaf[i];
      if (first[j] <= before) continue; // a neighbour of row i lies below j
      lastLeaf[i] = j;
      counts[j] += 1;
      if (before === -1) continue;
      let meet = before;
      while (meet !== set[meet]) meet = set[meet];
      for (let k = before; k !== meet; ) {
        const next = set[k];
        set[k] = meet;
        k = next;
      }
      counts[meet] -= 1;
    }
    if (up !== -1) set[j] = up;
  }
  for (let j = 0; j < n; j++) {
    if (parent[j] !== -1) counts[parent[j]] += counts[j];
  }
  return counts;
}
