import { DesignError, type Fault, readPart } from "../../src/design/index.ts";

export const FILE = "hub.yaml";

/** A part file that reads, with one line of it replaced, and lines added at its end. */
export function partText(change: { replace?: readonly [string, string]; add?: string } = {}): string {
  const base = `part: Sliding ring
profile:
  kind: internal spline
  teeth: 17
  module: 2 mm
  root radius: 0.4 mm
  face width: 16 mm
load:
  torque: 690 N m
`;
  const [from, to] = change.replace ?? ["", ""];
  if (from && !base.includes(from)) throw new Error(`the base has no ${from}`);
  return base.replace(from, to) + (change.add ?? "");
}

/** Every fault of `text`; a text that reads gives none. Anything but a DesignError is let through. */
export function faultsOf(text: string): readonly Fault[] {
  try {
    readPart(text, FILE);
    return [];
  } catch (error) {
    if (error instanceof DesignError) return error.faults;
    throw error;
  }
}

/** "line:column key: problem; remedy" of every fault, as a user reads it but for the file name. */
export function faultLines(text: string): string[] {
  return faultsOf(text).map(
    ({ key, problem, remedy, place }) =>
      `${place ? `${place.line}:${place.column} ` : ""}${key ? `${key}: ` : ""}${problem}; ${remedy}`,
  );
}
