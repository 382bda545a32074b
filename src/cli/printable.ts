// control characters, line and paragraph separators, and the marks that turn the reading direction round
// biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to be shown, not obeyed
const HIDDEN = /[\u0000-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]/gu;

/** Text out of a part file, safe on a terminal: one line, nothing hidden, cut to `most` characters. */
export function printable(text: string, most = 60): string {
  const shown = text.replace(HIDDEN, (c) => `\\u{${c.codePointAt(0)!.toString(16)}}`);
  const letters = [...shown];
  return letters.length > most ? `${letters.slice(0, most - 1).join("")}…` : shown;
}
