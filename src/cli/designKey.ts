import { capacityOf, overRunOf, type VariantResult } from "../answer/index.ts";
import type { Design } from "../design/index.ts";
import { hasOverRunCase, overRunCases, steelStrength } from "../strength/index.ts";
import { sha256 } from "./sha256.ts";

/** What the asker may set beside the design, and what the answer depends on. */
export interface SolveOptions {
  readonly accuracy?: number;
  readonly maxUnknowns?: number;
}

/**
 * Name of a solved variant in the store: a hash of everything its answer depends on, namely the design, the
 * options and the very program that solved it (`stamp`). Left out are names and notes, the steel and what is asked of it, springs and
 * pins, and the friction of a spline's ring, which set strengths beside the stresses but do not change them: a variant that is
 * renamed or hardened otherwise is not solved again (see `redress`).
 */
export function designKey(design: Design, options: SolveOptions, stamp: string): string {
  const {
    part: _part,
    variant: _variant,
    note: _note,
    steel: _steel,
    strength: _strength,
    overRun: _overRun,
    pins: _pins,
    notices: _notices,
    defaults: _defaults,
    ...matters
  } = design;
  // over-running may be solved besides, of face teeth with its own friction, but only where something is asked of it
  const more = hasOverRunCase(design)
    ? { overRunFriction: overRunCases(design).map(({ load }) => load.friction) }
    : {};
  // and of a torque that reverses what it pushes is read, and the other flank solved, both for a steel only
  const turned = design.steel && (design.strength?.torqueRatio ?? 0) < 0 ? { reversed: true } : {};
  return sha256(canonical({ stamp, options, matters, ...more, ...turned })).slice(0, 40);
}

/** A result whose root fields, tens of kilobytes that a run of thousands would hold at once, have done their work; they stay in the store. */
export function withoutFields(result: VariantResult): VariantResult {
  return { ...result, rootField: null, overRunRootField: null };
}

/** The stored answer as the answer of `design`, whose key it was found under, without the root fields. */
export function redress(result: VariantResult, design: Design): VariantResult {
  // the worst choice of teeth was found by solving
  const { sharing } = result.design.load;
  const found = sharing.mode === "teeth" && sharing.worstOf !== undefined;
  return {
    ...withoutFields(result),
    design: found ? { ...design, load: { ...design.load, sharing } } : design,
    steel: design.steel ? steelStrength(design.steel) : null,
    capacity: capacityOf(result.rootField, design),
    overRun: overRunOf(result, design),
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
