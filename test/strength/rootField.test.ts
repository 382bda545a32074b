import { describe, expect, test } from "vitest";
import { createSideFrame, readSideFrame } from "../../src/answer/boundaryPeaks.ts";
import { type SolvedPass, solvePass } from "../../src/answer/solvePass.ts";
import type { FaceToothProfile } from "../../src/design/index.ts";
import { outlineEdges } from "../../src/geometry/index.ts";
import { buildProfile } from "../../src/profile/index.ts";
import { evaluator } from "../../src/solver/index.ts";
import {
  asymptoticStress,
  buildRootField,
  lineStress,
  openingAt,
  pathLength,
  pointStress,
  scanPaths,
  williamsExponent,
} from "../../src/strength/index.ts";
import { off } from "./reference.ts";
import { design, rootOf, spline } from "./roots.ts";

/** The largest mean over each depth behind any boundary side of the roots, per torque: scanned without choosing. */
function everywhere({ model, problem, solution, stress, loads }: SolvedPass, depths: number[]): number[] {
  const { mesh } = model;
  const edges = outlineEdges(model.outline);
  const at = evaluator(problem, solution, stress).stressAt;
  const frame = createSideFrame();
  const worst = depths.map(() => 0);
  for (let side = 0; side < mesh.sideElement.length; side++) {
    if (edges[mesh.sideEdge[side]].zone !== "root") continue;
    readSideFrame(mesh, side, frame);
    const middle = 2 * frame.nodes[2];
    const from = {
      x: mesh.xy[middle],
      y: mesh.xy[middle + 1],
      dx: -Math.sin(frame.angle[2]),
      dy: Math.cos(frame.angle[2]),
    };
    const paths = scanPaths(at, from, { corner: null, least: 0.01, most: 2, scale: 1 / loads.shockTorque });
    depths.forEach((r, k) => {
      const { stress: mean, beyond } = lineStress({ paths, corner: null }, r / 2);
      if (!beyond) worst[k] = Math.max(worst[k], mean);
    });
  }
  return worst;
}

