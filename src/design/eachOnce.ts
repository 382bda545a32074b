import type { Fault } from "./design.ts";

/**
 * Takes the faults of one variant after another. The same slip of the base shows in every variant: it is told once, of the first that has it
 * (`label`), with the names of all that do.
 */
export function eachOnce(faults: Fault[]): (fault: Fault, variant: string, label: string) => void {
  const told = new Map<string, string[]>();
  return (fault, variant, label) => {
    const { key, problem, place } = fault;
    const same = `${place?.line}:${place?.column} ${key} ${problem}`;
    const having = told.get(same);
    if (having) {
      having.push(variant);
      return;
    }
    const variants = [variant];
    told.set(same, variants);
    faults.push({ ...fault, problem: problem + label, variants });
  };
}
