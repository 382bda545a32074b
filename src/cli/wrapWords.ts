import { terminalWidth } from "../report/textWidth.ts";

/** `text` as lines (a number and its sign kept together) no wider than `width` where its words allow, the first after `lead`, the others under it. */
export function wrapWords(lead: string, text: string, width: number): string[] {
  const under = " ".repeat(terminalWidth(lead));
  const lines: string[] = [];
  let line = lead;
  let empty = true;
  for (const word of text.split(/ (?![%°])/)) {
    if (!empty && terminalWidth(line) + 1 + terminalWidth(word) > width) {
      lines.push(line);
      line = under;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  return [...lines, line];
}
