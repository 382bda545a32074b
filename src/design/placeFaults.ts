import type { Design, Fault } from "./design.ts";
import type { FaultSink } from "./gather.ts";
import { checkRampRadius } from "./overRunPlace.ts";
import { checkPins } from "./resolvePins.ts";

/** What is wrong with the places of ramps and pins of a design that no part file tells, but that lies between two that are told. */
export function placeFaults({ profile, overRun, pins, units }: Design): Fault[] {
  const faults: Fault[] = [];
  const g: FaultSink = {
    units,
    fault: (key, problem, remedy) => void faults.push({ key, problem, remedy }),
  };
  // a radius that one of the two has is no diameter
  if (overRun && profile.kind !== "face tooth")
    checkRampRadius(g, profile, overRun.meanRadius, "mean diameter");
  if (pins) checkPins(g, profile, pins, overRun?.meanRadius ?? Number.NaN);
  return faults;
}
