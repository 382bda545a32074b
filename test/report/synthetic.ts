import { capacityOf, overRunOf } from "../../src/answer/index.ts";
import type { VariantField, VariantResult } from "../../src/answer/result.ts";
import type { Design } from "../../src/design/index.ts";
import { arc, curvePoint, type Edge, line, type Outline } from "../../src/geometry/index.ts";
import type { Mesh } from "../../src/mesh/index.ts";
import type { ProfileOutline } from "../../src/profile/index.ts";
import type { RootField } from "../../src/strength/index.ts";

/**
 * A structured T6 mesh between two chains of edges with the same number of edges: point (u, v) lies on the
 * straight rule from inner(u) to outer(u), v graded towards the inner chain. Outline: outer chain, then the
 * straight end cut, the inner chain backwards, the other cut; material on the left.
 */
export function ruledMesh(
  inner: readonly Edge[],
  outer: readonly Edge[],
  perEdge: number,
  layers: number,
  grade = 2,
) {
  const nu = perEdge * inner.length;
  const nv = layers;
  const columns = 2 * nu + 1;
  const rows = 2 * nv + 1;
  const xy = new Float64Array(2 * columns * rows);
  const node = (a: number, b: number) => b * columns + a;
  const at = (chain: readonly Edge[], a: number): [number, number] => {
    const k = Math.min(chain.length - 1, Math.floor(a / (2 * perEdge)));
    return curvePoint(chain[k]!.curve, (a - 2 * perEdge * k) / (2 * perEdge), [0, 0]);
  };
  for (let a = 0; a < columns; a++) {
    const [ix, iy] = at(inner, a);
    const [ox, oy] = at(outer, a);
    for (let b = 0; b < rows; b++) {
      const v = (b / (rows - 1)) ** grade;
      xy[2 * node(a, b)] = ix + v * (ox - ix);
      xy[2 * node(a, b) + 1] = iy + v * (oy - iy);
    }
  }
  // mid-sides of straight sides halfway, so that elements are not distorted by the grading
  for (let a = 0; a < columns; a++) {
    for (let b = 1; b < rows; b += 2) {
      for (const c of [0, 1]) {
        xy[2 * node(a, b) + c] = (xy[2 * node(a, b - 1) + c]! + xy[2 * node(a, b + 1) + c]!) / 2;
      }
    }
  }
  const elements: number[] = [];
  for (let a = 0; a < columns - 1; a += 2) {
    for (let b = 0; b < rows - 1; b += 2) {
      const n = (p: number, q: number) => node(a + p, b + q);
      elements.push(n(0, 0), n(2, 0), n(2, 2), n(1, 0), n(2, 1), n(1, 1));
      elements.push(n(0, 0), n(2, 2), n(0, 2), n(1, 1), n(1, 2), n(0, 1));
    }
  }
  // the ruled map may be left-handed: turn every element the right way round
  const p = (i: number) => [xy[2 * i]!, xy[2 * i + 1]!] as const;
  for (let e = 0; e < elements.length; e += 6) {
    const [a, b, c] = [p(elements[e]!), p(elements[e + 1]!), p(elements[e + 2]!)];
    if ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]) > 0) continue;
    [elements[e + 1], elements[e + 2]] = [elements[e + 2]!, elements[e + 1]!];
    [elements[e + 3], elements[e + 5]] = [elements[e + 5]!, elements[e + 3]!];
  }
  const sideOwner = new Map<number, number>();
  const neighbours = new Int32Array(elements.length / 2).fill(-1);
  for (let k = 0; k < neighbours.length; k++) {
    const mid = elements[6 * Math.floor(k / 3) + 3 + (k % 3)]!;
    const other = sideOwner.get(mid);
    if (other === undefined) sideOwner.set(mid, k);
    else {
      neighbours[k] = Math.floor(other / 3);
      neighbours[other] = Math.floor(k / 3);
    }
  }
  const [ox0, oy0] = curvePoint(outer[0]!.curve, 0, [0, 0]);
  const [ox1, oy1] = curvePoint(outer.at(-1)!.curve, 1, [0, 0]);
  const [ix0, iy0] = curvePoint(inner[0]!.curve, 0, [0, 0]);
  const [ix1, iy1] = curvePoint(inner.at(-1)!.curve, 1, [0, 0]);
  const backwards = (edge: Edge): Edge => {
    const c = edge.curve;
    if (c.kind === "line") return { ...edge, curve: line(c.x1, c.y1, c.x0, c.y0) };
    return { ...edge, curve: { ...c, start: c.end, end: c.start } };
  };
  const loop: Edge[] = [
    ...outer,
    { name: "cut left", zone: "cut", curve: line(ox1, oy1, ix1, iy1) },
    ...[...inner].reverse().map(backwards),
    { name: "cut right", zone: "cut", curve: line(ix0, iy0, ox0, oy0) },
  ];
  const outline: Outline = { loops: [loop] };
  // boundary sides on the inner and outer chains
  const sideElement: number[] = [];
  const sideLocal: number[] = [];
  const sideEdge: number[] = [];
  const sideU: number[] = [];
  for (let k = 0; k < neighbours.length; k++) {
    if (neighbours[k]! >= 0) continue;
    const mid = elements[6 * Math.floor(k / 3) + 3 + (k % 3)]!;
    const a = mid % columns;
    const b = Math.floor(mid / columns);
    if (b !== 0 && b !== rows - 1) continue;
    const edge = Math.floor(a / (2 * perEdge));
    const u = (a - 1 - 2 * perEdge * edge) / (2 * perEdge);
    const w = u + 1 / perEdge;
    sideElement.push(Math.floor(k / 3));
    sideLocal.push(k % 3);
    sideEdge.push(b === 0 ? outer.length + inner.length - edge : edge);
    if (b === 0) sideU.push(1 - w, 1 - u);
    else sideU.push(u, w);
  }
  const mesh: Mesh = {
    xy,
    elements: Uint32Array.from(elements),
    neighbours,
    sideElement: Uint32Array.from(sideElement),
    sideLocal: Uint8Array.from(sideLocal),
    sideEdge: Uint32Array.from(sideEdge),
    sideU: Float64Array.from(sideU),
    tieLeader: new Uint32Array(0),
    tieFollower: new Uint32Array(0),
    tieIndex: new Uint32Array(0),
  };
  return { outline, mesh };
}

