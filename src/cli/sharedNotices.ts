import type { Design } from "../design/index.ts";
import { printable } from "./printable.ts";

/** What is odd in the part file of some designs, each once, with the variant where it is not all of them. */
export function sharedNotices(designs: readonly Design[]): string[] {
  const all = [...new Set(designs.flatMap(({ notices }) => notices ?? []))];
  return all.map((notice) => {
    const those = designs.filter(({ notices }) => notices?.includes(notice));
    const who = those.length === designs.length ? "" : `"${printable(those[0]!.variant, 60)}": `;
    return who ? who + notice : notice[0]!.toUpperCase() + notice.slice(1);
  });
}
