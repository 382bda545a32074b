import fc from "fast-check";
import { beforeAll, describe, expect, test } from "vitest";
import type { Design } from "../../src/design/index.ts";
import {
  assess,
  type Band,
  BUILT_IN,
  type Capacity,
  type Change,
  type Conditions,
  evenSharing,
  extendCatalogue,
  fairSplit,
  firstChange,
  type HardnessWindow,
  hardnessWindow,
  highestBetween,
  largestReaching,
  largestTorque,
  payingLimit,
  type RootField,
  type SteelQuery,
  type SteelRecord,
  smallestReaching,
  smallestRootRadius,
} from "../../src/strength/index.ts";
import { shaftRemedies } from "../../src/strength/judge/shaftRemedies.ts";
import { whatLacks } from "../../src/strength/judge/whatLacks.ts";
import { off } from "./reference.ts";
import { design, rootOf, spline } from "./roots.ts";

const steel: SteelQuery = { grade: "4340", hardnessLow: 40, hardnessHigh: 40 };
let sharp: RootField;
let fillet: RootField;
beforeAll(() => {
  sharp = rootOf(design(spline({ rootRadius: 0 })));
  fillet = rootOf(design(spline({ rootRadius: 0.4 })));
});

function windowOf(root: RootField, requiredTorque: number, tolerance = 2, query = steel): HardnessWindow {
  const found = hardnessWindow(root, query, { requiredTorque }, { tolerance });
  if ("faults" in found) throw new Error(JSON.stringify(found.faults));
  return found.window;
}

function lowAt(root: RootField, hrc: number, requiredTorque: number): number {
  const found = assess(root, { grade: "4340", hardnessLow: hrc, hardnessHigh: hrc }, { requiredTorque });
  if ("faults" in found) throw new Error("no capacity");
  return found.capacity.governing.torque!.low;
}

/** Rows of a steel of one's own: hardness, and the low end of the figure there; its high end is a fifth more. */
const rows = (...all: readonly (readonly [hrc: [number, number], low: [number, number]])[]) =>
  all.map(([hrc, low]) => ({
    hrc,
    low,
    high: low.map((one) => 1.2 * one) as [number, number],
    scatter: 0,
    source: "own tests",
  }));

/** The window of the filleted root in such a steel. */
function ownWindow(
  hrc: [number, number],
  figures: Pick<SteelRecord, "toughness" | "threshold">,
  conditions: Conditions,
  tolerance: number,
): HardnessWindow {
  const { catalogue } = extendCatalogue(BUILT_IN, [
    {
      name: "ours",
      condition: "through hardened",
      hrc,
      yieldRatio: { low: 0.86, high: 0.95, source: "own tests" },
      ...figures,
    },
  ]);
  const query = { grade: "ours", hardnessLow: hrc[0], hardnessHigh: hrc[0] };
  return (hardnessWindow(fillet, query, conditions, { catalogue, tolerance }) as { window: HardnessWindow })
    .window;
}

