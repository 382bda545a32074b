import fc from "fast-check";
import { expect } from "vitest";
import type { FaceToothProfile, SplineProfile } from "../../src/design/design.ts";
import { iso4156 } from "../../src/design/proportions.ts";
import {
  checkOutline,
  curvePoint,
  curveTangent,
  type Edge,
  outlineArea,
  outlineDiagonal,
} from "../../src/geometry/index.ts";
import type { ProfileOutline } from "../../src/profile/index.ts";

/** What every sector must satisfy, whatever its kind, and the random profiles it is tried on. */

export const SEED = 417;
export const RUNS = 200;
export const DEGREE = Math.PI / 180;

export function edgeNamed(outline: ProfileOutline, name: string): Edge {
  const edge = outline.outline.loops.flat().find((e) => e.name === name);
  if (!edge)
    throw new Error(`no edge "${name}" among ${outline.outline.loops[0]!.map((e) => e.name).join(", ")}`);
  return edge;
}

/** Closed, tied, simple, counter-clockwise, tangent at the fillets up to a sharp corner, area as a polygon has it. */
export function expectSound(built: ProfileOutline): void {
  const { outline } = built;
  checkOutline(outline);
  const size = outlineDiagonal(outline);
  const loop = outline.loops[0]!;
  for (const [k, edge] of loop.entries()) {
    const next = loop[(k + 1) % loop.length]!;
    const [ax, ay] = curvePoint(edge.curve, 1, [0, 0]);
    const [bx, by] = curvePoint(next.curve, 0, [0, 0]);
    expect(Math.hypot(bx - ax, by - ay), `gap ${edge.name} | ${next.name}`).toBeLessThan(1e-13 * size);
    const fillet = edge.name.startsWith("root fillet") || next.name.startsWith("root fillet");
    if (!fillet) continue;
    if (built.corners.some(({ radius, x, y }) => radius === 0 && Math.hypot(x - ax, y - ay) < 1e-12 * size))
      continue;
    // where a fillet ends on the cut it must go on in the next sector: the surface behind the other cut is that one, moved
    const cut = edge.zone === "cut" || next.zone === "cut";
    const [here, there] = cut ? acrossCuts(loop) : [edge, next];
    const [tx, ty] = curveTangent(here.curve, 1, [0, 0]);
    const [ux, uy] = curveTangent(there.curve, 0, [0, 0]);
    const turned = cut ? Math.abs(outline.ties![0]!.motion.angle) : 0;
    const turn = Math.abs(Math.atan2(tx * uy - ty * ux, tx * ux + ty * uy));
    expect(Math.abs(turn - turned), `tangent ${edge.name} | ${next.name}`).toBeLessThan(1e-9);
  }
  const area = outlineArea(outline);
  expect(area).toBeGreaterThan(0);
  expect(Math.abs(polygonArea(loop) - area) / area, "area").toBeLessThan(1e-9);
  expectSimple(loop, size);
}

/** The edge that ends at the teeth's end of one cut, and the one that starts at that of the other. */
function acrossCuts(loop: readonly Edge[]): [Edge, Edge] {
  const toTeeth = loop.findIndex(
    ({ zone }, k) => zone === "cut" && loop[(k + 1) % loop.length]!.zone !== "rim",
  );
  const fromTeeth = loop.findIndex(({ zone }, k) => zone === "cut" && k !== toTeeth);
  return [loop.at(fromTeeth - 1)!, loop[(toTeeth + 1) % loop.length]!];
}

/** Shoelace on dense chords; the chords' error falls with the square of their length, so two counts cancel it. */
function polygonArea(loop: readonly Edge[]): number {
  const shoelace = (n: number) => {
    const { x, y } = polygon(loop, n);
    let twice = 0;
    for (let k = 0; k < x.length; k++) {
      const next = (k + 1) % x.length;
      twice += x[k]! * y[next]! - x[next]! * y[k]!;
    }
    return twice / 2;
  };
  return (4 * shoelace(600) - shoelace(300)) / 3;
}

function polygon(loop: readonly Edge[], perEdge: number): { x: number[]; y: number[] } {
  const x: number[] = [];
  const y: number[] = [];
  const p: [number, number] = [0, 0];
  for (const { curve } of loop) {
    for (let k = 0; k < perEdge; k++) {
      curvePoint(curve, k / perEdge, p);
      x.push(p[0]);
      y.push(p[1]);
    }
  }
  return { x, y };
}

/** No two sides of the outline's polygon cross. */
function expectSimple(loop: readonly Edge[], size: number): void {
  const { x, y } = polygon(loop, 10);
  const n = x.length;
  const side = (a: number, b: number, c: number) =>
    (x[b]! - x[a]!) * (y[c]! - y[a]!) - (y[b]! - y[a]!) * (x[c]! - x[a]!);
  const eps = 1e-14 * size * size;
  for (let a = 0; a < n; a++) {
    const b = (a + 1) % n;
    for (let c = a + 2; c < n; c++) {
      const d = (c + 1) % n;
      if (d === a) continue;
      const crosses =
        side(a, b, c) * side(a, b, d) < -eps * eps && side(c, d, a) * side(c, d, b) < -eps * eps;
      if (crosses) throw new Error(`sides ${a} and ${c} of the polygon cross`);
    }
  }
}

