import { escapeXml } from "./escapeXml.ts";

/** Line colours of every sheet: dark ink, and a lighter one for what is measured or explained. */
export const INK = "#1b2430";
export const SOFT_INK = "#586472";
export const LETTERING = "Arial,'Liberation Sans',Helvetica,sans-serif";

/** A number with at most two places. */
export function num(value: number): string {
  const n = Math.round(value * 100) / 100;
  return String(n === 0 ? 0 : n);
}

export interface TextStyle {
  readonly size?: number;
  readonly anchor?: "start" | "middle" | "end";
  readonly bold?: boolean;
  readonly colour?: string;
  /** White edge, so that lettering on colour stays readable. */
  readonly halo?: boolean;
  /** Degrees, clockwise on the sheet. */
  readonly turn?: number;
}

/** One line of lettering at its baseline; `content` is escaped here. */
export function textAt(x: number, y: number, content: string, style: TextStyle = {}): string {
  const { size = 11, anchor = "start", bold = false, colour = INK, halo = false, turn = 0 } = style;
  return (
    `<text x="${num(x)}" y="${num(y)}" font-size="${size}" fill="${colour}"` +
    (anchor === "start" ? "" : ` text-anchor="${anchor}"`) +
    (bold ? ' font-weight="bold"' : "") +
    (halo ? ' stroke="#fff" stroke-width="3" stroke-linejoin="round" paint-order="stroke"' : "") +
    (turn === 0 ? "" : ` transform="rotate(${num(turn)} ${num(x)} ${num(y)})"`) +
    `>${escapeXml(content)}</text>`
  );
}

/** A stroked path. `extra` are further attributes. */
export function strokeAt(d: string, width = 0.8, colour = INK, extra = ""): string {
  return d === ""
    ? ""
    : `<path d="${d}" fill="none" stroke="${colour}" stroke-width="${width}"${extra ? ` ${extra}` : ""}/>`;
}

/** A straight line. */
export function lineAt(
  x0: number,
  y0: number,
  x1: number,
  y1: number,
  width = 0.8,
  colour = INK,
  extra = "",
): string {
  return strokeAt(`M${num(x0)} ${num(y0)}L${num(x1)} ${num(y1)}`, width, colour, extra);
}

/** Long-short-long dashes of a centre line or pitch line. */
export const CHAIN = 'stroke-dasharray="12 3 2 3"';

/** Filled arrow head with its point at (x, y), flying in direction (dx, dy) (unit). */
export function arrowHead(x: number, y: number, dx: number, dy: number, size = 6): string {
  const bx = x - size * dx;
  const by = y - size * dy;
  const w = size * 0.24;
  return `M${num(x)} ${num(y)}L${num(bx - w * dy)} ${num(by + w * dx)}L${num(bx + w * dy)} ${num(by - w * dx)}Z`;
}