/** One sector of a rim, r = 15…28 mm, with a round notch of 0.8 mm cut into its inner edge at the +x axis. */
export function notchedSector(perEdge = 16, layers = 16) {
  const a = 0.18;
  const r = 17;
  const q = 0.8;
  // the notch circle is centred on the inner circle: where they meet
  const meet = 2 * Math.asin(q / 2 / r);
  const inner: Edge[] = [
    { name: "flank loaded", zone: "flank", curve: arc(0, 0, r, -a, -meet) },
    { name: "root fillet", zone: "root", curve: arc(r, 0, q, 0, 1) },
    { name: "flank back", zone: "flank", curve: arc(0, 0, r, meet, a) },
  ];
  // ends of the notch arc from the exact meeting points
  const s = Math.atan2(r * Math.sin(-meet), r * Math.cos(-meet) - r);
  inner[1] = { name: "root fillet", zone: "root", curve: arc(r, 0, q, s, -s) };
  const outer: Edge[] = [
    { name: "rim 1", zone: "rim", curve: arc(0, 0, 28, -a, -0.06) },
    { name: "rim 2", zone: "rim", curve: arc(0, 0, 28, -0.06, 0.06) },
    { name: "rim 3", zone: "rim", curve: arc(0, 0, 28, 0.06, a) },
  ];
  return ruledMesh(inner, outer, perEdge, layers);
}