/** Smallest value of a function with one minimum on [low, high]: golden section. */
export function least(f: (x: number) => number, low: number, high: number): number {
  const g = (Math.sqrt(5) - 1) / 2;
  let a = low;
  let b = high;
  let c = b - g * (b - a);
  let d = a + g * (b - a);
  let fc = f(c);
  let fd = f(d);
  for (let k = 0; k < 120; k++) {
    if (fc < fd) {
      b = d;
      d = c;
      fd = fc;
      c = b - g * (b - a);
      fc = f(c);
    } else {
      a = c;
      c = d;
      fc = fd;
      d = a + g * (b - a);
      fd = f(d);
    }
  }
  return Math.min(fc, fd);
}

/**
 * Half the tooth's angle at radius r straight from the thickness formula of involute geometry,
 * t_r = 2 r (t/D + inv φ − inv φ_r) with cos φ_r = rb / r; an internal tooth is what its spaces leave.
 */
export function involuteHalfAngle(p: SplineProfile, r: number): number {
  if (p.flank.form !== "involute") throw new Error("not an involute");
  const inv = (a: number) => Math.tan(a) - a;
  const phi = p.flank.pressureAngle;
  const phiR = Math.acos(Math.min(1, (p.pitchDiameter * Math.cos(phi)) / 2 / r));
  if (p.kind === "external spline") return p.toothThickness / p.pitchDiameter + inv(phi) - inv(phiR);
  const space = (Math.PI * p.pitchDiameter) / p.teeth - p.toothThickness;
  return Math.PI / p.teeth - (space / p.pitchDiameter + inv(phi) - inv(phiR));
}

/** A point of the straight flank on the counter-clockwise side, by similar triangles from the pitch point. */
export function straightFlankY(p: SplineProfile, x: number): number {
  if (p.flank.form !== "straight") throw new Error("not straight");
  const half = p.toothThickness / p.pitchDiameter;
  const towardsTip = p.kind === "external spline" ? 1 : -1;
  const px = (p.pitchDiameter / 2) * Math.cos(half);
  return (p.pitchDiameter / 2) * Math.sin(half) - towardsTip * (x - px) * Math.tan(p.flank.angle);
}

/** The 17-tooth, module 2, 30° spline; ISO 4156-1:2005 sizes. */
export function demoSpline(kind: SplineProfile["kind"], root: "flat" | "fillet" = "flat"): SplineProfile {
  const sizes = iso4156({ module: 2, teeth: 17, pressureAngle: 30 * DEGREE, root })!;
  const side = kind === "internal spline" ? sizes.internal : sizes.external;
  const mate = kind === "internal spline" ? sizes.external : sizes.internal;
  const contact: [number, number] =
    kind === "internal spline" ? [side.tipDiameter, mate.tipDiameter] : [mate.tipDiameter, side.tipDiameter];
  return {
    kind,
    teeth: 17,
    flank: { form: "involute", pressureAngle: 30 * DEGREE },
    pitchDiameter: sizes.pitchDiameter,
    module: 2,
    toothThickness: side.toothThickness,
    tipDiameter: side.tipDiameter,
    rootDiameter: side.rootDiameter,
    backDiameter: kind === "internal spline" ? 56 : 16,
    rootRadius: sizes.rootRadius!,
    tipChamfer: 0,
    contact,
    contactGiven: false,
    faceWidth: 16,
  };
}

const share = (min: number, max: number) => fc.double({ min, max, noNaN: true });

/** Involute splines whose proportions hold valid teeth for nearly all draws; radius and chamfer to be set. */
export function involuteSplines(kind: SplineProfile["kind"]): fc.Arbitrary<SplineProfile> {
  return fc
    .record({
      teeth: fc.integer({ min: 7, max: 48 }),
      module: share(0.3, 8),
      pressureAngle: share(20, 37.5),
      addendum: share(0.3, 0.5),
      dedendum: share(0.5, 0.8),
      thickness: share(0.46, 0.53),
      back: share(0.6, 3),
      chamfer: fc.constantFrom(0, 0.05, 0.1),
      contactGiven: fc.boolean(),
      bandFrom: share(0.3, 0.45),
    })
    .map((d) => {
      const external = kind === "external spline";
      const way = external ? 1 : -1;
      const pitchDiameter = d.module * d.teeth;
      const rootDiameter = pitchDiameter - way * 2 * d.dedendum * d.module;
      const base = pitchDiameter * Math.cos(d.pressureAngle * DEGREE);
      const tip = pitchDiameter + way * 2 * d.addendum * d.module;
      const tipDiameter = external ? tip : Math.max(tip, base * 1.001);
      const backDiameter = external
        ? Math.max(0.3 * rootDiameter, rootDiameter - 2 * d.back * d.module)
        : rootDiameter + 2 * d.back * d.module;
      // the band starts a third to half of the way up from the root (but on the involute) and ends below the chamfer
      const from = rootDiameter + d.bandFrom * (tipDiameter - rootDiameter);
      const to = rootDiameter + 0.8 * (tipDiameter - rootDiameter);
      const contact: [number, number] = external ? [Math.max(from, base), to] : [to, from];
      return {
        kind,
        teeth: d.teeth,
        flank: { form: "involute", pressureAngle: d.pressureAngle * DEGREE },
        pitchDiameter,
        module: d.module,
        toothThickness: d.thickness * Math.PI * d.module,
        tipDiameter,
        rootDiameter,
        backDiameter,
        rootRadius: 0,
        tipChamfer: d.chamfer * d.module,
        contact,
        contactGiven: d.contactGiven,
        faceWidth: 10,
      };
    });
}

