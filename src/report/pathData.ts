import type { Polyline } from "./bands.ts";

/**
 * SVG path of polylines in steps of 0.01 sheet unit, relative commands. Each step is the difference of two
 * rounded places, so rounding does not add up along a line.
 */
export function pathData(lines: readonly Polyline[]): string {
  let text = "";
  for (const { points, closed } of lines) {
    let x = Math.round(points[0]! * 100);
    let y = Math.round(points[1]! * 100);
    let piece = "";
    for (let k = 2; k < points.length; k += 2) {
      const nx = Math.round(points[k]! * 100);
      const ny = Math.round(points[k + 1]! * 100);
      if (nx === x && ny === y) continue;
      piece += pair(nx - x, ny - y, piece === "");
      x = nx;
      y = ny;
    }
    if (piece === "") continue; // shrank to a dot
    text += `M${pair(Math.round(points[0]! * 100), Math.round(points[1]! * 100), true)}l${piece}`;
    if (closed) text += "z";
  }
  return text;
}

function pair(x: number, y: number, first: boolean): string {
  const a = hundredths(x);
  const b = hundredths(y);
  return `${first || a.startsWith("-") ? "" : " "}${a}${b.startsWith("-") ? "" : " "}${b}`;
}

/** 0.01 × n as shortest text: 150 → "1.5", -5 → "-.05". */
function hundredths(n: number): string {
  if (n === 0) return "0";
  const sign = n < 0 ? "-" : "";
  const m = Math.abs(n);
  const whole = Math.floor(m / 100);
  const part = m % 100;
  const fraction = part === 0 ? "" : `.${String(part).padStart(2, "0").replace(/0$/, "")}`;
  return `${sign}${whole === 0 && part !== 0 ? "" : whole}${fraction}`;
}
