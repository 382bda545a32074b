import { createHash } from "node:crypto";

/** Of the pieces one after the other, in hexadecimal. */
export function sha256(...content: readonly (string | Uint8Array)[]): string {
  const hash = createHash("sha256");
  for (const piece of content) hash.update(piece);
  return hash.digest("hex");
}
