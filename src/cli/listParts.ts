import type { Design } from "../design/index.ts";
import { followingFigures } from "../strength/index.ts";
import { columns } from "./columns.ts";
import { designRows } from "./designRows.ts";
import { exitCode } from "./exitCode.ts";
import { printable } from "./printable.ts";
import { readParts } from "./readParts.ts";
import { out } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";

/** The `list` command: every variant, and in what it differs from the one they are compared with. @returns the exit code. */
export function listParts(files: readonly string[]): number {
  const { parts, faults } = readParts(files);
  if (faults.length > 0) return sayFaults(faults, "nothing is listed");
  for (const [p, { file, part }] of parts.entries()) {
    const first = part.designs[part.compareWith]!;
    if (p > 0) out();
    const count = part.designs.length === 1 ? "1 variant" : `${part.designs.length} variants`;
    out(`${printable(part.name)}: ${count} in ${file}`);
    const lines = part.designs.map((design) => {
      const base = new Map(designRows(withFollowing(first, design)));
      const differing = designRows(design).filter(([key, value]) => base.get(key) !== value);
      const words = differing.map(([key, value]) => `${key} ${value}`).join("; ");
      return [
        // whole: this is where the other commands send their reader for names
        printable(design.variant, 200),
        design !== first
          ? words || "the same"
          : part.designs.length > 1
            ? "the others are told as they differ from this one"
            : "",
      ];
    });
    for (const line of columns(lines, "left")) out(line);
  }
  return exitCode.ok;
}

/** The base with what only follows from other changes already as the other has it: it is no difference of its own. */
function withFollowing(base: Design, other: Design): Design {
  const { keys } = followingFigures(base, other);
  const theirs = Object.entries(other.profile).filter(([key]) => keys.includes(key));
  return { ...base, profile: { ...base.profile, ...Object.fromEntries(theirs) } };
}