describe("hardnessWindow", () => {
  test("runs from the softest to the hardest the data carry, every mode a line with its band", () => {
    const found = windowOf(fillet, 1.2e6);
    expect(found.hardness[0]).toBe(20);
    expect(found.hardness[found.hardness.length - 1]).toBe(59);
    expect(found.lines.map((line) => line.id)).toContain("root fracture");
    for (const line of found.lines) {
      expect(line.low).toHaveLength(found.hardness.length);
      for (const [k, low] of line.low.entries())
        if (low !== null) expect(line.high[k]!).toBeGreaterThanOrEqual(low);
    }
    for (const [k, low] of found.low.entries()) {
      const ruling = found.lines.filter((line) => line.governs[k] && line.low[k] !== null);
      expect(low).toBe(Math.min(...ruling.map((line) => line.low[k]!)));
    }
  });

  test("what satisfies does so everywhere in the range at the low end, and nothing outside does", () => {
    const required = 2.2e6;
    const found = windowOf(sharp, required);
    expect(found.satisfying.length).toBeGreaterThan(0);
    const inside = (hrc: number) => found.satisfying.some(([a, b]) => hrc >= a && hrc <= b);
    const near = (hrc: number) => found.satisfying.flat().some((edge) => Math.abs(edge - hrc) < 0.1);
    for (let hrc = 20; hrc <= 59; hrc += 0.37) {
      if (near(hrc)) continue;
      expect(lowAt(sharp, hrc, required) >= required, `${hrc}`).toBe(inside(hrc));
    }
  });

  test("the hardness to aim at leaves room for the heat treater on both sides", () => {
    const required = 2.2e6;
    const found = windowOf(sharp, required);
    expect(found.aim).not.toBeNull();
    for (const aim of found.aim!)
      for (const hrc of [aim - 2, aim, aim + 2])
        expect(lowAt(sharp, hrc, required)).toBeGreaterThanOrEqual(required * (1 - 1e-9));
    const loose = windowOf(sharp, required, 1).aim!;
    expect(loose[0]).toBeLessThanOrEqual(found.aim![0]);
    expect(loose[1]).toBeGreaterThanOrEqual(found.aim![1]);
  });

  test("more torque never widens it; where none is left it says why and what to change first", () => {
    let before = Infinity;
    for (const required of [0.5e6, 1.5e6, 2e6, 2.3e6, 2.6e6]) {
      const width = windowOf(sharp, required).satisfying.reduce((sum, [a, b]) => sum + b - a, 0);
      expect(width).toBeLessThanOrEqual(before + 0.1);
      before = width;
    }
    const none = windowOf(sharp, 2e7);
    expect(none.aim).toBeNull();
    expect(none.satisfying).toEqual([]);
    expect(none.none!.why).toMatch(/% of the required torque/);
    expect(none.none!.change.length).toBeGreaterThan(10);
    // a range narrower than the tolerance is none either, and is said to be
    const narrow = windowOf(sharp, 2.2e6, 30);
    expect(narrow.aim).toBeNull();
    expect(narrow.none!.why).toMatch(/narrower than ± 30 HRC/);
    // and what ends it on either side is what to change
    const [softest, hardest] = narrow.satisfying[0]!;
    const beyond = [softest - 0.5, hardest + 0.5].flatMap((hrc) => {
      const { hardness, governing } = narrow;
      const k = hardness.findIndex((at) => Math.abs(at - hrc) <= 0.25);
      return k < 0 ? [] : [firstChange(governing[k]!, sharp)];
    });
    expect(beyond.length).toBeGreaterThan(0);
    for (const change of beyond) expect(narrow.none!.change).toContain(change);
  });

  test("fatigue from a flaw asks for the flaw to go, not for a radius alone", () => {
    expect(firstChange("fatigue", fillet)).toMatch(/^a larger root radius/);
    // where none fits, none is advised
    expect(firstChange("fatigue", fillet, { atLargest: true })).not.toContain("radius");
    expect(firstChange("fatigue", fillet, { flawed: true })).toMatch(/^a root free of tool marks and cracks/);
    // nor does a flaw hide a sharp corner, or a wall thinner than the tooth
    expect(firstChange("fatigue", sharp, { flawed: true })).toContain("cut a root radius");
    const thin = { ...fillet, tooth: { ...fillet.tooth, wall: 0.5 * fillet.tooth.rootThickness } };
    expect(firstChange("flaw fracture", thin, { flawed: true })).toContain("a thicker wall behind it");
    // a wall whose far side is held fast is stiffened by being thin
    const held = { ...thin, tooth: { ...thin.tooth, wallHeld: true } };
    expect(firstChange("flaw fracture", held, { flawed: true })).not.toContain("wall");
    expect(firstChange("fatigue", held)).not.toContain("wall");
  });

  // a trial, not a rule: what was solved says which of them helps, and by how much
  test("what was found to carry more comes first, with what it brings", () => {
    const radius = { words: "a larger root radius", at: "R1 mm" };
    const wall = { words: "a thicker wall behind the teeth", at: "rim 64 mm" };
    const machined = { words: "machined roots", at: "" };
    const brought = (gain: number, order: readonly [number, number] | null = null, atAny = false) => ({
      gain,
      order,
      atAny,
    });
    const change = (gains: [number, number], together: number | null = null) =>
      firstChange("fatigue", fillet, {
        levers: {
          gains: [radius, wall].map((lever, k) => ({ ...lever, ...brought(gains[k]!) })),
          together: together === null ? null : { ...brought(together), of: [radius, wall] },
        },
      });
    expect(change([0.08, 0.42], 0.55)).toMatch(
      /^a thicker wall behind the teeth \(rim 64 mm: 42 % more\) or a larger root radius \(R1 mm: 8 % more\), together 55 % more, else a wider face/,
    );
    // a larger fillet takes height from the contact, and a thicker wall leaves that to govern
    expect(change([0.08, 0.42])).toContain(", together no more than the first, else");
    // what brings nothing alone may in company
    expect(change([0.004, 0.42], 0.55)).toMatch(
      /42 % more\), a larger root radius \(R1 mm\) and a thicker wall behind the teeth \(rim 64 mm\) together 55 % more, else/,
    );
    expect(change([0, 0], 0.2)).toMatch(
      /^a larger root radius \(R1 mm\) and a thicker wall .* together 20 % more, else/,
    );
    expect(change([0.08, 0.004])).toMatch(/^a larger root radius \(R1 mm: 8 % more\), else a wider face/);
    expect(change([-0.02, 0])).toMatch(/^a wider face/);
    // what leaves a hardness to order is told, and nothing that does not
    const gains = [
      { ...wall, ...brought(0.4) },
      { ...radius, ...brought(0.003, [42.04, 46]) },
      { ...machined, ...brought(0.5, null, true) },
    ];
    const lacking = { width: 1.21, withShaft: 1, shaft: null, bore: 1 };
    expect(firstChange("fatigue", fillet, { levers: { gains, together: null }, lacking })).toMatch(
      /^machined roots \(enough at every hardness the steel's figures reach\) or a larger root radius \(R1 mm is enough: order 42\.1 to 46\.0 HRC\), else a wider face \(some 1\.3 times as wide\)/,
    );
    const both = { gains: gains.slice(0, 1), together: { ...brought(0.6, [30, 34]), of: [wall] } };
    expect(firstChange("fatigue", fillet, { levers: both, of: " in the core" })).toContain(
      ", together enough: order 30.0 to 34.0 HRC in the core, else",
    );
    expect(firstChange("flank crushing", fillet, { levers: both })).not.toContain("wall");
  });

  // twist grows with the cube of the shaft's diameter, and not with the face width
  test("a shaft that twists first is told how much thicker it must be, and a face no width that does nothing for it", () => {
    const shaft = { diameter: 40, bore: 20 };
    const hollow = { ...fillet, tooth: { ...fillet.tooth, shaft } };
    const twist = (times: number | null, bore: number | null = null) =>
      firstChange("shaft twist", hollow, {
        lacking: { width: 1.5, withShaft: 1.2, shaft: times, bore: 1 },
        ...(times !== null && { shaft: () => ({ times, bore }) }),
      });
    expect(twist(1.02, 17.3)).toBe(
      "a thicker shaft (some 1.1 times as thick, bore and all) or a smaller bore (17.3 mm is enough)",
    );
    expect(twist(1.02)).toBe("a thicker shaft (some 1.1 times as thick, bore and all)");
    const bore = (times: number, enough: number) => {
      const tried: number[] = [];
      const { bore: found } = shaftRemedies(
        shaft,
        { width: 1, withShaft: 1, shaft: 1, bore: times },
        {
          bore: (mm) => {
            tried.push(mm);
            return mm <= enough;
          },
          thicker: () => false,
          round: Math.floor,
        },
      );
      return { tried, found };
    };
    // of first yield a bore b leaves 1 − (b/40)⁴, 15/16 of it at 20 mm: 1.05 of that at 40 (1 − 1.05 · 15/16)^¼ = 14.1 mm;
    // of plastic twist 1 − (b/40)³, 7/8 of it: 40 (1 − 1.05 · 7/8)^⅓ = 17.3 mm. The larger is tried first
    expect(bore(1.05, 40)).toEqual({ tried: [17], found: 17 });
    // another way to give may come first with the thicker wall: smaller ones are tried, and then none is told
    expect(bore(1.05, 14.5)).toEqual({ tried: [17, 16, 14], found: 14 });
    expect(bore(1.05, 5)).toEqual({ tried: [17, 16, 14, 13], found: null });
    // a solid one has 8/7
    expect(bore(1.15, 40)).toEqual({ tried: [], found: null });
    // and a shaft that is not enough as thick as twist alone would take is tried thicker
    const thick = (times: number, enough: number) =>
      shaftRemedies(
        shaft,
        { width: 1, withShaft: 1, shaft: times, bore: 1 },
        { bore: () => false, thicker: (tried) => tried >= enough - 1e-9, round: Math.floor },
      ).times;
    expect(thick(1.16, 1.2)).toBe(1.16);
    expect(thick(1.16, 1.4)).toBeCloseTo(1.36, 12);
    expect(thick(1.16, 1.6)).toBe(1);
    expect(twist(null)).toMatch(
      /^a wider face \(some 1\.6 times as wide.*, with a thicker shaft \(some 1\.3 times/,
    );
    const solid = (times: number) =>
      firstChange("shaft twist", fillet, { lacking: { width: 1, withShaft: 1, shaft: times, bore: 1 } });
    expect(solid(1.31)).toBe("a thicker shaft (some 1.4 times as thick)");
    expect(solid(1)).toBe("a thicker shaft");
  });

  test("what lacks is told of face and shaft apart", () => {
    const mode = (id: string, low: number) => ({ id, governs: true, torque: { low, high: 2 * low } });
    const capacities = (rest: (number | null)[], twist: number, uncounted: string[] = []) =>
      rest.map((low) =>
        low === null
          ? null
          : {
              modes: [
                mode("fatigue", low),
                mode("shaft twist", twist),
                { ...mode("published twist", 400), governs: false },
              ],
              uncounted,
            },
      ) as unknown as (Capacity | null)[];
    const swept = [40, 42, 44, 46, 48];
    // between two steps as at the lower one
    const found = (rest: (number | null)[], twist: number, uncounted?: string[], tolerance = 2) => {
      const known = capacities(rest, twist, uncounted);
      const at = (hrc: number) => known[swept.findLastIndex((one) => one <= hrc + 1e-9)]!;
      return whatLacks(swept, at, 1000, tolerance);
    };
    const lacks = (...of: Parameters<typeof found>) => found(...of).lacking;
    expect(lacks([900, 800, 800, 800, 700], 1300)).toMatchObject({ width: 1.25, withShaft: 1, shaft: null });
    // the teeth stand it from 40 to 44, where the shaft lacks a third
    expect(lacks([1100, 1100, 1100, 800, 800], 750)).toMatchObject({
      width: 1,
      shaft: Math.cbrt(1000 / 750),
    });
    expect(lacks([500, 500, 500, 500, 500], 512)).toMatchObject({ width: 2, withShaft: 1.25, shaft: null });
    expect(lacks([500, 500, 500, 500, 500], 2000, ["twist"]).withShaft).toBeCloseTo(
      Math.cbrt(1000 / 400),
      12,
    );
    // of teeth whose fracture is not counted no width can be told
    expect(lacks([500, 500, 500, 500, 500], 512, ["root"])).toMatchObject({
      width: 1,
      withShaft: 1,
      shaft: 1.25,
    });
    // nothing is held across what has no figures, and where none has room for the tolerance a whole stretch must do
    expect(lacks([800, 800, null, 500, 500], 2000, [], 1).width).toBe(1.25);
    expect(lacks([500, 500, 500, 800, null], 2000).width).toBe(2);
    expect(lacks([900, 800, 700, null, 500], 2000, [], 3).width).toBeCloseTo(1000 / 700, 12);
    // the ends of the tolerance count where they lie between steps: from 40.5 to 47.5 it is 800 at 40.5
    expect(lacks([800, 900, 900, 900, 900], 2000, [], 3.5).width).toBe(1.25);
    // where there is no room for it, that is said
    expect(found([500, 500, 500, 800, null], 2000).room).toBe(true);
    expect(found([900, 800, 700, null, 500], 2000, [], 3).room).toBe(false);
    // no part is made a ten-thousandth wider
    expect(lacks([999.99, 999.99, 999.99, 999.99, 999.99], 2000).width).toBe(1);
  });

  test("a margin asks for that much more torque", () => {
    const twice = hardnessWindow(sharp, steel, { requiredTorque: 1.1e6 }, { margin: 2 });
    expect((twice as { window: HardnessWindow }).window.satisfying).toEqual(
      windowOf(sharp, 2.2e6).satisfying,
    );
  });

  test("sweeps the core of a case-hardened steel", () => {
    const query = {
      grade: "8620 case",
      hardnessLow: 58,
      hardnessHigh: 61,
      core: { hardnessLow: 30, hardnessHigh: 38 },
    };
    const found = windowOf(fillet, 1e6, 2, query);
    expect(found.swept).toBe("core hardness");
    expect([found.hardness[0], found.hardness[found.hardness.length - 1]]).toEqual([20, 50]);
  });

  test("an unknown steel or a negative tolerance is a fault; peening starts the sweep where it counts", () => {
    expect(hardnessWindow(fillet, { ...steel, grade: "4304" }, { requiredTorque: 1 })).toHaveProperty(
      "faults",
    );
    expect(hardnessWindow(fillet, steel, { requiredTorque: 1 }, { tolerance: -1 })).toHaveProperty("faults");
    expect(hardnessWindow(fillet, steel, { requiredTorque: 1, flawDepth: -1 })).toMatchObject({
      faults: [{ key: "strength.flaw depth" }],
    });
    const peened = hardnessWindow(fillet, steel, { requiredTorque: 1e6, peened: true });
    expect((peened as { window: HardnessWindow }).window.hardness[0]).toBe(30);
  });

  // half a step of the sweep at the hard end had never been judged
  test("judges a steel's figures to their hard end, and finds an order in their middle", () => {
    const hrc: [number, number] = [38.3, 40.6];
    const windowOf = (requiredTorque: number, low: [number, number], tolerance: number) =>
      ownWindow(hrc, { toughness: rows([hrc, low]) }, { requiredTorque }, tolerance);
    const even = windowOf(1, [80, 70], 1.1);
    expect(even.hardness.at(-1)).toBe(40.6);
    expect(even.aim![0]).toBeCloseTo(39.4, 9);
    expect(even.aim![1]).toBeCloseTo(39.5, 9);
    // toughness that falls steeply: what stands at 40.3 does not at 40.6
    const steep = windowOf(1, [80, 20], 1.1);
    const last = steep.low.at(-1)!;
    const fallen = windowOf(1.001 * last, [80, 20], 1.1);
    expect(fallen.whole).toBe(false);
    expect(fallen.satisfying[0]![1]).toBeLessThan(40.6);
    // a part far stronger has room for a tolerance that takes but a little less than the figures span
    expect(windowOf(1.2 * last, [80, 20], 1.1).none!.change).not.toContain("whatever the part");
    expect(windowOf(1.2 * last, [80, 20], 1.2).none!.change).toMatch(/whatever the part|beyond these/);
  });

  test("judges it where its own hardness table ends, and where peening begins to count", () => {
    const windowOf = (hrc: [number, number], conditions: Partial<Conditions>, tolerance: number) =>
      ownWindow(hrc, { toughness: rows([hrc, [72, 66]]) }, { requiredTorque: 1, ...conditions }, tolerance);
    // the table of tensile strength ends at 59 HRC
    const hard = windowOf([56.2, 60.2], {}, 1.4);
    expect(hard.hardness.at(-1)).toBe(59);
    expect(hard.aim).toEqual([57.6, 57.6]);
    const peened = windowOf([26.3, 36], { peened: true, shocks: 10000 }, 3);
    expect(peened.hardness[0]).toBe(30);
    expect(peened.aim).toEqual([33, 33]);
    // 34.3 − 30.3 is a little less than 4 in the machine
    expect(windowOf([30.3, 34.3], {}, 2).aim![0]).toBeCloseTo(32.3, 9);
    expect(windowOf([30.3, 34.3], {}, 2.001).aim).toBe(null);
  });

  test("a stretch that ends with its figures leaves another to be made to stand", () => {
    const toughness = rows(
      [
        [40, 41.5],
        [60, 60],
      ],
      [
        [44, 52],
        [30, 28],
      ],
    );
    const windowOf = (requiredTorque: number) => ownWindow([36, 52], { toughness }, { requiredTorque }, 1);
    const free = windowOf(1);
    const at = (hrc: number) => free.low[free.hardness.indexOf(hrc)]!;
    expect(at(41)).toBeGreaterThan(at(48));
    const { satisfying, none } = windowOf(1.02 * Math.max(at(44), at(48), at(52)));
    expect(satisfying).toEqual([[40, 41.5]]);
    expect(none!.change).toMatch(
      /^a larger root radius.*wider face \(some 1\.1 times as wide\).*; or the tolerance/,
    );
  });

  test("what is not counted together must be given together", () => {
    const change = (toughness: [number, number], threshold: [number, number]) => {
      const figures = { toughness: rows([toughness, [80, 75]]), threshold: rows([threshold, [6, 5.5]]) };
      return ownWindow([36, 48], figures, { requiredTorque: 1, shocks: 10000 }, 4).none!.change;
    };
    // from 36 to 42 alone both are known, and beyond neither is
    expect(change([36, 42], [36, 42])).toContain(
      "give the steel its toughness rows and give the steel its fatigueLimit and threshold rows",
    );
    expect(change([36, 48], [36, 42])).not.toContain("toughness");
    // nowhere both: one of them is enough somewhere
    expect(change([42, 48], [36, 41])).toBe(
      "give the steel its toughness rows; or give the steel its fatigueLimit and threshold rows",
    );
  });

  test("takes a user's own steel", () => {
    const { catalogue } = extendCatalogue(BUILT_IN, [
      {
        name: "ours",
        condition: "through hardened",
        hrc: [30, 36],
        yieldRatio: { low: 0.8, high: 0.9, source: "own tests" },
        toughness: [{ hrc: [30, 36], low: [80, 70], high: [100, 90], scatter: 0.1, source: "own tests" }],
      },
    ]);
    const found = hardnessWindow(fillet, { ...steel, grade: "ours" }, { requiredTorque: 1e6 }, { catalogue });
    expect((found as { window: HardnessWindow }).window.hardness).toHaveLength(13);
  });

  test("vouches for no hardness whose toughness is not known", () => {
    const own = (toughness: readonly (readonly [number, number])[]) =>
      extendCatalogue(BUILT_IN, [
        {
          name: "ours",
          condition: "through hardened",
          hrc: [30, 42],
          yieldRatio: { low: 0.8, high: 0.9, source: "own tests" },
          toughness: toughness.map((hrc) => ({
            hrc: [...hrc] as [number, number],
            low: [80, 70] as [number, number],
            high: [100, 90] as [number, number],
            scatter: 0.1,
            source: "own tests",
          })),
        },
      ]).catalogue;
    const windowOf = (catalogue: ReturnType<typeof own>): HardnessWindow => {
      const found = hardnessWindow(fillet, { ...steel, grade: "ours" }, { requiredTorque: 1 }, { catalogue });
      return (found as { window: HardnessWindow }).window;
    };
    const [part] = windowOf(own([[30, 36]])).satisfying;
    expect(part![0]).toBe(30);
    expect(part![1]).toBeLessThan(36.03);
    const none = windowOf(own([]));
    expect(none.satisfying).toEqual([]);
    expect(none.aim).toBe(null);
    expect(none.none!.why).toMatch(/no fracture toughness is known/);
  });
});

/** Average over all orders, order by order. */
function byOrders(
  ids: readonly string[],
  capacity: (made: ReadonlySet<string>) => Band,
): Map<string, [number, number]> {
  const orders: string[][] = [];
  const permute = (rest: string[], done: string[]): void => {
    if (rest.length === 0) orders.push(done);
    for (const id of rest)
      permute(
        rest.filter((other) => other !== id),
        [...done, id],
      );
  };
  permute([...ids], []);
  const sums = new Map<string, [number, number]>(ids.map((id) => [id, [0, 0]]));
  for (const order of orders) {
    const made = new Set<string>();
    let before = capacity(made);
    for (const id of order) {
      made.add(id);
      const now = capacity(made);
      const sum = sums.get(id)!;
      sum[0] += (now.low - before.low) / orders.length;
      sum[1] += (now.high - before.high) / orders.length;
      before = now;
    }
  }
  return sums;
}

describe("fairSplit", () => {
  const changes = (ids: readonly string[]): Change[] => ids.map((id) => ({ id, title: id }));

  test("is the average over every order of making the changes, and adds up to the whole", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 4 }),
        fc.array(fc.double({ min: 1, max: 9, noNaN: true }), { minLength: 32, maxLength: 32 }),
        (n, values) => {
          const ids = ["radius", "hardness", "sharing", "width"].slice(0, n);
          const capacity = (made: ReadonlySet<string>): Band => {
            const set = ids.reduce((bits, id, k) => bits + (made.has(id) ? 2 ** k : 0), 0);
            return { low: values[set], high: values[set] + values[16 + set] };
          };
          const split = fairSplit(changes(ids), capacity);
          const brute = byOrders(ids, capacity);
          let [low, high] = [0, 0];
          for (const worth of split.changes) {
            const [a, b] = brute.get(worth.id)!;
            expect(worth.fair.low).toBeCloseTo(Math.min(a, b), 9);
            expect(worth.fair.high).toBeCloseTo(Math.max(a, b), 9);
            low += a;
            high += b;
            expect(worth.ends.fair[0]).toBeCloseTo(a, 9);
            expect(worth.ends.fair[1]).toBeCloseTo(b, 9);
          }
          expect(split.totalEnds[0]).toBeCloseTo(low, 9);
          expect(split.totalEnds[1]).toBeCloseTo(high, 9);
          expect(low).toBeCloseTo(split.after.low - split.before.low, 9);
          expect(high).toBeCloseTo(split.after.high - split.before.high, 9);
          expect(split.evaluations).toBe(2 ** n);
        },
      ),
      { seed: 53, numRuns: 60 },
    );
  });

  test("tells no rounding where a change has no part", () => {
    const split = fairSplit(changes(["a", "b", "idle"]), (made) => {
      const low = (made.has("a") ? 0.1 : 0) + (made.has("b") ? 0.2 : 0) + 1e6;
      return { low, high: 3 * low };
    });
    const idle = split.changes.find(({ id }) => id === "idle")!;
    expect([idle.fair, idle.alone, idle.last]).toEqual(Array(3).fill({ low: 0, high: 0 }));
  });

  // the glove game of game theory: one left, two right gloves → 2/3, 1/6, 1/6
  test("gives the textbook split of the glove game", () => {
    const worth = (made: ReadonlySet<string>) =>
      made.has("left") && (made.has("right 1") || made.has("right 2")) ? 1 : 0;
    const split = fairSplit(changes(["left", "right 1", "right 2"]), (made) => ({
      low: worth(made),
      high: worth(made),
    }));
    expect(split.changes.map((one) => one.fair.low)).toEqual(
      [2 / 3, 1 / 6, 1 / 6].map((x) => expect.closeTo(x, 12)),
    );
  });

  test("asks each set once, keeps alone and last, and says when the band is larger than the effect", () => {
    let asked = 0;
    const split = fairSplit(changes(["sure", "unsure", "harm"]), (made) => {
      asked++;
      const sure = made.has("sure") ? 10 : 0;
      const harm = made.has("harm") ? -3 : 0;
      return {
        low: 100 + sure + harm - (made.has("unsure") ? 4 : 0),
        high: 120 + sure + harm + (made.has("unsure") ? 6 : 0),
      };
    });
    expect(asked).toBe(8);
    const [sure, unsure, harm] = split.changes;
    expect(sure).toMatchObject({
      uncertain: false,
      alone: { low: 10, high: 10 },
      last: { low: 10, high: 10 },
    });
    expect(unsure.uncertain).toBe(true);
    expect(unsure.words).toMatch(/help or harm/);
    expect(harm.words).toMatch(/loss/);
  });

  test("refuses nothing to split, too much, or one name twice", () => {
    const flat = () => ({ low: 1, high: 1 });
    expect(() => fairSplit([], flat)).toThrow(/0 changes/);
    expect(() => fairSplit(changes(Array.from({ length: 13 }, (_, k) => `c${k}`)), flat)).toThrow(
      /13 changes/,
    );
    expect(() => fairSplit(changes(["a", "a"]), flat)).toThrow(/share a name/);
  });

  test("splits a real change of radius, hardness and width, the solver asked once a geometry", () => {
    const roots = new Map<string, RootField>();
    const capacity = (made: ReadonlySet<string>): Band => {
      const profile = spline({
        rootRadius: made.has("radius") ? 0.4 : 0.1,
        faceWidth: made.has("width") ? 21 : 16,
      });
      const key = `${profile.rootRadius} ${profile.faceWidth}`;
      const root = roots.get(key) ?? rootOf(design(profile), 2);
      roots.set(key, root);
      const hrc = made.has("hardness") ? [38, 42] : [54, 56];
      const found = assess(
        root,
        { grade: "4340", hardnessLow: hrc[0], hardnessHigh: hrc[1] },
        { requiredTorque: 1.242e6 },
      );
      if ("faults" in found) throw new Error("no capacity");
      return found.capacity.stands;
    };
    const split = fairSplit(changes(["radius", "hardness", "width"]), capacity);
    expect(roots.size).toBe(4);
    const width = split.changes[2];
    // width alone scales every torque by 21/16
    expect(off(width.alone.low, (5 / 16) * split.before.low)).toBeLessThan(1e-6);
    expect(split.changes[0].alone.low).toBeGreaterThan(0);
    const sum = split.changes.reduce((total, one) => total + one.fair.low + one.fair.high, 0);
    expect(off(sum, split.total.low + split.total.high)).toBeLessThan(1e-9);
  });
});

