/**
 * Advance widths of the usual sans-serif lettering, in thousandths of the font size, by class of character:
 * good to a few per cent, which is what keeping text inside a box needs.
 */
function advance(c: string): number {
  const code = c.codePointAt(0)!;
  if (cellWidth(code) === 2) return 1000;
  if (cellWidth(code) === 0) return 0;
  if ("iljI.,:;'|!·’‘`".includes(c)) return 270;
  if ('frt()[]{}-/\\ "'.includes(c)) return 330;
  if ("mwMW%@…—√".includes(c)) return 880;
  if (c >= "A" && c <= "Z") return 690;
  if ("×+=<>≥≤±~".includes(c)) return 590;
  if (code > 0x2fff) return 1000;
  return 560;
}

/** Width of `text` at `size`, same unit as `size`. */
export function textWidth(text: string, size: number): number {
  let sum = 0;
  for (const c of text) sum += advance(c);
  return (sum * size) / 1000;
}

/** `text`, or as much of it as fits `width` followed by "…". */
export function fitText(text: string, size: number, width: number): string {
  if (textWidth(text, size) <= width) return text;
  let kept = "";
  for (const c of text) {
    if (textWidth(`${kept}${c}…`, size) > width) break;
    kept += c;
  }
  return `${kept.trimEnd()}…`;
}

/** Words laid in lines no wider than `width`; a word longer than a line is cut. */
export function wrapText(text: string, size: number, width: number): string[] {
  const lines: string[] = [];
  let current = "";
  for (const word of text.split(/\s+/)) {
    const longer = current ? `${current} ${word}` : word;
    if (textWidth(longer, size) <= width) current = longer;
    else {
      if (current) lines.push(current);
      current = fitText(word, size, width);
    }
  }
  if (current) lines.push(current);
  return lines;
}

/** Columns a character takes in a terminal: 0 for combining marks, 2 for wide East Asian and emoji, else 1. */
function cellWidth(code: number): number {
  if ((code >= 0x300 && code <= 0x36f) || (code >= 0x200b && code <= 0x200d)) return 0;
  if ((code >= 0xfe00 && code <= 0xfe0f) || (code >= 0x20d0 && code <= 0x20ff)) return 0;
  if (
    (code >= 0x1100 && code <= 0x115f) ||
    (code >= 0x2e80 && code <= 0xa4cf && code !== 0x303f) ||
    (code >= 0xac00 && code <= 0xd7a3) ||
    (code >= 0xf900 && code <= 0xfaff) ||
    (code >= 0xfe30 && code <= 0xfe6f) ||
    (code >= 0xff00 && code <= 0xff60) ||
    (code >= 0xffe0 && code <= 0xffe6) ||
    (code >= 0x1f300 && code <= 0x1faff) ||
    (code >= 0x20000 && code <= 0x3fffd)
  ) {
    return 2;
  }
  return 1;
}

/** Columns a text takes in a terminal. */
export function terminalWidth(text: string): number {
  let sum = 0;
  for (const c of text) sum += cellWidth(c.codePointAt(0)!);
  return sum;
}
