import { ALSO_REPLACES, ALTERNATIVES, SECTIONS, type SectionName } from "./keys.ts";
import type { Given, GivenSection } from "./schema.ts";
import type { Value } from "./value.ts";

/** A value and the layer it was written in: 0 is the base, 1 the variant or the sweep. */
export interface LayeredValue {
  readonly value: Value;
  readonly layer: 0 | 1;
}

export type Merged = Readonly<Record<SectionName, ReadonlyMap<string, LayeredValue>>>;

/**
 * The base with `over` laid on it. A key written in `over` takes the place of the base's, and of every other way
 * in which the base says the same (its pitch when `over` gives a module).
 */
export function mergeGiven(base: Given, over: Given | null): Merged {
  const merged = {} as Record<SectionName, Map<string, LayeredValue>>;
  for (const { name } of SECTIONS) {
    const values = new Map<string, LayeredValue>();
    merged[name] = values;
    for (const [key, value] of entries(base[name])) values.set(key, { value, layer: 0 });
    for (const [key, value] of entries(over?.[name])) {
      const group = ALTERNATIVES[name]?.find((keys) => keys.includes(key)) ?? [];
      for (const other of [...group, ...(ALSO_REPLACES[key] ?? [])])
        if (values.get(other)?.layer === 0) {
          values.delete(other);
          // what lies between outside and inside diameter is told by them, unless it stood beside two of the base
          if (other === "mean diameter" && key !== other && !ringGiven(base)) dropWidth(values);
        }
      values.set(key, { value, layer: 1 });
    }
  }
  if (turnsKind(base, over)) dropWidth(merged.profile);
  return merged;
}

/** A spline's face width runs along the part's axis, a face tooth's towards it. */
function turnsKind(base: Given, over: Given | null): boolean {
  const [own, then] = [base, over].map((given) => {
    const kind = given?.profile?.["kind"];
    return kind?.as === "word" ? kind.word : null;
  });
  return own != null && then != null && (own === "face tooth") !== (then === "face tooth");
}

/** Whether a face tooth's base gives the diameters that its width lies between. */
const ringGiven = ({ profile }: Given): boolean =>
  profile?.["outside diameter"] !== undefined && profile["inside diameter"] !== undefined;

function dropWidth(values: Map<string, LayeredValue>): void {
  for (const key of ["face width", "radial width"]) if (values.get(key)?.layer === 0) values.delete(key);
}

function entries(section: GivenSection | undefined): [string, Value][] {
  return Object.entries(section ?? {}).filter((entry): entry is [string, Value] => entry[1] !== undefined);
}
