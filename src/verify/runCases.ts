import type { Case, Family, Quantity } from "./case.ts";

export interface Row {
  readonly quantity: Quantity;
  readonly computed: number;
  /** (computed − value) / of. */
  readonly difference: number;
  readonly ok: boolean;
}

export interface CaseResult {
  readonly family: Family;
  readonly case: Case;
  readonly rows: readonly Row[];
  readonly unknowns: number;
  readonly ok: boolean;
  /** What the engine threw, when it did. */
  readonly fault: string | null;
}

/**
 * The families with only the cases asked for: each word is a case ("lame/1"), the part before the slash ("lame") or a family
 * ("rings"). No words: everything.
 * @throws Error naming the word that fits nothing.
 */
export function chosen(families: readonly Family[], words: readonly string[]): Family[] {
  if (words.length === 0) return [...families];
  const fits = (word: string, family: Family, id: string) =>
    word === family.name || word === id || id.startsWith(`${word}/`);
  for (const word of words) {
    if (!families.some((f) => f.cases.some((c) => fits(word, f, c.id)))) {
      throw new Error(
        `no case is called "${word}"; families: ${families.map((f) => f.name).join(", ")}; groups: ${groups(families).join(", ")}`,
      );
    }
  }
  return families
    .map((f) => ({ ...f, cases: f.cases.filter((c) => words.some((word) => fits(word, f, c.id))) }))
    .filter((f) => f.cases.length > 0);
}

/** Parts before the slash of all case names, in order. */
export function groups(families: readonly Family[]): string[] {
  return [...new Set(families.flatMap((f) => f.cases.map((c) => groupOf(c))))];
}

export const groupOf = (c: Case): string => c.id.slice(0, c.id.indexOf("/"));

/** A case that must fail: every value it expects is moved by as much again as it is compared with. */
export function spoiled(families: readonly Family[], id: string): Family[] {
  if (!families.some((f) => f.cases.some((c) => c.id === id))) throw new Error(`no case is called "${id}"`);
  return families.map((f) => ({
    ...f,
    cases: f.cases.map((c) =>
      c.id === id ? { ...c, expected: c.expected.map((q) => ({ ...q, value: q.value + q.of })) } : c,
    ),
  }));
}

/** Runs one case; whatever the engine throws makes the case fail. */
export function runCase(family: Family, one: Case): CaseResult {
  try {
    const { values, unknowns } = one.run();
    if (values.length !== one.expected.length) {
      throw new Error(`${one.id}: ${values.length} values for ${one.expected.length} expected ones`);
    }
    const rows = one.expected.map((quantity, k): Row => {
      const computed = values[k]!;
      const difference = (computed - quantity.value) / quantity.of;
      const off = quantity.atLeast ? -difference : Math.abs(difference);
      return { quantity, computed, difference, ok: off <= quantity.share };
    });
    return { family, case: one, rows, unknowns, ok: rows.every((r) => r.ok), fault: null };
  } catch (error) {
    const fault = error instanceof Error ? error.message : String(error);
    return { family, case: one, rows: [], unknowns: 0, ok: false, fault };
  }
}

/** Runs all cases in order, telling each result as it comes. */
export function runCases(
  families: readonly Family[],
  told: (result: CaseResult) => void = () => {},
): CaseResult[] {
  const results: CaseResult[] = [];
  for (const family of families) {
    for (const one of family.cases) {
      const result = runCase(family, one);
      results.push(result);
      told(result);
    }
  }
  return results;
}
