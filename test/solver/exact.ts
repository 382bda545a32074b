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
