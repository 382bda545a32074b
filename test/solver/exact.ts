/** Exact fields used as tractions and answers; formulas and sources as in fixtures/reference/elastic-exact.json. */

/** Writes [sxx, syy, sxy] at (x, y). */
export type StressField = (x: number, y: number) => [number, number, number];

/** Polar stress turned to x, y. */
export function fromPolar(
  sr: number,
  st: number,
  srt: number,
  x: number,
  y: number,
): [number, number, number] {
  const r = Math.hypot(x, y);
  const c = x / r;
  const s = y / r;
  return [
    sr * c * c + st * s * s - 2 * srt * s * c,
    sr * s * s + st * c * c + 2 * srt * s * c,
    (sr - st) * s * c + srt * (c * c - s * s),
  ];
}

/** [sr, st, srt] of a stress at (x, y). */
export function toPolar(
  sxx: number,
  syy: number,
  sxy: number,
  x: number,
  y: number,
): [number, number, number] {
  const r = Math.hypot(x, y);
  const c = x / r;
  const s = y / r;
  return [
    sxx * c * c + syy * s * s + 2 * sxy * s * c,
    sxx * s * s + syy * c * c - 2 * sxy * s * c,
    (syy - sxx) * s * c + sxy * (c * c - s * s),
  ];
}

/** Plate with a hole of radius a under remote tension S along x (Kirsch 1898). */
export const kirsch =
  (S: number, a: number): StressField =>
  (x, y) => {
    const q = (a * a) / (x * x + y * y);
    const th = Math.atan2(y, x);
    const c2 = Math.cos(2 * th);
    return fromPolar(
      (S / 2) * (1 - q) + (S / 2) * (1 - 4 * q + 3 * q * q) * c2,
      (S / 2) * (1 + q) - (S / 2) * (1 + 3 * q * q) * c2,
      (-S / 2) * (1 + 2 * q - 3 * q * q) * Math.sin(2 * th),
      x,
      y,
    );
  };

/** Traction of a field on a surface. */
export const tractionOf =
  (field: StressField) =>
  (x: number, y: number, nx: number, ny: number, out: Float64Array): void => {
    const [sxx, syy, sxy] = field(x, y);
    out[0] = sxx * nx + sxy * ny;
    out[1] = sxy * nx + syy * ny;
  };

/** Thick ring under inner and outer pressure, polar (Lamé 1852). */
export const lame =
  (ri: number, ro: number, pi: number, po: number): StressField =>
  (x, y) => {
    const d = ro * ro - ri * ri;
    const A = (pi * ri * ri - po * ro * ro) / d;
    const B = ((pi - po) * ri * ri * ro * ro) / d;
    const r2 = x * x + y * y;
    return fromPolar(A - B / r2, A + B / r2, 0, x, y);
  };

/** Curved bar a < r < b bent by end couples M, M > 0 opening it (Golovin 1881; Timoshenko & Goodier art. 29). */
export const curvedBarMoment =
  (a: number, b: number, M: number): StressField =>
  (x, y) => {
    const L = Math.log(b / a);
    const N = (b * b - a * a) ** 2 - 4 * a * a * b * b * L * L;
    const r = Math.hypot(x, y);
    const hole = ((a * a * b * b) / (r * r)) * L;
    const rest = b * b * Math.log(r / b) + a * a * Math.log(a / r);
    const c = (-4 * M) / N;
    return fromPolar(c * (hole + rest), c * (-hole + rest + b * b - a * a), 0, x, y);
  };

/** Quarter ring with radial end force P at θ = 0 (Timoshenko & Goodier art. 33). */
export const curvedBarShear =
  (a: number, b: number, P: number): StressField =>
  (x, y) => {
    const N = a * a - b * b + (a * a + b * b) * Math.log(b / a);
    const r = Math.hypot(x, y);
    const th = Math.atan2(y, x);
    const cube = (a * a * b * b) / r ** 3;
    const one = (a * a + b * b) / r;
    const c = P / N;
    return fromPolar(
      c * (r + cube - one) * Math.sin(th),
      c * (3 * r - cube - one) * Math.sin(th),
      -c * (r + cube - one) * Math.cos(th),
      x,
      y,
    );
  };

/** Cantilever 0 ≤ x ≤ L, |y| ≤ c with parabolic shear on x = 0 (Timoshenko & Goodier art. 21). */
export const cantilever =
  (c: number, t: number, P: number): StressField =>
  (x, y) => {
    const I = (2 * c ** 3 * t) / 3;
    return [(-P * x * y) / I, 0, (-P * (c * c - y * y)) / (2 * I)];
  };

/** Half-plane y < 0 with pressure p on |x| ≤ a of its edge (Timoshenko & Goodier art. 37). */
export const stripLoad =
  (p: number, a: number): StressField =>
  (x, y) => {
    const d = -y;
    const t1 = Math.atan2(x + a, d);
    const t2 = Math.atan2(x - a, d);
    const b = t1 - t2;
    const s = (Math.sin(2 * t1) - Math.sin(2 * t2)) / 2;
    return [
      (-p / Math.PI) * (b - s),
      (-p / Math.PI) * (b + s),
      (p / (2 * Math.PI)) * (Math.cos(2 * t2) - Math.cos(2 * t1)),
    ];
  };

/**
 * Wedge |θ| ≤ al about the +x axis, apex at the origin, under a force P per thickness at the apex: `along` the axis
 * (pushing into the wedge, +x) or across it (+y) (Michell; Timoshenko & Goodier art. 38).
 */
export const wedge =
  (al: number, P: number, along: boolean): StressField =>
  (x, y) => {
    const r = Math.hypot(x, y);
    const th = Math.atan2(y, x);
    const sr = along
      ? (-P * Math.cos(th)) / (r * (al + Math.sin(2 * al) / 2))
      : (-P * Math.sin(th)) / (r * (al - Math.sin(2 * al) / 2));
    return fromPolar(sr, 0, 0, x, y);
  };
