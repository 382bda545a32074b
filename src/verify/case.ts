/** One number that a case must meet: |computed − value| ≤ share × of; with `atLeast` only a value below counts. */
export interface Quantity {
  readonly name: string;
  /** "MPa", "mm", … or "" for a ratio. */
  readonly unit: string;
  readonly value: number;
  /** Allowed difference as a share of `of`. */
  readonly share: number;
  /** What the share is taken of, in the unit of `value`: mostly |value|, else the stress the case is loaded with. */
  readonly of: number;
  /** Theory gives a lower bound: more is no fault. */
  readonly atLeast?: boolean;
}

/** What the engine gave: one value for each expected quantity, in that order. */
export interface Computed {
  readonly values: readonly number[];
  /** Unknowns of the (largest) model solved; 0 where only a formula was evaluated. */
  readonly unknowns: number;
}

/** A published case: where its numbers come from, what they are, and how the engine is put to the same question. */
export interface Case {
  /** As in the reference it was taken from, e.g. "lame/1". */
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly expected: readonly Quantity[];
  /** Why the tolerances are what they are. */
  readonly toleranceFrom: string;
  run(): Computed;
}

/** Cases that share a subject, as one chapter of the document. */
export interface Family {
  readonly name: string;
  readonly title: string;
  /** What is posed, how, and what the tolerance means: printed above the table. */
  readonly about: string;
  readonly cases: readonly Case[];
}

/** A quantity held within `share` of itself, or of `of` where its own value is (nearly) zero. */
export function within(
  share: number,
  name: string,
  unit: string,
  value: number,
  of = Math.abs(value),
): Quantity {
  if (!(of > 0)) throw new Error(`${name}: a tolerance needs something to be a share of`);
  return { name, unit, value, share, of };
}

/** A lower bound that may be missed by `slack`. */
export function atLeast(slack: number, name: string, value: number): Quantity {
  return { name, unit: "", value, share: slack, of: 1, atLeast: true };
}
