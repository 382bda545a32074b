import { describe, expect, test } from "vitest";
import { faultLines, partText } from "./helpers.ts";

describe("a line that stops the parser is told by its own slip", () => {
  const text = partText({ add: "strength:\n  margin: 1.5\n  shocks: 1000\n" });
  test.each([
    [
      "no colon",
      text.replace("margin: 1.5", "margin 1.5"),
      '11:3 no colon after "margin"; write "margin: 1.5"',
    ],
    [
      "no space after it",
      text.replace("teeth: 17", "teeth:17"),
      '4:3 no space after the colon of "teeth"; write "teeth: 17"',
    ],
    [
      "no-break spaces",
      text.replace("  teeth", "\u00a0\u00a0teeth"),
      "4:1 the line begins with no-break spaces, as pages and letters have them; type its indent again, with plain spaces",
    ],
    [
      "a dash further in than the one above",
      `${text}variants:\n  - name: a\n   - name: b\n`,
      "15:4 this dash does not stand under the dash above it; start it in column 3",
    ],
    [
      "a dash further out",
      `${text}variants:\n  - name: a\n- name: b\n`,
      "15:1 this dash does not stand under the dash above it; start it in column 3",
    ],
    [
      "no space after a dash",
      `${text}variants:\n  - name: a\n    note: |\n      seen 3 Nov:bad\n      hub 0417 torn\n  -name: b\n`,
      '18:3 no space after the dash; write "- name: b"',
    ],
    [
      "no space after the colon of a key in quotes",
      `${text}sweep:\n  "profile.root radius":[0.2 mm, 0.4 mm]\n`,
      '14:3 no space after the colon of "profile.root radius"; write "profile.root radius": [0.2 mm, 0.4 mm]',
    ],
    [
      "a name without its colon",
      `${text}variants:\n  - name a\n    note: x\n`,
      '14:5 no colon after "name"; write "name: a"',
    ],
  ])("%s", (_slip, slipped, told) => {
    const [place, ...words] = told.split(" ");
    const [line] = faultLines(slipped);
    expect(line).toContain(words.join(" "));
    expect(line!.startsWith(place!)).toBe(true);
  });

  test("in braces too", () => {
    const lines = faultLines(
      "part: T\nprofile: {kind: internal spline, teeth:17}\nload: { torque: 1 N m }\n",
    );
    expect(lines.some((line) => line.includes('put a space after the colon: "teeth: 17"'))).toBe(true);
  });

  // a search that tried every way of sharing the spaces out would not come to an end
  test("however long the line is", () => {
    const spaces = " ".repeat(200_000);
    expect(
      faultLines(`part: hub\nprofile:\n  teeth: 17\n  a${spaces}x\n   module: 2 mm\n bad: [\n`),
    ).not.toEqual([]);
  });

  test("but what merely reads oddly is left alone where the file parses", () => {
    expect(
      faultLines(partText({ add: 'variants:\n  - name: a\n    note: "margin 1.5, teeth:17"\n' })),
    ).toEqual([]);
  });
});

describe("words of the trade", () => {
  test.each([
    ["kind: internal spline", "kind: dog teeth", 'dog, jaw, ratchet and ramp teeth are "face tooth"'],
    ["kind: internal spline", "kind: splined axle", 'as on a shaft, are "external spline"'],
    ["root radius", "fillet radius", 'did you mean "root radius"?'],
    [
      "kind: internal spline",
      "kind: clutch hub",
      'teeth that point inward, as in a hub or side gear, are "internal spline"',
    ],
  ])("in place of %s, %s is answered with what it is here", (from, to, told) => {
    expect(faultLines(partText({ replace: [from, to] }))[0]).toContain(told);
  });

  test("of another kind of part are not", () => {
    const [line] = faultLines(partText({ replace: ["teeth: 17", "teeth: 17\n  gap angle: 3 deg"] }));
    expect(line).not.toContain("tip land");
  });

  test("an unknown key is answered with those of its kind of part", () => {
    const [line] = faultLines(partText({ replace: ["teeth: 17", "teeth: 17\n  widgets: 3"] }));
    expect(line).toContain("rim diameter");
    expect(line).not.toContain("loaded flank");
  });

  test("who does not know how many teeth carry is told what to write", () => {
    const [line] = faultLines(partText({ replace: ["690 N m", "690 N m\n  teeth sharing: unknown"] }));
    expect(line).toContain(
      '(not known? "one tooth" is mostly the safest; or 50 % with "which teeth: worst")',
    );
  });
});
