import { type Design, loadsOverRunFlank } from "../design/index.ts";

/** Which load case answers rest on that know one only, where the part over-runs; empty where it does not. */
export const judgedIn = (design: Design): string[] =>
  !design.overRun
    ? []
    : loadsOverRunFlank(design.profile)
      ? [
          `Judged with the over-run flank loaded, ${design.load.frictionLow !== undefined ? "at both ends of its friction: over-running, with pins and springs, is another question" : "at one friction: over-running, at both ends of its friction, is another load case"}`,
        ]
      : ["Judged in drive only: over-running is another load case"];
