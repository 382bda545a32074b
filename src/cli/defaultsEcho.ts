import type { DefaultUsed, Design } from "../design/design.ts";
import { firstNames } from "../report/index.ts";
import { printable } from "./printable.ts";

/** What nobody wrote into the part file and was taken by default, one line each; the variants only where they differ. */
export function defaultsEcho(designs: readonly Design[]): string[] {
  const used = new Map<string, { readonly taken: DefaultUsed; readonly names: string[] }>();
  for (const design of designs) {
    for (const taken of design.defaults) {
      const entry = JSON.stringify([taken.key, taken.value, taken.source]);
      const found = used.get(entry);
      if (found) found.names.push(design.variant);
      else used.set(entry, { taken, names: [design.variant] });
    }
  }
  if (used.size === 0) return ["Taken by default: nothing."];
  const rows = [...used.values()].sort((a, b) => (a.taken.key < b.taken.key ? -1 : 1));
  const keyWidth = Math.max(...rows.map(({ taken }) => taken.key.length));
  const valueWidth = Math.max(...rows.map(({ taken }) => taken.value.length));
  return [
    "Taken by default (not in the part file):",
    ...rows.map(({ taken: { key, value, source }, names }) => {
      const who = names.length === designs.length ? "" : `, in ${nameList(names)}`;
      return `  ${key.padEnd(keyWidth)}  ${value.padEnd(valueWidth)}  ${source}${who}`;
    }),
  ];
}

/** `"V0", "V1" and 9 more`: in quotes, since names may hold commas. */
export function nameList(names: readonly string[], most = 4): string {
  return firstNames(
    names.map((name) => `"${printable(name, 40)}"`),
    most,
  );
}
