/**
 * A number that could not be stood behind: not converged, out of balance, too large for the limits. `remedy`
 * says what to try. Refusals of this kind fail one variant and leave the others alone.
 */
export class NumericalError extends Error {
  override readonly name = "NumericalError";
  readonly remedy: string;
  constructor(problem: string, remedy: string) {
    super(`${problem}; ${remedy}`);
    this.remedy = remedy;
  }
}

/** A mesh that would need more unknowns than are allowed. */
export class ModelTooLarge extends NumericalError {}
