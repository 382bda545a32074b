import { describe, expect, test } from "vitest";
import { answerDesign, NumericalError } from "../../src/answer/index.ts";
import { readPart } from "../../src/design/index.ts";

const [design] = readPart(
  `part: ring
profile: { kind: internal spline, teeth: 17, module: 2 mm, rim diameter: 56 mm, face width: 16 mm, root radius: 0.4 mm }
load: { torque: 690 N m, teeth sharing: 50 % }
`,
  "ring.yaml",
).designs;

describe("equations that cannot be solved", () => {
  // so soft that displacements leave what a number can hold: stands for whatever ends in no digit
  test("refuse the variant as numerics do, with what to look at, and are no fault of the program's", () => {
    const soft = { ...design!, material: { ...design!.material, E: 1e-307 } };
    expect(() => answerDesign(soft)).toThrow(NumericalError);
    expect(() => answerDesign(soft)).toThrow(/no finite numbers; look at the size of loads, modulus/);
  });
});
