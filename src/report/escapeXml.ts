/**
 * Text made safe for an XML or HTML text node or quoted attribute.
 *
 * Also dropped: characters XML 1.0 forbids (§2.2: controls, lone surrogates, U+FFFE, U+FFFF) and the
 * bidirectional controls, which could make a name read differently from what the file says.
 */
export function escapeXml(text: string): string {
  return plainText(text).replace(/[&<>"']/g, (c) => ENTITY[c]!);
}

/** The text on one line without control, bidirectional or unpaired characters: safe for a terminal too. */
export function plainText(text: string): string {
  return text
    .replace(/[\t\n\r\u2028\u2029]+/g, " ")
    .replace(FORBIDDEN, "")
    .replace(/[\ud800-\udbff](?![\udc00-\udfff])/g, "")
    .replace(/(?<![\ud800-\udbff])[\udc00-\udfff]/g, "");
}

const ENTITY: Record<string, string> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

// built from code points, so that no invisible character stands in this file
const FORBIDDEN = new RegExp(
  `[${[
    [0x00, 0x1f],
    [0x7f, 0x9f],
    [0x200e, 0x200f],
    [0x202a, 0x202e],
    [0x2066, 0x2069],
    [0xfffe, 0xffff],
  ]
    .map(([a, b]) => `\\u${a!.toString(16).padStart(4, "0")}-\\u${b!.toString(16).padStart(4, "0")}`)
    .join("")}]`,
  "g",
);