describe("inverse questions", () => {
  test("the smallest x that reaches a target is found, on the safe side, within the tolerance", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 0.95, noNaN: true }),
        fc.constantFrom<(x: number) => number>(
          (x) => x,
          (x) => x ** 5,
          (x) => Math.sqrt(x),
          (x) => Math.exp(8 * x),
          (x) => Math.atan(50 * (x - 0.5)),
          (x) => (x < 0.3 ? 0 : 1 + x),
        ),
        (root, f) => {
          const found = smallestReaching(f, { from: 0, to: 1, target: f(root), tolerance: 1e-4 });
          expect(found.kind).toBe("found");
          if (found.kind !== "found") return;
          expect(found.value).toBeGreaterThanOrEqual(f(root));
          expect(f(found.x)).toBe(found.value);
          if (found.outside) {
            expect(found.outside.value).toBeLessThan(f(root));
            expect(found.x - found.outside.x).toBeLessThanOrEqual(1e-4 * (1 + 1e-9));
          }
          expect(found.trials.length).toBeLessThan(45);
          expect(found.monotone).toBe(true);
        },
      ),
      { seed: 11, numRuns: 300 },
    );
  });

  test("says none with the best there is, takes an end that already does, and notices disorder", () => {
    const rise = { from: 0, to: 1, target: 2, tolerance: 0.01 };
    expect(smallestReaching((x) => x, rise)).toMatchObject({ kind: "none", best: { x: 1, value: 1 } });
    expect(smallestReaching((x) => x + 5, rise)).toMatchObject({ kind: "found", x: 0, outside: null });
    const bumpy = smallestReaching((x) => x + Math.sin(20 * x), {
      from: 0,
      to: 1,
      target: 0.9,
      tolerance: 1e-3,
    });
    expect(bumpy).toMatchObject({ kind: "found", monotone: false });
    expect(() => smallestReaching((x) => x, { ...rise, to: 0 })).toThrow(/nothing lies between/);
    expect(() => highestBetween((x) => x, { ...rise, to: 0 })).toThrow(/nothing lies between/);
    expect(() => smallestReaching(() => Number.NaN, rise)).toThrow(/no value/);
  });

  test("a height that no end and no even grid shows is found by golden section, or as soon as it does", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.02, max: 0.98, noNaN: true }),
        fc.double({ min: 0.1, max: 5, noNaN: true }),
        (peak, steep) => {
          const hill = (x: number) => 3 - steep * Math.abs(x - peak);
          const search = { from: 0, to: 1, tolerance: 1e-3 };
          const { best, trials } = highestBetween(hill, { ...search, target: 4 });
          expect(Math.abs(best.x - peak)).toBeLessThan(1e-3);
          expect(trials.length).toBeLessThan(20);
          const enough = highestBetween(hill, { ...search, target: 3 - steep });
          expect(enough.trials).toHaveLength(2);
        },
      ),
      { seed: 12 },
    );
  });

  test("the largest x where more costs is the mirror of it", () => {
    const found = largestReaching((x) => 10 / x, { from: 1, to: 20, target: 2.5, tolerance: 1e-3 });
    expect(found).toMatchObject({ kind: "found", x: expect.closeTo(4, 2) });
    if (found.kind === "found") expect(found.value).toBeGreaterThanOrEqual(2.5);
    const torque = largestTorque((t) => 3e6 / t, { from: 1e5, to: 1e7 }, 1.5);
    expect(torque).toMatchObject({ kind: "found", x: expect.closeTo(2e6, -4.5) });
  });

  test("the smallest root radius for a margin has the solver in the loop, and its proof is a solve", () => {
    const solve = (rootRadius: number): number => {
      const found = assess(
        rootOf(design(spline({ rootRadius })), 2),
        { grade: "4340", hardnessLow: 54, hardnessHigh: 56 },
        { requiredTorque: 1.242e6 },
      );
      if ("faults" in found) throw new Error("no capacity");
      return found.capacity.governing.torque!.low;
    };
    const found = smallestRootRadius(solve, { from: 0.05, to: 0.6 }, 1.242e6, 1.6, 0.02);
    expect(found.kind).toBe("found");
    if (found.kind !== "found") return;
    expect(found.value).toBeGreaterThanOrEqual(1.6 * 1.242e6);
    expect(solve(found.x)).toBe(found.value);
    expect(found.outside!.value).toBeLessThan(1.6 * 1.242e6);
    expect(found.trials.length).toBeLessThan(10);
    expect(smallestRootRadius(solve, { from: 0.05, to: 0.6 }, 1.242e6, 5, 0.05).kind).toBe("none");
  });

  test("the place beyond which more buys less than stated is where a span falls under it", () => {
    // √(x + 0.1) − √x = 0.05 where √x = 0.975: their sum is 0.1/0.05 = 2, their difference 0.05
    const found = payingLimit(Math.sqrt, { from: 0.01, to: 4, gain: 0.05, span: 0.1, tolerance: 0.001 });
    expect(found.x! - 0.975 ** 2).toBeGreaterThanOrEqual(0);
    expect(found.x! - 0.975 ** 2).toBeLessThan(0.001);
    expect(found.always).toBe(false);
    expect(payingLimit((x) => 3 * x, { from: 0, to: 1, span: 0.1, gain: 0.2 })).toMatchObject({
      x: 1,
      always: true,
    });
    expect(payingLimit((x) => x, { from: 0, to: 1, span: 0.1, gain: 0.2 }).x).toBeNull();
    // a gain that comes back late still counts
    expect(payingLimit((x) => (x < 3 ? 0 : x), { from: 0, to: 4, span: 1, gain: 0.5 }).x).toBe(4);
    // a span longer than the range counts in proportion
    expect(payingLimit((x) => x, { from: 0, to: 1, span: 2, gain: 1.9 }).always).toBe(true);
  });

  test("scatter from mesh to mesh does not contradict the answer where it is looked at", () => {
    let inside = 0;
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        // the last tenth of a millimetre buys 100 (√1.2 − √1.1) = 4.7, the first 100 (√0.15 − √0.05) = 16
        fc.double({ min: 5, max: 40, noNaN: true }),
        (seed, gain) => {
          const solve = (x: number) => 100 * Math.sqrt(x) + 0.4 * Math.sin(seed * x);
          const span = 0.1;
          const { x, always } = payingLimit(solve, { from: 0.05, to: 1.2, span, gain, tolerance: 0.01 });
          if (x === null || always) return;
          inside++;
          expect(solve(x + span) - solve(x)).toBeLessThan(gain + 1e-9);
        },
      ),
      { seed: 29 },
    );
    expect(inside).toBeGreaterThan(40);
  });
});

describe("teeth that are taken to stand evenly", () => {
  const shared = (fraction: number): Design => {
    const made = design(spline());
    return { ...made, load: { ...made.load, sharing: { mode: "share", fraction } } };
  };

  test("are told of wherever some carry, one tooth in words of its own, and nowhere where all do", () => {
    expect(evenSharing(shared(1))).toEqual([]);
    expect(evenSharing(shared(0.5)).join()).toContain("which teeth: worst finds the ones that do it");
    expect(evenSharing(shared(1 / 17)).join()).toContain(
      "without which teeth: evenly the whole ring is solved",
    );
  });
});
