/**
 * Equations that double precision cannot solve: a part or a neck of it too slender, an element close to flat, nothing that holds it. No fault of
 * the program's: who asks decides what becomes of it.
 */
export class SolveError extends Error {
  override readonly name = "SolveError";
  readonly problem: string;
  /** What to try. */
  readonly remedy: string;
  constructor(problem: string, remedy: string, options?: ErrorOptions) {
    super(`solve: ${problem}; ${remedy}`, options);
    this.problem = problem;
    this.remedy = remedy;
  }
}
