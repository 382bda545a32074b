import { describe, expect, it } from "vitest";
import { aboutText, sharedNotes } from "../../src/report/notes.ts";

const noted = (part: string, variant: string, ...notes: string[]) => ({ part, variant, notes });
const told = (all: Parameters<typeof sharedNotes>[0], most = 4) =>
  sharedNotes(all).map((one) => `${aboutText(one, most, (name) => name)}: ${one.note}`);

describe("whom a note is about", () => {
  it("is all, by name, or counted beyond the first few", () => {
    expect(told([noted("hub", "a", "n"), noted("hub", "b", "n")])).toEqual(["all: n"]);
    expect(told([noted("hub", "a", "n")])).toEqual(["a: n"]);
    const six = ["a", "b", "c", "d", "e", "f"].map((name) => noted("hub", name, "n"));
    expect(told([...six, noted("hub", "g")])).toEqual(["a, b, c, d and 2 more: n"]);
    expect(told([...six.slice(0, 5), noted("hub", "g")])).toEqual(["a, b, c, d, e: n"]);
  });

  it("tells variants of one name in two parts apart where it is about one of them only", () => {
    const parts = [
      noted("hub", "V0", "soft", "both"),
      noted("hub", "V1", "soft"),
      noted("ring", "V0", "both", "thin"),
      noted("ring", "V1"),
    ];
    expect(told(parts)).toEqual(["all of hub: soft", "V0: both", "V0 of ring: thin"]);
  });
});
