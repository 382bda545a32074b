import { postorder } from "./eliminationTree.ts";
import { floats, type Ints, type int, ints } from "./flat.ts";

/**
 * A child front is merged into its parent when the joint front has at most `MERGE_PIVOTS[s]` pivot nodes and zeros
 * make up at most `MERGE_ZEROS[s]` of it, for some s. Zeros cost work; small fronts cost more, in calls and moves.
 * Set by measurement on graded meshes of six-node triangles.
 */
const MERGE_PIVOTS: number[] = [4, 8, 16, 48];
const MERGE_ZEROS: number[] = [0.8, 0.3, 0.1, 0.05];

export class Fronts {
  /** Front of each column. */
  frontOf!: Ints;
  /** First column of each front once columns are sorted by front; length fronts + 1. */
  frontFirst!: Ints;
  /** Rows below the pivots of each front. */
  frontBelow!: Ints;
  /** Parent front, -1 for roots; children come first, subtrees are contiguous. */
  frontParent!: Ints;
}

/**
 * Groups the columns of a postordered elimination tree (`parent`, with `counts` entries a column, diagonal counted)
 * into fronts: columns of equal structure first, then children into parents as far as that pays. Siblings are ordered
 * so that little is stacked: those that need more while worked on, beyond what they leave, come first
 * (J. W. H. Liu, ACM Trans. Math. Softw. 12(3), 1986).
 */
export function mergeFronts(parent: Ints, counts: Ints): Fronts {
  const n = parent.length;
  const children = ints(n);
  for (let j = 0; j < n; j++) if (parent[j] !== -1) children[parent[j]] += 1;

  // columns of equal structure: each an only child one entry longer than its parent
  const groupOf = ints(n);
  const groupFirst = ints(n + 1);
  let groups = 0;
  for (let j = 0; j < n; j++) {
    const joins = j > 0 && parent[j - 1] === j && counts[j - 1] === counts[j] + 1 && children[j] === 1;
    if (!joins) groupFirst[groups++] = j;
    groupOf[j] = groups - 1;
  }
  groupFirst[groups] = n;
  const groupParent = ints(groups);
  const pivots = floats(groups); // nodes
  const below = floats(groups);
  const zeros = floats(groups); // blocks kept though zero
  for (let g = 0; g < groups; g++) {
    const last = groupFirst[g + 1] - 1;
    groupParent[g] = parent[last] === -1 ? -1 : groupOf[parent[last]];
    pivots[g] = last + 1 - groupFirst[g];
    below[g] = counts[last] - 1;
  }

  // children before parents, so a child's own merging is over when it is looked at
  const into = ints(groups); // group a group was merged into; itself if it stays
  for (let g = 0; g < groups; g++) {
    into[g] = g;
    const up = groupParent[g];
    if (up === -1) continue;
    const joint = pivots[g] + pivots[up];
    const added = pivots[g] * (pivots[up] + below[up] - below[g]);
    const total = zeros[g] + zeros[up] + added;
    const share = total / (joint * ((joint + 1) / 2 + below[up]));
    let merge = added === 0;
    for (let s = 0; !merge && s < MERGE_PIVOTS.length; s++) {
      merge = joint <= MERGE_PIVOTS[s] && share <= MERGE_ZEROS[s];
    }
    if (!merge) continue;
    into[g] = up;
    pivots[up] = joint;
    zeros[up] = total;
  }
  for (let g = groups - 1; g >= 0; g--) if (into[g] !== g) into[g] = into[into[g]];

  // number what stays
  const number = ints(groups).fill(-1);
  let fronts = 0;
  for (let g = 0; g < groups; g++) if (into[g] === g) number[g] = fronts++;
  const roughParent = ints(fronts).fill(-1);
  const columns = ints(fronts);
  const rows = ints(fronts);
  const update = floats(fronts);
  for (let g = 0; g < groups; g++) {
    const f = number[g];
    if (f === -1) continue;
    if (groupParent[g] !== -1) roughParent[f] = number[into[groupParent[g]]];
    columns[f] = pivots[g] as int;
    rows[f] = below[g] as int;
    update[f] = (below[g] * (below[g] + 1)) / 2;
  }
  // stacked numbers while a subtree is worked on, its children in the order found; good enough to sort by
  const need = floats(fronts);
  const held = floats(fronts);
  for (let f = 0; f < fronts; f++) {
    need[f] = Math.max(need[f], held[f] + update[f]);
    const up = roughParent[f];
    if (up === -1) continue;
    need[up] = Math.max(need[up], held[up] + need[f]);
    held[up] += update[f];
  }
  for (let f = 0; f < fronts; f++) need[f] -= update[f];
  const post = postorder(roughParent, need);
  const place = ints(fronts);
  for (let k = 0; k < fronts; k++) place[post[k]] = k;

  const frontFirst = ints(fronts + 1);
  const frontBelow = ints(fronts);
  const frontParent = ints(fronts);
  for (let k = 0; k < fronts; k++) {
    const f = post[k];
    frontFirst[k + 1] = frontFirst[k] + columns[f];
    frontBelow[k] = rows[f];
    frontParent[k] = roughParent[f] === -1 ? -1 : place[roughParent[f]];
  }
  const frontOf = ints(n);
  for (let j = 0; j < n; j++) frontOf[j] = place[number[into[groupOf[j]]]];
  const merged = new Fronts();
  merged.frontOf = frontOf;
  merged.frontFirst = frontFirst;
  merged.frontBelow = frontBelow;
  merged.frontParent = frontParent;
  return merged;
}
