import { type Floats, type Ints, type int, ints } from "./flat.ts";

/**
 * Parent of each column in the elimination tree of a symmetric matrix, -1 for roots. Row `i` of the lower triangle
 * has its columns k < i at `lowers[rowPtr[i]] …`. With the climbing paths shortened as they are walked
 * (J. W. H. Liu, ACM Trans. Math. Softw. 12(2), 1986), nearly linear.
 */
export function eliminationTree(n: int, rowPtr: Ints, lowers: Ints): Ints {
  const parent = ints(n).fill(-1);
  const climb = ints(n).fill(-1);
  for (let i = 0; i < n; i++) {
    for (let p = rowPtr[i]; p < rowPtr[i + 1]; p++) {
      let k = lowers[p];
      while (k !== -1 && k < i) {
        const up = climb[k];
        climb[k] = i;
        if (up === -1) parent[k] = i;
        k = up;
      }
    }
  }
  return parent;
}

/**
 * Order in which children come before parents and each subtree is contiguous: `post[k]` is the k-th vertex. Of
 * the children of a vertex heavier ones come first, equal ones in ascending order.
 */
export function postorder(parent: Ints, weight: Floats): Ints {
  const n = parent.length;
  const firstChild = ints(n).fill(-1);
  const sibling = ints(n).fill(-1);
  for (let i = n - 1; i >= 0; i--) {
    const up = parent[i];
    if (up === -1) continue;
    let before = -1;
    let at = firstChild[up];
    while (at !== -1 && weight[at] > weight[i]) {
      before = at;
      at = sibling[at];
    }
    sibling[i] = at;
    if (before === -1) firstChild[up] = i;
    else sibling[before] = i;
  }
  const post = ints(n);
  const stack = ints(n);
  let count = 0;
  for (let root = 0; root < n; root++) {
    if (parent[root] !== -1) continue;
    let top = 0;
    stack[0] = root;
    while (top >= 0) {
      const i = stack[top];
      const child = firstChild[i];
      if (child === -1) {
        post[count++] = i;
        top--;
      } else {
        firstChild[i] = sibling[child];
        stack[++top] = child;
      }
    }
  }
  return post;
}
