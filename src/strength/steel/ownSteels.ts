import type { Fault, SteelChoice, SteelGrade } from "../../design/index.ts";
import {
  BUILT_IN,
  extendCatalogue,
  findSteel,
  type SteelCatalogue,
  type SteelRecord,
} from "./steelCatalogue.ts";

/** A user's steels as grades that a part file may name, each with its own data; `given` is what his file holds, already parsed. */
export function ownGrades(given: unknown): {
  readonly grades: readonly SteelGrade[];
  readonly faults: readonly Fault[];
} {
  const { catalogue, faults } = extendCatalogue(BUILT_IN, given);
  if (faults.length > 0) return { grades: [], faults };
  const own = catalogue.steels.filter((one) => !BUILT_IN.steels.includes(one));
  const coreOf = (one: SteelRecord) => {
    const found = one.core === undefined ? null : findSteel(one.core, catalogue);
    return found && "steel" in found ? found.steel : null;
  };
  // a built-in case over a core of the user's own is his steel too
  const over = catalogue.steels.filter((one) => {
    const core = coreOf(one);
    return !own.includes(one) && core !== null && own.includes(core);
  });
  return {
    grades: [...own, ...over].map((one) => {
      const core = coreOf(one);
      return {
        name: one.name,
        also: (one.also ?? []).map((name) => name.toLowerCase()),
        condition: one.condition === "case" ? "case hardened" : "through hardened",
        softest: one.hrc[0],
        hardest: one.hrc[1],
        ...(core && { core: core.hrc }),
        records: core && own.includes(core) ? [one, core] : [one],
      };
    }),
    faults,
  };
}

/** The steels that a design's own is looked up in. */
export function catalogueOf({ own }: Pick<SteelChoice, "own">): SteelCatalogue {
  if (!own) return BUILT_IN;
  const before = catalogues.get(own);
  if (before) return before;
  const { catalogue, faults } = extendCatalogue(BUILT_IN, own);
  if (faults.length > 0) throw new Error(`own steel: ${faults[0]!.key} ${faults[0]!.problem}`);
  catalogues.set(own, catalogue);
  return catalogue;
}

/** Catalogues already read: all variants of a file share one steel's data. */
const catalogues = new WeakMap<readonly unknown[], SteelCatalogue>();
