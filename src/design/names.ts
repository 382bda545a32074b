/** What a variant may be called, and what its files are called. */

export const LONGEST_NAME = 80;

/**
 * Why `name` cannot be a variant's name, or null when it can. A name that reads as a path, as markup, as a line
 * break or as nothing is refused; whatever passes is still escaped where it is printed.
 */
export function variantNameProblem(name: string): { problem: string; remedy: string } | null {
  const trimmed = name.trim();
  if (trimmed === "") return { problem: "the name is blank", remedy: 'give it a word, such as "V1 fillet"' };
  const characters = [...trimmed].length;
  if (characters > LONGEST_NAME)
    return {
      problem: `the name is ${characters} characters long`,
      remedy: `use ${LONGEST_NAME} or fewer and put the rest into "note"`,
    };
  if (/[\n\r\u2028\u2029]/.test(trimmed))
    return { problem: "the name runs over several lines", remedy: 'keep it on one line, the rest in "note"' };
  if (/[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}]/u.test(trimmed))
    return {
      problem: "the name holds characters that do not print",
      remedy: "type it afresh in plain characters",
    };
  if (/[/\\]/.test(trimmed))
    return {
      problem: `the name ${quote(trimmed)} holds a path separator`,
      remedy: "use a dash instead of / or \\",
    };
  if (/[<>]/.test(trimmed))
    return {
      problem: `the name ${quote(trimmed)} holds < or >`,
      remedy: 'write "under" or "over", or leave it out',
    };
  if (/^\.+$/.test(trimmed))
    return {
      problem: `the name ${quote(trimmed)} is only dots`,
      remedy: 'give it a word, such as "V1 fillet"',
    };
  return null;
}

/** What two names must not share: letter case, accents' spelling and runs of spaces aside. */
export function nameKey(name: string): string {
  return name.normalize("NFKC").trim().replace(/\s+/g, " ").toLowerCase();
}

/**
 * A readable file name without extension for any name: lower-case letters, digits and dashes only, at most 60
 * characters, never empty. Two names may share a stem; the caller then adds the variant's number.
 */
export function fileStem(name: string): string {
  const stem = name
    .normalize("NFKD")
    .replace(/\p{M}+/gu, "")
    .toLowerCase()
    .replace(/(\d)\.(?=\d)/g, "$1p")
    .replace(/[^a-z0-9]+/g, "-")
    .slice(0, 60)
    .replace(/^-+|-+$/g, "");
  // names that some file systems keep for devices
  return stem === "" || /^(con|prn|aux|nul|com\d|lpt\d)$/.test(stem) ? `variant${stem && `-${stem}`}` : stem;
}

/** `text` in quotes for a message: one line, control characters spelled out, cut at 60 characters. */
export function quote(text: string): string {
  const cut = [...text.slice(0, 200)];
  const shown = cut.length > 60 ? `${cut.slice(0, 57).join("")}...` : cut.join("");
  return JSON.stringify(shown).replace(
    /[\p{Cc}\p{Cf}\u2028\u2029]/gu,
    (c) => `\\u${c.codePointAt(0)!.toString(16).padStart(4, "0")}`,
  );
}
