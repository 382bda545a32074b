/** What stands on every sheet and under every table. */
export const CAUTIONS: readonly string[] = [
  "Estimates from a 2D elastic model, no release to run: rotating parts can burst and injure.",
  "Prove the part on a guarded bench at above its shock torque before it runs near people.",
  "Follow the steel maker's and heat treater's data sheets and local codes.",
  "A part on which safety on a public road, lifting or people depends needs a licensed engineer.",
];

/** The cautions as a block for the terminal, wrapped at `width` columns. */
export function cautionsBlock(width = 100): string {
  const lines = ["Cautions"];
  for (const caution of CAUTIONS) {
    let line = "  -";
    for (const word of caution.split(" ")) {
      if (line.length + 1 + word.length > width) {
        lines.push(line);
        line = "   ";
      }
      line += ` ${word}`;
    }
    lines.push(line);
  }
  return lines.join("\n");
}
