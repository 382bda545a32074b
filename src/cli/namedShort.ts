import { addTo, shortNames } from "../report/index.ts";

/** The same things with variant names that fit a table, part by part, and one line for each part whose names were shortened. */
export function namedShort<
  T extends { readonly design: { readonly part: string; readonly variant: string } },
>(all: readonly T[]): { readonly named: T[]; readonly legend: string[] } {
  const named = [...all];
  const legend: string[] = [];
  const parts = new Map<string, number[]>();
  for (const [k, { design }] of all.entries()) addTo(parts, design.part, k);
  for (const places of parts.values()) {
    const { names, by } = shortNames(places.map((k) => all[k]!.design.variant));
    for (const [n, k] of places.entries())
      named[k] = { ...all[k]!, design: { ...all[k]!.design, variant: names[n]! } };
    if (by) legend.push(`Variants below are named by ${by}.`);
  }
  return { named, legend };
}
