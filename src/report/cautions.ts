/** What stands on every sheet and under every table. */
export const CAUTIONS: readonly string[] = [
  "Estimates from a 2D elastic model and steel at room temperature, no release to run: rotating parts can burst and injure.",
  "Prove the part on a guarded bench at above its shock torque before it runs near people.",
  "Follow the steel maker's and heat treater's data sheets and local codes.",
  "A part on which safety on a public road, lifting or people depends needs a licensed engineer.",
];

/** What stands beside every verdict on over-running. */
export const OVER_RUN_LIMITS =
  "Statics with Coulomb friction: shocks and swinging are not in it, and friction is known to ± 50 % at best. A ring that does not let go, or lets go while it drives, can hurt someone: try it by hand, then on a guarded bench; local codes and a licensed engineer decide.";

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