/** Splines with straight flanks leaning from −8° (thicker at the tip) to 30°. */
export function straightSplines(kind: SplineProfile["kind"]): fc.Arbitrary<SplineProfile> {
  return fc
    .record({
      teeth: fc.integer({ min: 4, max: 24 }),
      module: share(0.8, 8),
      angle: share(-8, 30),
      height: share(0.4, 1.1),
      thickness: share(0.44, 0.54),
      back: share(0.6, 3),
      chamfer: fc.constantFrom(0, 0.05, 0.1),
      contactGiven: fc.boolean(),
      bandFrom: share(0.3, 0.5),
    })
    .map((d) => {
      const external = kind === "external spline";
      const way = external ? 1 : -1;
      const pitchDiameter = d.module * d.teeth;
      const rootDiameter = pitchDiameter - way * d.height * d.module;
      const tipDiameter = pitchDiameter + way * d.height * d.module;
      const from = rootDiameter + d.bandFrom * (tipDiameter - rootDiameter);
      const to = rootDiameter + 0.8 * (tipDiameter - rootDiameter);
      return {
        kind,
        teeth: d.teeth,
        flank: { form: "straight", angle: d.angle * DEGREE },
        pitchDiameter,
        module: d.module,
        toothThickness: d.thickness * Math.PI * d.module,
        tipDiameter,
        rootDiameter,
        backDiameter: external
          ? Math.max(0.3 * rootDiameter, rootDiameter - 2 * d.back * d.module)
          : rootDiameter + 2 * d.back * d.module,
        rootRadius: 0,
        tipChamfer: d.chamfer * d.module,
        contact: external ? [from, to] : [to, from],
        contactGiven: d.contactGiven,
        faceWidth: 10,
      };
    });
}

/** Face teeth from a 6° back-cut to a 45° ramp; radii 0, to be set. */
export function faceTeeth(): fc.Arbitrary<FaceToothProfile> {
  return fc
    .record({
      teeth: fc.integer({ min: 3, max: 30 }),
      meanDiameter: share(15, 150),
      height: share(0.1, 0.3),
      driveAngle: share(-6, 10),
      overrunAngle: share(-6, 45),
      tipLand: share(0.2, 0.75),
      chamfer: fc.constantFrom(0, 0.02, 0.05),
      base: share(0.3, 3),
      contactGiven: fc.boolean(),
      bandFrom: share(0.25, 0.5),
      loadedFlank: fc.constantFrom("drive" as const, "over-run" as const),
    })
    .map((d) => {
      const pitch = (Math.PI * d.meanDiameter) / d.teeth;
      const height = d.height * pitch;
      return {
        kind: "face tooth",
        teeth: d.teeth,
        meanDiameter: d.meanDiameter,
        height,
        driveAngle: d.driveAngle * DEGREE,
        overrunAngle: d.overrunAngle * DEGREE,
        tipLand: d.tipLand * pitch,
        driveRootRadius: 0,
        overrunRootRadius: 0,
        tipChamfer: d.chamfer * pitch,
        baseThickness: d.base * height,
        faceWidth: 9,
        contact: [d.bandFrom * height, Math.min(0.8 * height, height - 1.01 * d.chamfer * pitch)],
        contactGiven: d.contactGiven,
        loadedFlank: d.loadedFlank,
      };
    });
}

/** What a test needs of a thrown DesignError: keys and lines; empty when nothing is thrown. */
export function faultsOf(f: () => unknown): { key: string; line: string }[] {
  try {
    f();
  } catch (error) {
    const faults = (error as { faults?: { key: string; problem: string; remedy: string }[] }).faults;
    if (!faults) throw error;
    return faults.map((fault) => ({ key: fault.key, line: `${fault.problem}; ${fault.remedy}` }));
  }
  return [];
}

/** The millimetres a remedy names: "use 0.8312 mm or less …". */
export function namedLimit(line: string): number {
  const match = /use ([\d.]+) mm or less/.exec(line);
  if (!match) throw new Error(`no limit named in "${line}"`);
  return Number(match[1]);
}