describe("buildRootField", () => {
  test("a vanishing critical distance gives the root's peak", () => {
    for (const rootRadius of [0.2, 0.4, 0.6]) {
      const root = rootOf(design(spline({ rootRadius })));
      expect(off(pointStress(root, 1e-6).stress, root.peakPrincipal!)).toBeLessThan(0.01);
      expect(off(lineStress(root, 1e-6).stress, root.peakPrincipal!)).toBeLessThan(0.01);
    }
  });

  test("a sharp root has the exponent of its own angle and, near the tip, that field", () => {
    const root = rootOf(design(spline({ rootRadius: 0 })));
    const { corners } = buildProfile(spline({ rootRadius: 0 }));
    expect(corners.some((corner) => Math.abs(corner.materialAngle - root.materialAngle) < 1e-12)).toBe(true);
    expect(root.corner!.exponent1).toBe(williamsExponent(root.materialAngle));
    expect(root.corner!.spread).toBeLessThan(0.005);
    expect(root.peakPrincipal).toBeNull();
    for (const L of [1e-3, 1e-2]) {
      expect(off(lineStress(root, L).stress, asymptoticStress(root.corner!, L).line.stress)).toBeLessThan(
        0.01,
      );
    }
    // the reading goes over into the tip field without a step
    const path = root.paths[Math.floor(root.paths.length / 2)];
    const at = openingAt(root, path);
    const first = path.distances[0];
    expect(off(at(first * 0.999), at(first * 1.001))).toBeLessThan(0.005);
  });

  test("paths go on through the cut into the next sector", () => {
    const profile = spline({ rootRadius: 0.4 });
    const root = rootOf(design(profile), 2);
    // half a sector at the root circle is 3.4 mm wide; the wall behind it 9.5 mm
    expect(Math.max(...root.paths.map(pathLength))).toBeGreaterThan(9);
    for (const path of root.paths) {
      for (let k = 1; k < path.opening.length; k++) {
        if (path.distances[k] < 0.5) continue;
        const step = Math.abs(path.opening[k] - path.opening[k - 1]);
        expect(step).toBeLessThan(0.1 * root.peakPrincipal!);
      }
    }
  });

  test("a ring whose teeth all carry alike says what its sector says", () => {
    const sector = design(spline({ rootRadius: 0 }), {
      load: { ...design(spline()).load, sharing: { mode: "share", fraction: 1 } },
    });
    const ring = {
      ...sector,
      load: {
        ...sector.load,
        sharing: { mode: "teeth" as const, weights: new Array<number>(17).fill(1 / 17) },
      },
    };
    const [a, b] = [rootOf(sector, 3), rootOf(ring, 3)];
    expect(b.tooth.overload).toBeCloseTo(1, 9);
    expect(off(b.corner!.k1, a.corner!.k1)).toBeLessThan(0.005);
    for (const L of [0.05, 0.5])
      expect(off(lineStress(b, L).stress, lineStress(a, L).stress)).toBeLessThan(0.01);
  });

  // fillets that take most of the flank: their peak stands at the end of the contact, steep, and the hump below it goes deeper
  test.each([0.3, 0.8, 1.7, 2])(
    "no place of an R%d root is worse at any depth than what is told",
    (rootRadius) => {
      const profile = spline({
        kind: "external spline",
        teeth: 8,
        flank: { form: "straight", angle: 0 },
        pitchDiameter: 38,
        module: 4.75,
        toothThickness: 7.04,
        tipDiameter: 40,
        rootDiameter: 36,
        backDiameter: 18,
        contact: [37, 40],
        faceWidth: 40,
        rootRadius,
      });
      const asked = design(profile);
      const pass = solvePass(asked, buildProfile(profile), 0.5, 400_000);
      const root = buildRootField(asked, buildProfile(profile), pass);
      const depths = [0.02, 0.05, 0.1, 0.2, 0.4, 0.8];
      const worst = everywhere(pass, depths);
      depths.forEach((r, k) => {
        expect(lineStress(root, r / 2).stress / worst[k]).toBeGreaterThan(0.98);
      });
      expect(pass.answer.root.average.opening / (worst[2] * pass.loads.shockTorque)).toBeGreaterThan(0.97);
      if (rootRadius < 2) return;
      // and the peak alone would have told 5 % less
      expect(lineStress({ ...root, others: [] }, 0.4).stress / worst[5]).toBeLessThan(0.95);
    },
  );

  test("reads external splines and face teeth too", () => {
    const external = spline({
      kind: "external spline",
      tipDiameter: 36,
      rootDiameter: 31.5,
      backDiameter: 16,
      contact: [32.4, 35.8],
      rootRadius: 0,
    });
    const tooth: FaceToothProfile = {
      kind: "face tooth",
      teeth: 11,
      meanDiameter: 55,
      height: 4,
      driveAngle: 0.05,
      overrunAngle: 0.6,
      tipLand: 4,
      driveRootRadius: 0,
      overrunRootRadius: 0,
      tipChamfer: 0,
      baseThickness: 8,
      faceWidth: 12,
      contact: [1, 4],
      contactGiven: false,
      loadedFlank: "drive",
    };
    for (const profile of [external, tooth]) {
      const [coarse, fine] = [rootOf(design(profile), 2), rootOf(design(profile), 0.7)];
      expect(fine.corner!.k1).toBeGreaterThan(0);
      expect(off(coarse.corner!.k1, fine.corner!.k1)).toBeLessThan(0.005);
      for (const L of [0.05, 0.3])
        expect(off(lineStress(coarse, L).stress, lineStress(fine, L).stress)).toBeLessThan(0.01);
      expect(fine.tooth.rootThickness).toBeGreaterThan(fine.tooth.pitchThickness);
    }
    // statics: force across the tooth times its lever is the tooth's share of the torque
    const root = rootOf(design(tooth), 2);
    expect(off(root.tooth.forcePerTorque * 11 * 27.5, 2)).toBeLessThan(1e-9);
  });
});
