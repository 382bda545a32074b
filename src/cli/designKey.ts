import type { Design } from "../design/design.ts";
import { sha256 } from "./sha256.ts";

/** What the asker may set beside the design, and what the answer depends on. */
export interface SolveOptions {
  readonly accuracy?: number;
  readonly maxUnknowns?: number;
}

/**
 * Name of a solved variant in the store: a hash of everything its answer depends on, namely the design, the
 * options and the very program that solved it (`stamp`). Names and notes are left out, so that a variant that
 * is only renamed, or moved to another part file, is not solved again.
 */
export function designKey(design: Design, options: SolveOptions, stamp: string): string {
  const { part: _part, variant: _variant, note: _note, defaults: _defaults, ...matters } = design;
  return sha256(canonical({ stamp, options, matters })).slice(0, 40);
}

/** JSON with keys in alphabetical order, and with the numbers that JSON would turn into null kept apart. */
function canonical(value: unknown): string {
  return JSON.stringify(value, (_key, v: unknown) => {
    if (typeof v === "number" && !Number.isFinite(v)) return `number ${v}`;
    if (v === null || typeof v !== "object" || Array.isArray(v)) return v;
    return Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)));
  });
}
