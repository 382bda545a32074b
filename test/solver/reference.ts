import { readFileSync } from "node:fs";

interface Case {
  readonly id: string;
  readonly section: string;
  readonly inputs: Readonly<Record<string, number>>;
  readonly expected: Readonly<Record<string, number>>;
  readonly tolerance: { readonly type: "relative" | "absolute"; readonly value: number };
}

const { cases } = JSON.parse(
  readFileSync(new URL("../../fixtures/reference/elastic-exact.json", import.meta.url), "utf8"),
) as { readonly cases: readonly Case[] };

/** Cases of one section of fixtures/reference/elastic-exact.json, which names the source of each. */
export function referenceCases(section: string): readonly Case[] {
  const found = cases.filter((c) => c.section === section);
  if (found.length === 0) throw new Error(`reference: no section ${section}`);
  return found;
}

export function referenceCase(id: string): Case {
  const found = cases.find((c) => c.id === id);
  if (!found) throw new Error(`reference: no case ${id}`);
  return found;
}
