import { type Design, DesignError, eachOnce, type Fault } from "../design/index.ts";
import { buildProfile, type ProfileOutline } from "../profile/index.ts";
import { checkStrength } from "../strength/index.ts";
import { printable } from "./printable.ts";
import type { PartFile } from "./readParts.ts";

/** One variant on its way through a command. */
export interface CheckedVariant {
  readonly file: string;
  /** SHA-256 of the part file's text. */
  readonly source: string;
  readonly design: Design;
  readonly profile: ProfileOutline;
  /** Is it what the others of its file are compared with? */
  readonly base: boolean;
  /** Name for messages: the variant's, after the part's where several part files are read. Safe on a terminal. */
  readonly label: string;
}

/** Builds every variant's outline, so that geometry that does not fit is known before anything is solved. */
export function checkDesigns(parts: readonly PartFile[]): {
  readonly variants: CheckedVariant[];
  readonly faults: Fault[];
} {
  const variants: CheckedVariant[] = [];
  const faults: Fault[] = [];
  for (const { file, source, part } of parts) {
    const tellOnce = eachOnce(faults);
    for (const [k, design] of part.designs.entries()) {
      const label = printable(parts.length > 1 ? `${design.part}: ${design.variant}` : design.variant);
      const tell = (found: readonly Fault[]) => {
        for (const fault of found) {
          const place = fault.place ?? part.place(k, fault.key);
          const of = part.designs.length > 1 ? ` (variant "${label}")` : "";
          tellOnce({ ...fault, ...(place ? { place } : {}) }, design.variant, of);
        }
      };
      try {
        const profile = buildProfile(design.profile, design.units);
        tell(checkStrength(design, profile));
        variants.push({ file, source, design, profile, base: k === part.compareWith, label });
      } catch (error) {
        if (!(error instanceof DesignError)) throw error;
        tell(error.faults);
      }
    }
  }
  return { variants, faults };
}
