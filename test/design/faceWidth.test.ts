import { describe, expect, test } from "vitest";
import { readPart } from "../../src/design/index.ts";
import { FILE, faultLines, partText } from "./helpers.ts";

const RING = `kind: face tooth, teeth: 11, outside diameter: 64 mm, inside diameter: 46 mm, height: 4.5 mm, ramp angle: 8 deg, root radius: 0.5 mm`;
const face = (more: string) => `part: Ramp
profile: { ${more} }
load: { torque: 690 N m }
`;
const widthOf = (text: string, variant = 0) => readPart(text, FILE).designs[variant]!.profile.faceWidth;

// what a part stands is in proportion to its face width
describe("the face width of face teeth", () => {
  test("is none of the spline's that the base is", () => {
    const text = partText({ add: `variants:\n  - name: f\n    profile: { ${RING} }\n` });
    expect(widthOf(text)).toBe(9);
  });

  test("nor that beside the base's mean diameter, where a variant gives outside and inside diameter", () => {
    const base = face(
      RING.replace(
        "outside diameter: 64 mm, inside diameter: 46 mm",
        "mean diameter: 55 mm, face width: 9 mm",
      ),
    );
    const text = `${base}variants:\n  - name: f\n    profile: { outside diameter: 60 mm, inside diameter: 50 mm }\n`;
    expect(widthOf(text)).toBe(5);
  });

  test("stays the base's where that gives the diameters too, and is never more than lies between them", () => {
    const narrow = face(`${RING}, face width: 6 mm`);
    expect(widthOf(`${narrow}variants:\n  - name: f\n    profile: { outside diameter: 66 mm }\n`)).toBe(6);
    // and where it writes the mean diameter besides
    const thrice = face(`${RING}, face width: 6 mm, mean diameter: 55 mm`);
    expect(widthOf(`${thrice}variants:\n  - name: f\n    profile: { outside diameter: 66 mm }\n`)).toBe(6);
    expect(widthOf(`${thrice}sweep: { "profile.outside diameter": [64 mm] }\n`)).toBe(6);
    expect(faultLines(face(`${RING}, face width: 16 mm`))).toEqual([
      expect.stringMatching(
        /profile\.face width: 16\.0 mm is more than lies between inside and outside diameter, 9\.00 mm; leave it out, or use 9\.00 mm or less/,
      ),
    ]);
  });

  test("leaves something inside the teeth where their mean diameter is told", () => {
    const wide = (told: string) =>
      face(RING.replace("outside diameter: 64 mm, inside diameter: 46 mm", `mean diameter: 55 mm, ${told}`));
    expect(widthOf(wide("face width: 54 mm"))).toBe(54);
    for (const told of ["face width: 55 mm", "radial width: 9 in"])
      expect(faultLines(wide(told))).toEqual([
        expect.stringMatching(/width: .* leaves nothing inside them at a mean diameter of 55\.0 mm/),
      ]);
  });

  test("and a spline does not take a face tooth's", () => {
    const text = `${face(RING.replace("outside diameter: 64 mm, inside diameter: 46 mm", "mean diameter: 55 mm, face width: 9 mm"))}variants:
  - name: s
    profile: { kind: internal spline, teeth: 17, module: 2 mm }
`;
    expect(faultLines(text)).toEqual([expect.stringMatching(/profile\.face width: missing/)]);
  });
});