/** Stress round a hole of radius q in a plate pulled along y (Kirsch 1898; Timoshenko & Goodier art. 32). */
export function kirsch(mesh: Mesh, cx: number, q: number, pull: number): Float64Array {
  const out = new Float64Array((mesh.xy.length / 2) * 3);
  for (let i = 0; 2 * i < mesh.xy.length; i++) {
    const dx = mesh.xy[2 * i]! - cx;
    const dy = mesh.xy[2 * i + 1]!;
    const r = Math.max(q, Math.hypot(dx, dy));
    const t = Math.atan2(dy, dx) - Math.PI / 2; // from the pull's direction
    const k = (q * q) / (r * r);
    const rr = (pull / 2) * (1 - k + (1 - 4 * k + 3 * k * k) * Math.cos(2 * t));
    const tt = (pull / 2) * (1 + k - (1 + 3 * k * k) * Math.cos(2 * t));
    const rt = (-pull / 2) * (1 + 2 * k - 3 * k * k) * Math.sin(2 * t);
    const c = Math.cos(t + Math.PI / 2);
    const s = Math.sin(t + Math.PI / 2);
    out[3 * i] = rr * c * c + tt * s * s - 2 * rt * s * c;
    out[3 * i + 1] = rr * s * s + tt * c * c + 2 * rt * s * c;
    out[3 * i + 2] = (rr - tt) * s * c + rt * (c * c - s * s);
  }
  return out;
}

export function syntheticDesign(variant = "R0.80, 38..42 HRC"): Design {
  return {
    part: "Hub 0417",
    variant,
    note: "",
    profile: {
      kind: "internal spline",
      teeth: 17,
      flank: { form: "involute", pressureAngle: Math.PI / 6 },
      pitchDiameter: 34,
      module: 2,
      toothThickness: Math.PI,
      tipDiameter: 32,
      rootDiameter: 35.6,
      backDiameter: 56,
      rootRadius: 0.8,
      tipChamfer: 0,
      contact: [32.4, 35],
      contactGiven: false,
      faceWidth: 16,
    },
    load: {
      torque: 690e3,
      shockFactor: 1.8,
      sharing: { mode: "share", fraction: 0.5 },
      friction: 0,
      reaction: "uniform shear",
    },
    steel: { grade: "4340", hardnessLow: 38, hardnessHigh: 42, hardnessText: "38..42 HRC" },
    material: { E: 205000, nu: 0.3, state: "plane stress" },
    averagingDistance: 0.1,
    accuracy: 0.02,
    units: "both",
    defaults: [{ key: "load.teeth sharing", value: "50 %", source: "common practice, no source" }],
  };
}

