/** What the shell is told. 130 and 143 are 128 + the signal's number, as shells do it (common practice, no source). */
export const exitCode = {
  ok: 0,
  /** Some variant could not be answered: the numerics refused it, or its worker died twice. */
  numerics: 1,
  /** A part file, an option or the output folder is wrong. */
  input: 2,
  /** A fault in notchwright itself. */
  ours: 70,
  interrupted: 130,
  terminated: 143,
} as const;
