import type { Design, Place, UnitChoice } from "./design.ts";

/** A part file read and expanded. */
export interface Part {
  readonly file: string;
  /** The part's name. */
  readonly name: string;
  readonly note: string;
  /** Variants in file order, then the sweep in grid order, the key listed last running fastest. */
  readonly designs: readonly Design[];
  /** Names of all variants that can be told apart, in the same order; in a draft also of those with faults. */
  readonly names: readonly string[];
  readonly units: UnitChoice;
  /** Index in `designs` of the one the others are compared with; −1 in a draft where that one has faults. */
  readonly compareWith: number;
  /**
   * Where `key` ("profile.root radius") of design `index` is written: in its variant or sweep, else in the base;
   * of a key nobody wrote, where its section is. Undefined only for an index that does not exist.
   */
  place(index: number, key: string): Place | undefined;
}
