import type { DefaultUsed, Fault, UnitChoice } from "./design.ts";
import { ALTERNATIVES, keySpec, type SectionName, section } from "./keys.ts";
import type { LayeredValue, Merged } from "./merge.ts";

/** What a check tells its faults to, in the units of the part file. */
export type FaultSink = Pick<Gather, "fault" | "units">;

/**
 * What resolving one design works with: the merged values, the faults and the defaults found on the way. A number
 * that is missing or was refused reads as NaN, so that a check comparing it finds nothing to complain of.
 */
export class Gather {
  readonly faults: Fault[] = [];
  readonly defaults: DefaultUsed[] = [];
  /** True once anything stood refused: the design cannot be completed, though its faults can be told. */
  blocked = false;
  readonly units: UnitChoice;
  private readonly merged: Merged;

  constructor(merged: Merged, units: UnitChoice) {
    this.merged = merged;
    this.units = units;
  }

  entry(name: SectionName, key: string): LayeredValue | undefined {
    return this.merged[name].get(key);
  }

  has(name: SectionName, key: string): boolean {
    return this.merged[name].has(key);
  }

  /** Anything at all written under this section? */
  hasSection(name: SectionName): boolean {
    return this.merged[name].size > 0;
  }

  keys(name: SectionName): string[] {
    return [...this.merged[name].keys()];
  }

  drop(name: SectionName, key: string): void {
    (this.merged[name] as Map<string, LayeredValue>).delete(key);
  }

  /** The number written, undefined when the key is absent or holds a word, NaN when it was refused. */
  number(name: SectionName, key: string): number | undefined {
    const value = this.read(name, key);
    if (value === undefined) return undefined;
    return value.as === "number" ? value.value : value.as === "refused" ? Number.NaN : undefined;
  }

  word(name: SectionName, key: string): string | undefined {
    const value = this.read(name, key);
    return value?.as === "word" ? value.word : undefined;
  }

  read(name: SectionName, key: string) {
    const value = this.entry(name, key)?.value;
    if (value?.as === "refused") this.blocked = true;
    return value;
  }

  /** The number, or a fault and NaN when nobody gave it. */
  need(name: SectionName, key: string, why = ""): number {
    const value = this.number(name, key);
    if (value === undefined) this.missing(name, key, why);
    return value ?? Number.NaN;
  }

  missing(name: SectionName, key: string, why = ""): void {
    const example = keySpec(name, key)?.example ?? "";
    this.fault(
      `${name}.${key}`,
      `missing${why && `: ${why}`}`,
      `add it under "${name}", such as ${key}: ${example}`,
    );
  }

  fault(key: string, problem: string, remedy: string): void {
    this.faults.push({ key, problem, remedy });
  }

  /** Notes a default. */
  note(key: string, text: string, source: string): void {
    this.defaults.push({ key, value: text, source });
  }

  /** Notes a default and hands it back. */
  take<T>(key: string, value: T, text: string, source: string): T {
    this.note(key, text, source);
    return value;
  }

  /** Two keys of one group at once (a merged group never mixes layers); the first group is the size, which may. */
  alternatives(name: SectionName, except: string): void {
    for (const group of ALTERNATIVES[name] ?? []) {
      const given = group.filter((key) => this.has(name, key));
      if (given.length > 1 && !group.includes(except))
        this.fault(
          `${name}.${given[1]}`,
          `says the same as "${given[0]}", which is given too`,
          `keep one of ${given.map((key) => `"${key}"`).join(", ")}`,
        );
    }
  }

  /**
   * Keys that another kind of profile has. Written beside the `kind` (or in a later layer) they are a fault; left
   * over from the base when a variant changes the kind they are dropped.
   */
  inapplicable(name: SectionName, kind: string, kindLayer: number): void {
    for (const spec of section(name).keys) {
      const entry = this.entry(name, spec.key);
      if (!entry || !spec.kinds || spec.kinds.some((known) => known === kind)) continue;
      if (entry.layer >= kindLayer)
        this.fault(
          `${name}.${spec.key}`,
          `is for ${spec.kinds.join(" or ")}, not for ${kind}`,
          "leave it out",
        );
      this.drop(name, spec.key);
    }
  }
}
