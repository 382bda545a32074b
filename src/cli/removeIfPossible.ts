import { rmSync } from "node:fs";

/** Removes a file that nothing rests on; where the folder does not allow it, it stays. */
export function removeIfPossible(file: string): void {
  try {
    rmSync(file, { force: true });
  } catch {
    // it is in nobody's way
  }
}
