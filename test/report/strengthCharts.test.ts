import { DOMParser } from "@xmldom/xmldom";
import { describe, expect, test } from "vitest";
import { capacityText, changesChart, effectText, hardnessChart, spanText } from "../../src/report/index.ts";
import { designWindow, fairSplit, type HardnessWindow } from "../../src/strength/index.ts";
import { syntheticVariant } from "./synthetic.ts";

const HOSTILE = "<script>alert(1)</script> & \"quoted\" 'x' \u202e\u0007";

function sheet(svg: string) {
  const faults: string[] = [];
  const root = new DOMParser({ onError: (_level, text) => faults.push(text) }).parseFromString(
    svg,
    "image/svg+xml",
  ).documentElement!;
  expect(faults).toEqual([]);
  const texts = [...root.getElementsByTagName("text")].map((node) => ({
    x: Number(node.getAttribute("x")),
    y: Number(node.getAttribute("y")),
    text: node.textContent ?? "",
  }));
  const [, , width, height] = root.getAttribute("viewBox")!.split(" ").map(Number);
  for (const { x, y } of texts) {
    expect(x).toBeGreaterThanOrEqual(0);
    expect(x).toBeLessThanOrEqual(width!);
    expect(y).toBeGreaterThanOrEqual(0);
    expect(y).toBeLessThanOrEqual(height!);
  }
  for (const node of [...root.getElementsByTagName("path")])
    expect(node.getAttribute("d")).not.toMatch(/NaN|Infinity|undefined/);
  return texts;
}

const { result } = syntheticVariant();
const judged = { ...result.design, steel: { ...result.design.steel!, grade: "4340" } };

function windowAt(requiredTorque: number): HardnessWindow {
  const asked = {
    ...judged,
    strength: {
      requiredTorque,
      margin: 1,
      shocks: 1e4,
      torqueRatio: 0,
      finish: "machined" as const,
      peened: false,
      flawDepth: 0.05,
      tolerance: 2,
      distributionFactor: 1,
    },
  };
  const found = designWindow(result.rootField!, asked);
  if (!found || "faults" in found) throw new Error("no window");
  return found.window;
}

const hard = (variant: string, window: HardnessWindow) =>
  hardnessChart({ variants: [{ name: variant, hardness: [38, 42] }], design: judged, window });

describe("hardnessChart", () => {
  test.each([
    ["little", 1e5],
    ["more than any hardness stands", 1e9],
  ])("names every mode once, none over another, when %s is required", (_claim, torque) => {
    const window = windowAt(torque);
    const texts = sheet(hard("V4", window));
    for (const line of window.lines.filter(({ low }) => low.some((t) => t !== null)))
      expect(texts.filter(({ text }) => text.startsWith(line.title)).length).toBeGreaterThanOrEqual(1);
    const names = texts.filter(({ x }) => x === 872).map(({ y }) => y);
    expect(names.length).toBeGreaterThan(8);
    names.sort((a, b) => a - b);
    for (let k = 1; k < names.length; k++) expect(names[k]! - names[k - 1]!).toBeGreaterThanOrEqual(14.9);
  });

  test("marks the range that satisfies, or says none and what to change first", () => {
    const some = sheet(hard("V4", windowAt(1e5))).map(({ text }) => text);
    expect(some.some((text) => text.startsWith("Order "))).toBe(true);
    const none = sheet(hard("V4", windowAt(1e9))).map(({ text }) => text);
    expect(none.filter((text) => text === "none")).toHaveLength(2);
    expect(none.join(" ")).toMatch(/No hardness to order: .* Change first: /);
  });

  test("says what is to be watched for, within the sheet however much it is", () => {
    const window = windowAt(1e5);
    const of = (warnings: readonly string[]) => sheet(hard("V4", { ...window, warnings }));
    expect(window.warnings.join()).toContain("no plating");
    expect(
      of(window.warnings)
        .map(({ text }) => text)
        .join(" "),
    ).toContain("no plating");
    const many = of(Array.from({ length: 12 }, (_, k) => `${k} ${"a long word of warning ".repeat(9)}`));
    const last = many.find(({ text }) => text.startsWith("– and more"))!;
    expect(last.y).toBeLessThan(many.find(({ text }) => text === "part")!.y - 8);
  });

  test("marks the hardness at which what may come first is not counted, and draws no line there", () => {
    const why = "no fatigue limit is known for this steel";
    const window = windowAt(1e5);
    const [softest, hardest] = [window.hardness[0]!, window.hardness.at(-1)!];
    const bare = { of: "root fatigue", ranges: [[30, hardest]], why } as const;
    const texts = sheet(hard("V4", { ...window, satisfying: [[softest, 30]], uncounted: [bare] }));
    expect(texts.map(({ text }) => text)).toContain("not known");
    expect(texts.map(({ text }) => text).join(" ")).toContain(`Not known at 30.0–${hardest}.0 HRC: ${why}.`);
    const heavy = (shown: HardnessWindow) =>
      /<path d="([^"]*)"[^>]*stroke-width="2.6"/.exec(hard("V4", shown))![1]!;
    const points = (shown: HardnessWindow) => heavy(shown).split(/[ML]/).length;
    expect(points({ ...window, uncounted: [bare] })).toBeLessThan(points(window));
  });

  test("is the same every time and keeps a hostile name as text", () => {
    const window = windowAt(1e6);
    const svg = hard(HOSTILE, window);
    expect(hard(HOSTILE, window)).toBe(svg);
    expect(svg).not.toContain("<script");
    expect(sheet(svg).some(({ text }) => text.includes("<script>"))).toBe(true);
    expect(svg.length).toBeLessThan(200_000);
  });
});

