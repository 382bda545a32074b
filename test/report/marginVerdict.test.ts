import { describe, expect, test } from "vitest";
import { type Design, readPart } from "../../src/design/index.ts";
import { driveHoldNotes, driveVerdict } from "../../src/report/index.ts";
import { marginVerdict, wantedWords, withWanted } from "../../src/report/marginVerdict.ts";

describe("whether a margin is enough", () => {
  const silent = {};
  const wanting = (margin: number) => ({ strength: { margin } });

  test("yes with every figure at its worst, not sure only with better ones, no not even at their best", () => {
    const at = (low: number, high: number, wanted: number) => marginVerdict({ low, high }, wanting(wanted));
    expect(at(2, 5, 2)).toBe("yes");
    expect(at(1.99, 5, 2)).toBe("not sure");
    expect(at(1.2, 2, 2)).toBe("not sure");
    expect(at(1.2, 1.99, 2)).toBe("no");
    expect(at(0.9, Number.POSITIVE_INFINITY, 1)).toBe("not sure");
  });

  test("a margin of 1 is wanted where none is stated, and what all want is told once", () => {
    expect(marginVerdict({ low: 1, high: 1 }, silent)).toBe("yes");
    expect(wantedWords([silent, silent])).toBe("");
    expect(wantedWords([wanting(2), wanting(2)])).toBe(" (margin wanted: 2)");
    expect(wantedWords([wanting(2), silent])).toBeNull();
    const told = (wanted: number, said: boolean) =>
      withWanted(marginVerdict({ low: 1.5, high: 1.8 }, wanting(wanted)), wanting(wanted), said);
    expect(told(2, false)).toBe("no (2 wanted)");
    expect(told(1, true)).toBe("yes");
  });
});

const STEEL = `part: Dogs
profile: { kind: face tooth, teeth: 6, mean diameter: 60 mm, face width: 10 mm, height: 5 mm, root radius: 0.8 mm }
load: { torque: 100 N m, shock factor: 2 }
steel: { grade: 4340, hardness: 40..42 HRC }
strength: { shocks: 10000`;

describe("drive flanks that lean", () => {
  const dogs = (angle: number, springs: number | null): Design =>
    readPart(
      `part: Dogs
profile: { kind: face tooth, teeth: 6, mean diameter: 60 mm, face width: 10 mm, height: 5 mm, drive flank angle: ${angle} deg, root radius: 0.8 mm }
load: { torque: 100 N m, shock factor: 2 }
${springs === null ? "" : `over-run: { spring force: ${springs} N, friction: 0.08..0.2 }`}
`,
      "dogs.yaml",
    ).designs[0]!;
  const verdict = (low: number, high: number, design: Design, vouched = true) =>
    driveVerdict({ margin: { low, high }, vouched }, design);

  // they part at F R / tan(angle − friction angle): 20° and 150 N give 16 to 29 N·m against 200
  test("are no drive where springs let them part, whatever root and flank stand", () => {
    expect(verdict(9, 20, dogs(20, 150))).toBe("no, it parts");
    expect(verdict(9, 20, dogs(0, 150))).toBe("yes");
    // friction of 0.2 holds 8° (its angle is 11.3°), of 0.08 (4.6°) does not
    expect(verdict(9, 20, dogs(8, 150))).toBe("not sure");
    expect(verdict(0.5, 0.9, dogs(8, 150))).toBe("no");
    expect(verdict(9, 20, dogs(20, 10_000))).toBe("yes");
  });

  // 5.5°: at μ 0.08 they part at 150 · 30 / tan 0.926° = 278 N·m, beyond the shock of 200
  test("must stand the torque with its margin, and the required torque where that is more", () => {
    const asked = (strength: string) => {
      const design = dogs(5.5, 150);
      return {
        ...design,
        strength: { ...readPart(`${STEEL}${strength} }\n`, "dogs.yaml").designs[0]!.strength! },
      };
    };
    expect(verdict(9, 20, asked(""))).toBe("yes");
    expect(verdict(9, 20, asked(", margin: 1.3"))).toBe("yes");
    expect(verdict(9, 20, asked(", margin: 1.5"))).toBe("not sure");
    expect(verdict(9, 20, asked(", required torque: 300 N m"))).toBe("not sure");
    expect(driveHoldNotes(asked(", margin: 1.5")).join()).toMatch(
      /part at 278 N·m at μ 0\.08.*must hold 200 N·m, 300 N·m with its margin/,
    );
  });

  test("a root whose fracture and fatigue are not counted is no yes", () => {
    expect(verdict(9, 20, dogs(0, 150), false)).toBe("not known");
    expect(verdict(0.5, 20, dogs(0, 150), false)).toBe("not known");
    expect(verdict(0.5, 0.9, dogs(0, 150), false)).toBe("no");
    // parting is worse than not knowing
    expect(verdict(9, 20, dogs(20, 150), false)).toBe("no, it parts");
  });

  // 12° at μ 0.2 part at 150 · 30 / tan 0.69° = 374 N·m, at μ 0.08 at 34.6 N·m: over the shock of 200, not over twice that
  test("are a no where not even high friction holds them with the margin wanted", () => {
    const wanting = (margin: number): Design => {
      const design = dogs(12, 150);
      return {
        ...design,
        strength: { ...readPart(`${STEEL}, margin: ${margin} }\n`, "dogs.yaml").designs[0]!.strength! },
      };
    };
    expect(verdict(9, 20, wanting(1.8))).toBe("not sure");
    expect(verdict(9, 20, wanting(2))).toBe("no, it parts");
  });

  test("are the loaded ones, both where the torque reverses, unless over-running lets one go", () => {
    const leaning = (more: string, load: string) =>
      readPart(
        `${STEEL.replace("height: 5 mm,", `height: 5 mm, over-run flank angle: 31 deg,${more}`)}${load} }\n`,
        "dogs.yaml",
      ).designs[0]!;
    expect(verdict(9, 20, leaning("", ""))).toBe("yes");
    expect(verdict(9, 20, leaning(" loaded flank: over-run,", ""))).toBe("yes, if held");
    const both = leaning("", ", torque ratio: -1");
    expect(verdict(9, 20, both)).toBe("yes, if held");
    expect(driveHoldNotes(both).join()).toContain("The over-run flanks lean 31° and push the teeth apart");
    // a tenth coming back pushes less than springs or none need hold: 20 N·m on 31° against 200 N·m on an upright flank
    const tenth = driveHoldNotes(leaning("", ", torque ratio: -0.1")).join();
    expect(tenth).toMatch(/when the torque turns round: .* under 20\.0 N·m/);
    const { overRun } = dogs(0, 150);
    // with springs the ring is meant to let go: 150 N · 30 mm / tan(0 or 31° − atan 0.08) is far under the 200 that come back
    expect(
      driveHoldNotes({ ...both, overRun: { ...overRun!, rampAngle: (31 * Math.PI) / 180 } }).join(),
    ).toMatch(
      /^The ring lifts off its ramps from 9\.05 N·m on at μ 0\.08, and the torque turned round brings 200 N·m/,
    );
    expect(verdict(9, 20, { ...both, overRun: overRun! })).toBe("yes");
  });

  test("are enough only if held where no springs are told", () => {
    expect(verdict(9, 20, dogs(20, null))).toBe("yes, if held");
    expect(verdict(0.9, 20, dogs(20, null))).toBe("not sure");
    expect(verdict(0.5, 0.9, dogs(20, null))).toBe("no");
    expect(verdict(9, 20, dogs(2, null))).toBe("yes");
  });
});