/** A complete result on the notched sector; its numbers are Kirsch's, so peak = 3 × pull. */
export function syntheticVariant(
  options: { sharp?: boolean; steel?: boolean; variant?: string; pull?: number } = {},
) {
  const { sharp = false, steel = true, variant, pull = 500 } = options;
  const { outline, mesh } = notchedSector();
  const field: VariantField = { outline, mesh, stress: kirsch(mesh, 17, 0.8, pull) };
  const spot = { x: 17.8, y: 0 };
  const base = syntheticDesign(variant);
  const design: Design = sharp
    ? { ...base, profile: { ...base.profile, rootRadius: 0 } as Design["profile"] }
    : base;
  const rootField = syntheticRoot(sharp, pull);
  const asked: Design = steel ? design : { ...design, steel: null };
  const result: VariantResult = {
    design: asked,
    rootField,
    capacity: capacityOf(rootField, asked),
    growth: { share: 0, dished: 0 },
    rootUnread: null,
    overRunRootField: null,
    overRun: overRunOf({ rootField, overRunRootField: null }, asked),
    torque: { shock: 1242e3, perTooth: 146117.6, applied: 1242e3, reaction: -1242e3, imbalance: 2e-12 },
    root: {
      sharp,
      peakPrincipal: sharp ? null : { stress: 3 * pull, ...spot },
      peakVonMises: sharp ? null : { stress: 3 * pull, ...spot },
      highestVonMises: sharp ? null : { stress: 3 * pull, ...spot },
      pushOverPull: 1,
      errorEstimate: 0.0123456,
      average: { distance: 0.1, opening: 2.4 * pull, principal: 2.4 * pull, ...spot, dx: 1, dy: 0 },
      nominal: { stress: 278, formula: "6 F h / (b t²)", force: 8580, arm: 1, thickness: 3.4, width: 16 },
      kt: sharp ? null : 5.39,
      contactPressure: 412.3,
    },
    zones: [
      { zone: "root", principal: { stress: 3 * pull, ...spot }, vonMises: { stress: 3 * pull, ...spot } },
      { zone: "rim", principal: { stress: 99, x: 28, y: 0 }, vonMises: { stress: 98, x: 28, y: 0 } },
    ],
    steel: steel
      ? {
          grade: "4340",
          hardnessText: "38..42 HRC",
          yieldLow: 1090,
          yieldHigh: 1200,
          tensileLow: 1200,
          tensileHigh: 1310,
          source: "hardness table",
          warnings: [],
        }
      : null,
    model: "sector",
    mesh: {
      nodes: mesh.xy.length / 2,
      elements: mesh.elements.length / 6,
      unknowns: 1000,
      minAngle: 22,
      minJacobian: 0.6,
      areaError: 1e-7,
    },
    accuracy: { target: 0.02, met: true, stoppedBy: null },
    checks: { residual: 1e-15, energyGap: 1e-13, stressJump: 0.01, supportForce: 1e-12 },
    passes: [{ unknowns: 1000, elements: 400, value: 3 * pull, estimate: 0.0123456 }],
    times: { mesh: 1, assemble: 1, order: 1, factor: 1, solve: 1, recover: 1, estimate: 1, total: 7 },
    notes: [],
  };
  const profile: ProfileOutline = {
    outline,
    contactEdges: ["flank loaded"],
    reactionEdges: ["rim 1", "rim 2", "rim 3"],
    corners: [],
    contact: [32.4, 35],
    rootThickness: 3.4,
    rootRadiusPosition: 17.8,
    bandMiddle: 17,
    sectors: 17,
    notes: [],
  };
  return { result, field, profile };
}

/** A root whose opening stress falls evenly from twice the pull to nothing over 4 mm; torque as in the result above. */
function syntheticRoot(sharp: boolean, pull: number): RootField {
  const distances = Float64Array.from({ length: 41 }, (_, k) => k / 10);
  const scale = (2 * pull) / 1242e3;
  return {
    sharp,
    x: 17.8,
    y: 0,
    dx: 1,
    dy: 0,
    radius: sharp ? 0 : 0.8,
    scale: 0.3,
    materialAngle: 4.2,
    others: [],
    pushed: null,
    peakPrincipal: sharp ? null : (3 * pull) / 1242e3,
    highestVonMises: sharp ? null : (3 * pull) / 1242e3,
    pushOverPull: 1,
    walls: [{ normal: 1e-4, shear: 1e-5, moment: 1e-5, thickness: 9.5 }],
    nominal: 278 / 1242e3,
    pressure: 412.3 / 1242e3,
    corner: sharp
      ? {
          materialAngle: 4.2,
          exponent1: 0.55,
          k1: scale / 2,
          exponent2: null,
          k2: null,
          reach: 0.4,
          spread: 0.01,
        }
      : null,
    paths: [
      {
        angle: 0,
        distances: sharp ? distances.slice(1) : distances,
        opening: (sharp ? distances.slice(1) : distances).map((r) => scale * (1 - r / 4)),
        mean: (sharp ? distances.slice(1) : distances).map((r) => scale * (1 - r / 8)),
        through: true,
      },
    ],
    tooth: {
      kind: "internal spline",
      teeth: 17,
      overload: 2,
      faceWidth: 16,
      rootThickness: 3.4,
      arm: 1,
      sections: [{ height: 0, thickness: 3.4, arm: 1, pull: 0, share: 1 }],
      forcePerTorque: 8580 / 1242e3,
      pitchDiameter: 34,
      pitchThickness: 3.1,
      contactHeight: 1.3,
      pressureAngle: 0.5,
      wall: 9.5,
      wallHeld: false,
      hoopPerTorque: 1e-4,
      shaft: null,
    },
  };
}
