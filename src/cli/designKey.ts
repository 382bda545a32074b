import { capacityOf, type VariantResult } from "../answer/index.ts";
import type { Design } from "../design/index.ts";
import { steelStrength } from "../strength/index.ts";
import { sha256 } from "./sha256.ts";

/** What the asker may set beside the design, and what the answer depends on. */
export interface SolveOptions {
  readonly accuracy?: number;
  readonly maxUnknowns?: number;
}

/**
 * Name of a solved variant in the store: a hash of everything its answer depends on, namely the design, the
 * options and the very program that solved it (`stamp`). Left out are names and notes, and the steel and what is asked of it, which
 * set strengths beside the stresses but do not change them: a variant that is renamed or hardened otherwise is not
 * solved again (see `redress`).
 */
export function designKey(design: Design, options: SolveOptions, stamp: string): string {
  const {
    part: _part,
    variant: _variant,
    note: _note,
    steel: _steel,
    strength: _strength,
    defaults: _defaults,
    ...matters
  } = design;
  return sha256(canonical({ stamp, options, matters })).slice(0, 40);
}

/**
 * The stored answer as the answer of `design`, whose key it was found under. Its root field, tens of kilobytes that a run of thousands
 * would hold at once, has then done its work and stays in the store.
 */
export function redress(result: VariantResult, design: Design): VariantResult {
  return {
    ...result,
    design,
    steel: design.steel ? steelStrength(design.steel) : null,
    capacity: capacityOf(result.rootField, design),
    rootField: null,
  };
}

/** JSON with keys in alphabetical order, and with the numbers that JSON would turn into null kept apart. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_key, v: unknown) => {
    if (typeof v === "number" && !Number.isFinite(v)) return `number ${v}`;
    if (v === null || typeof v !== "object" || Array.isArray(v)) return v;
    return Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
