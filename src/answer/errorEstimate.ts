/** A value found on one mesh, MPa. */
export interface Found {
  readonly value: number;
  /** Bound meant for its error. */
  readonly bound: number;
  /** What the error is to be a fraction of. */
  readonly scale: number;
}

/**
 * Estimated relative error of the last of a series of values, each with its own bound. Each bound says that the true value
 * lies within it of the value found; so two values must not differ by more than their bounds together. Where the last two do, the bound has failed
 * at least once, and it is raised by as much as they are apart.
 */
export function estimateError(passes: readonly Found[]): number {
  const last = passes[passes.length - 1];
  let bound = last.bound;
  if (passes.length > 1) {
    const before = passes[passes.length - 2];
    const apart = Math.abs(last.value - before.value) / (last.bound + before.bound);
    if (apart > 1) bound *= apart;
  }
  return bound / last.scale;
}
