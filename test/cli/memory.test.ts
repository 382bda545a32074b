import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { HUB, notchwright, workFolder } from "./command.ts";

const work = workFolder();
const hub = work.file("hub.yaml", HUB);
/** Makes the program believe that this many bytes are to be had. */
const roomFor = (bytes: number) => ({
  env: {
    NODE_OPTIONS: `--import ${work.file(`room-${bytes}.mjs`, `process.availableMemory = () => ${bytes};\n`)}`,
  },
});

/** 400 teeth with sharp roots, all of them computed. */
const RING = `part: large ring
profile:
  kind: internal spline
  teeth: 400
  module: 2 mm
  pressure angle: 30 deg
  face width: 16 mm
  root radius: 0
load: { torque: 690 N m, loaded teeth: [1, 2] }
`;

/** As where a process may not reserve the addresses that a WebAssembly memory is given (`ulimit -v`). */
const noAddresses = {
  env: {
    NODE_OPTIONS: `--import ${work.file("no-addresses.mjs", 'WebAssembly.Instance = class { constructor() { throw new RangeError("Out of memory"); } };\n')}`,
  },
};

describe("memory", () => {
  test("addresses that may not be reserved for WebAssembly leave the plain kernels, which say the same", async () => {
    const [with_, without] = await Promise.all(
      [{}, noAddresses].map(async (setting, k) => {
        const target = join(work.path, `kernels-${k}`);
        const { code, err } = await notchwright(
          ["run", hub, "--out", target, "--no-maps", "--only", "V1"],
          setting,
        );
        expect([code, err.includes("fault in")]).toEqual([0, false]);
        const { variants } = JSON.parse(readFileSync(join(target, "results.json"), "utf8"));
        return variants[0].root;
      }),
    );
    expect(without.peakPrincipal.stress).toBeCloseTo(with_.peakPrincipal.stress, 8);
  });

  test("is told beforehand by check", async () => {
    const { code, out } = await notchwright(["check", hub]);
    expect(code).toBe(0);
    expect(out).toMatch(/unknowns at first +memory$/m);
    expect(out).toMatch(/^ *V1 .* \d,?\d+ +\d+ MB$/m);
  });

  test("that would not do refuses a variant with what it needs and what there is", async () => {
    const target = join(work.path, "small");
    const { code, err } = await notchwright(["run", hub, "--out", target, "--no-maps"], roomFor(32e6));
    expect(code).toBe(1);
    expect(err).toMatch(
      /V1: the model of \d+ unknowns needs up to \d\d MB of memory, and 32 MB is available; /,
    );
    expect(existsSync(join(target, "results.json"))).toBe(false);
  });

  test("that would not do is told by check, and refused by every command that solves", async () => {
    const { code, out } = await notchwright(["check", hub], roomFor(32e6));
    expect(code).toBe(0);
    expect(out.replace(/\s+/g, " ")).toContain(
      "run would refuse them: more memory than the 32 MB that is available now",
    );
    expect(out).toContain("Not ready: run would refuse every variant.");
    for (const words of [
      ["window", hub],
      ["hand", hub],
      ["need", hub, "V1"],
      ["split", hub, "V1", "V2"],
    ]) {
      const refused = await notchwright(words, roomFor(32e6));
      expect(refused.code).toBe(1);
      expect(refused.err).toMatch(
        /needs up to \d\d MB of memory, and 32 MB is available; close other programs/,
      );
    }
  });

  test("and unknowns beyond those allowed are told by check", async () => {
    const ring = work.file("ring.yaml", RING);
    const { out } = await notchwright(["check", ring]);
    expect(out.replace(/\s+/g, " ")).toContain(
      '"as drawn": run would refuse it: more than the 1500000 unknowns that are solved unless --most-unknowns says more',
    );
    const refused = await notchwright(["run", ring, "--out", join(work.path, "ring"), "--no-maps"]);
    expect(refused.code).toBe(1);
    expect(refused.err).toContain(
      "more than the 1500000 unknowns allowed; allow more unknowns (--most-unknowns), or leave a sharp root a small radius, or let a share",
    );
  });

  test("is shared among workers", async () => {
    const run = (workers: string) =>
      notchwright(
        ["run", hub, "--out", join(work.path, workers), "--no-maps", "--quiet", "--workers", workers],
        roomFor(96e6),
      );
    expect((await run("1")).code).toBe(0);
    const crowded = await run("4");
    expect(crowded.code).toBe(1);
    // three variants are never more than three workers
    expect(crowded.err).toContain("and 32 MB is available");
  });
});
