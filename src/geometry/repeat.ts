import { type Motion, moveCurve } from "./curve.ts";
import { checkOutline, type Edge, type Outline, type Tie } from "./outline.ts";

/** The motion made k times over (k ≥ 0), without piling up rounding. */
export function repeatMotion(m: Motion, k: number): Motion {
  if (m.angle === 0) return { angle: 0, dx: k * m.dx, dy: k * m.dy };
  if (m.dx === 0 && m.dy === 0) return { angle: k * m.angle, dx: 0, dy: 0 };
  // a turn about the point that stays put: c = (I − R)⁻¹ d
  const cos = Math.cos(m.angle);
  const sin = Math.sin(m.angle);
  const det = 2 - 2 * cos;
  const cx = ((1 - cos) * m.dx - sin * m.dy) / det;
  const cy = (sin * m.dx + (1 - cos) * m.dy) / det;
  const angle = k * m.angle;
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  return { angle, dx: cx - c * cx + s * cy, dy: cy - s * cx - c * cy };
}

/** True when n copies go all the way round, so that the last one meets the first. */
export function closesAfter(m: Motion, n: number): boolean {
  const turns = (n * m.angle) / (2 * Math.PI);
  return m.angle !== 0 && Math.abs(turns - Math.round(turns)) < 1e-9 && Math.abs(Math.round(turns)) === 1;
}

/**
 * The whole part made of n copies of a repeating sector: copy k (0 … n − 1) is the sector moved k times by its
 * tie's motion, its edges named `${name}#${k}`. The tied cut sides vanish where copies meet and the free pieces
 * join into closed loops. Where the last copy does not meet the first (a translation, or too few turns), the two
 * outermost cut sides stay and are tied by n times the motion.
 * @throws Error unless the outline has exactly one tie and n is a whole number ≥ 1 (≥ 2 for a full turn).
 */
export function repeatOutline(outline: Outline, n: number): Outline {
  const tie = repeatingTie(outline, n);
  const closed = closesAfter(tie.motion, n);
  if (closed && n < 2) throw new Error("repeatOutline: one copy cannot meet itself");
  const sector: Edge[] = [];
  const after: number[] = [];
  for (const loop of outline.loops) {
    const first = sector.length;
    for (const [k, edge] of loop.entries()) {
      sector.push(edge);
      after.push(first + ((k + 1) % loop.length));
    }
  }
  const index = new Map(sector.map((e, k) => [e.name, k]));
  const leaderOf = new Map<number, number>();
  const followerOf = new Map<number, number>();
  for (const [k, name] of tie.leader.entries()) {
    const lead = index.get(name)!;
    const follow = index.get(tie.follower[k]!)!;
    leaderOf.set(follow, lead);
    followerOf.set(lead, follow);
  }
  const stays = (k: number, e: number) =>
    followerOf.has(e) ? !closed && k === 0 : leaderOf.has(e) ? !closed && k === n - 1 : true;
  /** The edge that follows edge e of copy k, as [copy, edge], stepping over vanished cuts into the next copy. */
  const next = (k: number, e: number): [number, number] => {
    let copy = k;
    let edge = after[e]!;
    for (let guard = 0; !stays(copy, edge); guard++) {
      if (guard > 2 * n + 2) throw new Error(`repeatOutline: no free edge follows "${sector[e]!.name}"`);
      // a follower starts where its leader, in the next copy, ends; a leader where its follower before ends
      const lead = leaderOf.get(edge);
      if (lead !== undefined) {
        copy = (copy + 1) % n;
        edge = after[lead]!;
      } else {
        copy = (copy + n - 1) % n;
        edge = after[followerOf.get(edge)!]!;
      }
    }
    return [copy, edge];
  };
  const motions = Array.from({ length: n }, (_, k) => repeatMotion(tie.motion, k));
  const used = new Set<number>();
  const loops: Edge[][] = [];
  for (let k = 0; k < n; k++) {
    for (let e = 0; e < sector.length; e++) {
      if (!stays(k, e) || used.has(k * sector.length + e)) continue;
      const loop: Edge[] = [];
      let copy = k;
      let edge = e;
      while (!used.has(copy * sector.length + edge)) {
        used.add(copy * sector.length + edge);
        const { name, zone, curve } = sector[edge]!;
        loop.push({ name: `${name}#${copy}`, zone, curve: moveCurve(motions[copy]!, curve) });
        [copy, edge] = next(copy, edge);
      }
      loops.push(loop);
    }
  }
  if (closed) return checked({ loops });
  const outer: Tie = {
    leader: tie.leader.map((name) => `${name}#0`),
    follower: tie.follower.map((name) => `${name}#${n - 1}`),
    motion: repeatMotion(tie.motion, n),
  };
  return checked({ loops, ties: [outer] });
}

function checked(outline: Outline): Outline {
  checkOutline(outline);
  return outline;
}

/** The one tie that makes an outline a repeating sector. */
export function repeatingTie(outline: Outline, n: number): Tie {
  const ties = outline.ties ?? [];
  if (ties.length !== 1)
    throw new Error(`repeat: a repeating sector has one tie, this outline has ${ties.length}`);
  if (!(Number.isInteger(n) && n >= 1)) throw new Error(`repeat: cannot make ${n} copies`);
  return ties[0]!;
}
