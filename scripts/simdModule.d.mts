/** Text of src/solver/sparse/simdModule.ts as the sources now make it. */
export function simdModuleText(): Promise<string>;
/** Brings that file up to date; says whether it had to be written. */
export function updateSimdModule(): Promise<boolean>;
