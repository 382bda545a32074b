import { int } from "./address";

/**
 * Stiffness of straight-sided six-node triangles added into a matrix of 2×2 blocks: the same operations in the same order
 * as `elementBlocks` and `addStraightElements` in TypeScript. A block is two vectors: its first column, its second.
 */

const THIRD: f64 = 1.0 / 3.0;
const FOUR_THIRDS: f64 = 4.0 / 3.0;
const EIGHT_THIRDS: f64 = 8.0 / 3.0;

/**
 * Adds all elements whose sides are straight and none of whose nodes is `special` (a byte each) into `values` by `place`.
 * The others are listed in `rest`, and their number is returned; or -1 - e where element e is inside out.
 */
export function addStraightElements(
  xy: usize,
  elements: usize,
  count: i32,
  special: usize,
  place: usize,
  values: usize,
  rest: usize,
  a11: f64,
  a12: f64,
  a33: f64,
): i32 {
  const first = f64x2.replace_lane(f64x2.splat(a11), 1, a12);
  const second = f64x2.replace_lane(f64x2.splat(a12), 1, a11);
  const shear = f64x2.splat(a33);
  const m1 = f64x2.splat(-THIRD);
  const m4 = f64x2.splat(FOUR_THIRDS);
  const m8 = f64x2.splat(EIGHT_THIRDS);
  let others = 0;
  for (let e = 0; e < count; e++, elements += 24, place += 84) {
    const i0 = int(elements, 0);
    const i1 = int(elements, 1);
    const i2 = int(elements, 2);
    const i3 = int(elements, 3);
    const i4 = int(elements, 4);
    const i5 = int(elements, 5);
    const marks =
      load<u8>(special + <usize>i0) |
      load<u8>(special + <usize>i1) |
      load<u8>(special + <usize>i2) |
      load<u8>(special + <usize>i3) |
      load<u8>(special + <usize>i4) |
      load<u8>(special + <usize>i5);
    const c0 = xy + ((<usize>i0) << 4);
    const c1 = xy + ((<usize>i1) << 4);
    const c2 = xy + ((<usize>i2) << 4);
    if (
      marks !== 0 ||
      bent(c0, c1, xy + ((<usize>i3) << 4)) ||
      bent(c1, c2, xy + ((<usize>i4) << 4)) ||
      bent(c2, c0, xy + ((<usize>i5) << 4))
    ) {
      store<i32>(rest + ((<usize>others) << 2), e);
      others++;
      continue;
    }
    const ax = load<f64>(c1) - load<f64>(c0);
    const ay = load<f64>(c1, 8) - load<f64>(c0, 8);
    const bx = load<f64>(c2) - load<f64>(c0);
    const by = load<f64>(c2, 8) - load<f64>(c0, 8);
    const det = ax * by - ay * bx; // twice the area
    if (!(det > 0)) return -1 - e;
    // ∇L_i times det, and the same times A / det²
    const f = f64x2.splat(1 / (2 * det));
    const x0 = f64x2.splat(ay - by);
    const y0 = f64x2.splat(bx - ax);
    const x1 = f64x2.splat(by);
    const y1 = f64x2.splat(-bx);
    const x2 = f64x2.splat(-ay);
    const y2 = f64x2.splat(ax);
    const g0 = f64x2.mul(f, v128.shuffle<f64>(x0, y0, 0, 2));
    const g1 = f64x2.mul(f, v128.shuffle<f64>(x1, y1, 0, 2));
    const g2 = f64x2.mul(f, v128.shuffle<f64>(x2, y2, 0, 2));

    let l = f64x2.mul(g0, x0);
    let r = f64x2.mul(g0, y0);
    const l00 = leftOf(l, r, first, shear);
    const r00 = rightOf(l, r, second, shear);
    l = f64x2.mul(g0, x1);
    r = f64x2.mul(g0, y1);
    const l01 = leftOf(l, r, first, shear);
    const r01 = rightOf(l, r, second, shear);
    l = f64x2.mul(g0, x2);
    r = f64x2.mul(g0, y2);
    const l02 = leftOf(l, r, first, shear);
    const r02 = rightOf(l, r, second, shear);
    l = f64x2.mul(g1, x0);
    r = f64x2.mul(g1, y0);
    const l10 = leftOf(l, r, first, shear);
    const r10 = rightOf(l, r, second, shear);
    l = f64x2.mul(g1, x1);
    r = f64x2.mul(g1, y1);
    const l11 = leftOf(l, r, first, shear);
    const r11 = rightOf(l, r, second, shear);
    l = f64x2.mul(g1, x2);
    r = f64x2.mul(g1, y2);
    const l12 = leftOf(l, r, first, shear);
    const r12 = rightOf(l, r, second, shear);
    l = f64x2.mul(g2, x0);
    r = f64x2.mul(g2, y0);
    const l20 = leftOf(l, r, first, shear);
    const r20 = rightOf(l, r, second, shear);
    l = f64x2.mul(g2, x1);
    r = f64x2.mul(g2, y1);
    const l21 = leftOf(l, r, first, shear);
    const r21 = rightOf(l, r, second, shear);
    l = f64x2.mul(g2, x2);
    r = f64x2.mul(g2, y2);
    const l22 = leftOf(l, r, first, shear);
    const r22 = rightOf(l, r, second, shear);

    // the pairs with a block, in order; 32, 40 and 51 have none
    add(values, int(place, 0), l00, r00);
    add(values, int(place, 1), f64x2.mul(m1, l10), f64x2.mul(m1, r10));
    add(values, int(place, 2), l11, r11);
    add(values, int(place, 3), f64x2.mul(m1, l20), f64x2.mul(m1, r20));
    add(values, int(place, 4), f64x2.mul(m1, l21), f64x2.mul(m1, r21));
    add(values, int(place, 5), l22, r22);
    add(values, int(place, 6), f64x2.mul(m4, l10), f64x2.mul(m4, r10));
    add(values, int(place, 7), f64x2.mul(m4, l01), f64x2.mul(m4, r01));
    add(
      values,
      int(place, 9),
      sum(m8, l00, m4, l01, m4, l10, m8, l11),
      sum(m8, r00, m4, r01, m4, r10, m8, r11),
    );
    add(values, int(place, 11), f64x2.mul(m4, l21), f64x2.mul(m4, r21));
    add(values, int(place, 12), f64x2.mul(m4, l12), f64x2.mul(m4, r12));
    add(
      values,
      int(place, 13),
      sum(m4, l10, m4, l11, m8, l20, m4, l21),
      sum(m4, r10, m4, r11, m8, r20, m4, r21),
    );
    add(
      values,
      int(place, 14),
      sum(m8, l11, m4, l12, m4, l21, m8, l22),
      sum(m8, r11, m4, r12, m4, r21, m8, r22),
    );
    add(values, int(place, 15), f64x2.mul(m4, l20), f64x2.mul(m4, r20));
    add(values, int(place, 17), f64x2.mul(m4, l02), f64x2.mul(m4, r02));
    add(
      values,
      int(place, 18),
      sum(m4, l00, m4, l01, m4, l20, m8, l21),
      sum(m4, r00, m4, r01, m4, r20, m8, r21),
    );
    add(
      values,
      int(place, 19),
      sum(m8, l01, m4, l02, m4, l21, m4, l22),
      sum(m8, r01, m4, r02, m4, r21, m4, r22),
    );
    add(
      values,
      int(place, 20),
      sum(m8, l00, m4, l02, m4, l20, m8, l22),
      sum(m8, r00, m4, r02, m4, r20, m8, r22),
    );
  }
  return others;
}

