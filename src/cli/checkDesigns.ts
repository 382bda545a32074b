import { type Design, DesignError, type Fault } from "../design/index.ts";
import { buildProfile, type ProfileOutline } from "../profile/index.ts";
import type { PartFile } from "./readParts.ts";

/** One variant on its way through a command. */
export interface CheckedVariant {
  readonly file: string;
  readonly design: Design;
  readonly profile: ProfileOutline;
}

/** Builds every variant's outline, so that geometry that does not fit is known before anything is solved. */
export function checkDesigns(parts: readonly PartFile[]): {
  readonly variants: CheckedVariant[];
  readonly faults: Fault[];
} {
  const variants: CheckedVariant[] = [];
  const faults: Fault[] = [];
  for (const { file, part } of parts) {
    for (const [k, design] of part.designs.entries()) {
      try {
        variants.push({ file, design, profile: buildProfile(design) });
      } catch (error) {
        if (!(error instanceof DesignError)) throw error;
        for (const fault of error.faults) {
          faults.push({ ...fault, place: fault.place ?? part.place(k, fault.key) });
        }
      }
    }
  }
  return { variants, faults };
}