describe("changesChart", () => {
  const split = (n: number) =>
    fairSplit(
      Array.from({ length: n }, (_, k) => ({ id: `${k}`, title: `change ${k}` })),
      (made) => {
        let [low, high] = [1e6, 2e6];
        for (const id of made) {
          low += (Number(id) % 3 === 0 ? -2e5 : 3e5) * (1 + made.size / 9);
          high += Number(id) % 4 === 1 ? 9e5 : 1e5;
        }
        return { low, high };
      },
    );
  const chart = (n: number, name = "V0") =>
    changesChart({
      part: "Hub",
      from: name,
      to: "V9",
      steels: ["4340", "4340"],
      required: 1.2e6,
      split: split(n),
      units: "both",
    });

  test.each([1, 3, 10])("draws %i changes, each with its effect, within the sheet", (n) => {
    const texts = sheet(chart(n)).map(({ text }) => text);
    for (const { title, fair } of split(n).changes) {
      expect(texts).toContain(title);
      expect(texts.some((text) => text.startsWith(`${effectText(fair)} N·m (`))).toBe(true);
    }
  });

  test("hatches an effect whose band is wider than itself, and says so", () => {
    const svg = chart(3);
    const unsure = split(3).changes.filter(({ uncertain }) => uncertain);
    expect(unsure.length).toBeGreaterThan(0);
    expect(svg.match(/url\(#nw-unsure\)/g)).toHaveLength(unsure.length);
    for (const { words } of unsure) expect(svg).toContain(words);
  });

  test("is the same every time and keeps a hostile name as text", () => {
    expect(chart(3, HOSTILE)).toBe(chart(3, HOSTILE));
    expect(chart(3, HOSTILE)).not.toContain("<script");
    sheet(chart(3, HOSTILE));
  });
});

describe("words of torque", () => {
  test("give one figure where both ends round alike, and no end where there is none", () => {
    expect(spanText({ low: 1001, high: 1002 })).toBe("1000");
    expect(spanText({ low: 1.5, high: Number.POSITIVE_INFINITY })).toBe("from 1.50");
    expect(effectText({ low: -550e3, high: 1130e3 })).toBe("−550 to +1130");
    expect(capacityText({ ...result, capacity: null })).toBe("");
    expect(capacityText(result)).toContain(`margin ${spanText(result.capacity!.margin)}`);
  });
});