/** Whether the node at `m` is not midway between those at `a` and `b`: see `isStraight`. */
function bent(a: usize, b: usize, m: usize): bool {
  const ax = load<f64>(a);
  const ay = load<f64>(a, 8);
  const dx = load<f64>(b) - ax;
  const dy = load<f64>(b, 8) - ay;
  const ox = load<f64>(m) - ax - 0.5 * dx;
  const oy = load<f64>(m, 8) - ay - 0.5 * dy;
  return ox * ox + oy * oy > 1e-24 * (dx * dx + dy * dy);
}

/** First column of a block with the moduli, from its columns without: a11 xx + a33 yy, a12 yx + a33 xy. */
function leftOf(l: v128, r: v128, first: v128, shear: v128): v128 {
  return f64x2.add(f64x2.mul(first, l), f64x2.mul(shear, v128.shuffle<f64>(r, r, 1, 0)));
}

/** Second column: a12 xy + a33 yx, a11 yy + a33 xx. */
function rightOf(l: v128, r: v128, second: v128, shear: v128): v128 {
  return f64x2.add(f64x2.mul(second, r), f64x2.mul(shear, v128.shuffle<f64>(l, l, 1, 0)));
}

/** The sum of four multiples, from left to right. */
function sum(ma: v128, a: v128, mb: v128, b: v128, mc: v128, c: v128, md: v128, d: v128): v128 {
  return f64x2.add(
    f64x2.add(f64x2.add(f64x2.mul(ma, a), f64x2.mul(mb, b)), f64x2.mul(mc, c)),
    f64x2.mul(md, d),
  );
}

/** Adds a block as its code says, see `ElementPattern`; which way it lies is chosen without branching. */
function add(values: usize, code: i32, left: v128, right: v128): void {
  if (code < 0) return;
  const at = values + ((<usize>(code & ~3)) << 3);
  const upper = v128.shuffle<f64>(left, right, 0, 2);
  const lower = v128.shuffle<f64>(left, right, 1, 3);
  if (code & 2) {
    v128.store(at, f64x2.add(v128.load(at), f64x2.add(left, upper)));
    v128.store(at, f64x2.add(v128.load(at, 16), f64x2.add(lower, right)), 16);
    return;
  }
  const turned = i64x2.splat(-(<i64>(code & 1)));
  v128.store(at, f64x2.add(v128.load(at), v128.bitselect(upper, left, turned)));
  v128.store(at, f64x2.add(v128.load(at, 16), v128.bitselect(lower, right, turned)), 16);
}
