/**
 * How model millimetres land on the sheet: turn about the origin, scale, y upwards made downwards.
 * `cos`, `sin` of the turn are kept so that quarter turns are exact.
 */
export interface View {
  readonly cos: number;
  readonly sin: number;
  /** Sheet units per mm. */
  readonly scale: number;
  /** Sheet position of the model's origin. */
  readonly x: number;
  readonly y: number;
}

/** Sheet abscissa of a model point. */
export function sheetX(v: View, x: number, y: number): number {
  return v.x + v.scale * (v.cos * x - v.sin * y);
}

/** Sheet ordinate of a model point. */
export function sheetY(v: View, x: number, y: number): number {
  return v.y - v.scale * (v.sin * x + v.cos * y);
}

/** Model point under a sheet point, `[x, y]` mm. */
export function modelPoint(v: View, sx: number, sy: number): [number, number] {
  const a = (sx - v.x) / v.scale;
  const b = (v.y - sy) / v.scale;
  return [v.cos * a + v.sin * b, -v.sin * a + v.cos * b];
}

/** Width of the sheet in its own units and on paper (A4 landscape), mm; scales are stated for that paper. */
export const SHEET_WIDTH = 1200;
export const SHEET_HEIGHT = 880;
export const PAPER_WIDTH = 297;
export const UNITS_PER_PAPER_MM = SHEET_WIDTH / PAPER_WIDTH;

const STEPS = [1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8];

/** Largest round drawing ratio (1, 1.2, 1.5 … × power of ten) not above `ratio`. */
export function roundRatio(ratio: number): number {
  const decade = 10 ** Math.floor(Math.log10(ratio) + 1e-12);
  let best = decade;
  for (const s of STEPS) if (s * decade <= ratio * (1 + 1e-12)) best = s * decade;
  return Number(best.toPrecision(3));
}

/** "12:1", or "1:2.5" when the part is drawn smaller than it is. */
export function ratioText(ratio: number): string {
  return ratio >= 1 ? `${Number(ratio.toPrecision(3))}:1` : `1:${Number((1 / ratio).toPrecision(3))}`;
}
