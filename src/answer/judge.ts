import type { Design } from "../design/index.ts";
import {
  type Capacity,
  designCapacity,
  designOverRun,
  hasOverRunCase,
  type OverRun,
  type RootField,
} from "../strength/index.ts";

/**
 * What breaks first, in the design's own steel; null without a steel, without a root field, or where steel and conditions make no
 * sense together (`checkStrength` tells why).
 */
export function capacityOf(rootField: RootField | null, design: Design): Capacity | null {
  const found = rootField && designCapacity(rootField, design);
  return found && "capacity" in found ? found.capacity : null;
}

/** What over-running does, with the root field of the flank that it loads; null where the part file says nothing of it. */
export function overRunOf(
  {
    rootField,
    overRunRootField,
  }: { readonly rootField: RootField | null; readonly overRunRootField: RootField | null },
  design: Design,
): OverRun | null {
  return designOverRun(design, hasOverRunCase(design) ? overRunRootField : rootField);
}
