import { expect, test } from "vitest";
import { answerDesign, memoryNeeded, memoryWords, NumericalError } from "../../src/answer/index.ts";
import { sizeField } from "../../src/answer/sizing.ts";
import { meshOutline } from "../../src/mesh/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { analyse, orderNodes, patternFromElements } from "../../src/solver/sparse/index.ts";
import { demoSpline } from "../profile/soundness.ts";
import { designOf } from "./designs.ts";

const profile = { ...demoSpline("internal spline"), rootRadius: 0.4 };
const share = designOf(profile);
const ring = designOf(profile, {
  load: {
    ...share.load,
    sharing: { mode: "teeth", weights: Array.from({ length: 17 }, (_, k) => (k ? 0 : 1)) },
  },
});

test("memory needed bounds what the symbolic phase counts, and not tenfold", () => {
  const built = buildProfile(profile);
  for (const fineness of [1, 0.3, 0.1]) {
    const mesh = meshOutline(built.outline, { size: sizeField(share, built, fineness) });
    const nodes = mesh.xy.length / 2;
    const { pattern } = patternFromElements(nodes, mesh.elements, 6);
    const { peakBytes } = analyse(pattern, orderNodes(pattern)).statistics;
    const needed = memoryNeeded({ nodes, cut: mesh.tieLeader.length, copies: 1 });
    expect(needed).toBeGreaterThan(peakBytes);
    // 30 MB are there whatever the size
    expect(needed).toBeLessThan(10 * peakBytes + 30e6);
  }
});

test("a ring of many copies needs far less than one factor of it all", () => {
  const sector = { nodes: 30_000, cut: 140 };
  const ring = memoryNeeded({ ...sector, copies: 17 });
  expect(ring).toBeLessThan(memoryNeeded({ ...sector, nodes: 17 * sector.nodes, copies: 1 }) / 5);
  expect(ring).toBeGreaterThan(memoryNeeded({ ...sector, copies: 1 }));
});

test("a model that would not fit is refused with what it needs and what there is", () => {
  const refusal = (design: typeof share, mostBytes: number) => {
    try {
      answerDesign(design, { mostBytes });
    } catch (error) {
      if (error instanceof NumericalError) return error.message;
      throw error;
    }
    return "";
  };
  expect(refusal(share, 20e6)).toMatch(
    /^the model of \d+ unknowns needs up to \d+ MB of memory, and 20 MB is available; close other programs/,
  );
  // the ring's first mesh is seventeen times the sector's
  expect(refusal(ring, 34e6)).toMatch(/34 MB is available; .*a share of the teeth that carries evenly/);
  // a finer mesh than the first: less would be asked of a coarser one
  expect(refusal({ ...share, accuracy: 1e-4 }, 36e6)).toContain("36 MB is available; run fewer workers");
  expect(refusal(share, 1e9)).toBe("");
});

test("bytes are told in two figures", () => {
  expect([0, 1.26e6, 1.23e8, 9.99e8, 1.46e9].map(memoryWords)).toEqual([
    "1 MB",
    "1.3 MB",
    "120 MB",
    "1 GB",
    "1.5 GB",
  ]);
});
