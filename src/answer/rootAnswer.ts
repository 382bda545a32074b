import { type Design, DesignError } from "../design/index.ts";
import { curvePoint, outlineEdges } from "../geometry/index.ts";
import type { Mesh } from "../mesh/index.ts";
import type { ProfileOutline, RootCorner } from "../profile/index.ts";
import type { NodalStress } from "../solver/index.ts";
import type { PathStart, RootStart } from "../strength/index.ts";
import { boundaryPeaks, inwardNormal, type Peaks } from "./boundaryPeaks.ts";
import { cornerArc, freeSides, pointsMean } from "./cornerOpening.ts";
import { nominalStress } from "./nominal.ts";
import { pathAverage, pathPoints, type StressAt } from "./pathAverage.ts";
import type { Reading } from "./reading.ts";
import type { RootAnswer, ZonePeak } from "./result.ts";
import { rootStarts } from "./rootStarts.ts";
import { edgeOfTooth, type Model, type ToothLoads } from "./toothLoads.ts";

/** What the field of one solved model says of its roots, all but the error estimate. */
export interface FieldAnswer {
  readonly root: Omit<RootAnswer, "errorEstimate">;
  readonly zones: readonly ZonePeak[];
  /** How the governing stress was read: the peak, or a sharp root's mean opening stress. */
  readonly reading: Reading;
  /** Boundary sides of the governing root round its peak; beside a sharp one, of the surfaces that meet there. */
  readonly isRoot: (side: number, x: number, y: number) => boolean;
  /**
   * Where a crack may start: first where the governing root's average was read, then of each root corner, on the tooth where it is
   * stressed most, the corner itself or places along its fillet and land.
   */
  readonly starts: () => readonly RootStart[];
}

/**
 * A root whose peak tension is under this share of its own von Mises peak is not pulled: a free surface under pressure has a first
 * principal of zero, all along. Accuracy is then that of the von Mises peak.
 */
const LEAST_TENSION = 0.2;

/** The jump of stress is looked for within this many sides of the peak: further off, a contact band may begin. */
const JUMP_SIDES = 2.5;

/** One root of one tooth: its peak (null where sharp) and its averaged stress. */
interface RootOfTooth {
  readonly corner: RootCorner;
  readonly peaks: Peaks | null;
  /** A sharp one's behind its corner, a rounded one's behind its peak; see `worstAverage`. */
  readonly average: RootAnswer["average"];
  /** Where else along it a crack may start; none of a sharp corner. */
  readonly besides: () => readonly RootStart[];
  /** The opposite of the mean opening stress inward from where the root is stressed most: positive where that is pushed. */
  readonly push: number;
  readonly reading: Reading;
  readonly edgeNames: readonly string[];
}

/**
 * Finds the governing root and reads it. Where all roots are rounded that is the one with the highest tensile peak, or where none is
 * pulled the one with the highest von Mises peak; where one is sharp, whose peak means nothing, it is the one with the largest averaged opening stress, a measure that sharp and
 * rounded roots share. Peaks are those of the governing root alone (its fillet and root land); the compressed root
 * on the other side of the tooth may reach a higher von Mises stress, which the zone "root" shows. Near a sharp corner no peak is taken,
 * nor where a contact with friction ends: the shear traction jumps there, and the stress along the surface grows with the logarithm of
 * the distance from it (K. L. Johnson, Contact Mechanics, section 2.5, from memory), so that no mesh would find an end of it.
 */
export function rootAnswer(
  design: Design,
  built: ProfileOutline,
  model: Model,
  loads: ToothLoads,
  stress: NodalStress,
  at: StressAt,
): FieldAnswer {
  const { averagingDistance: distance, material, profile } = design;
  const { mesh } = model;
  const edges = outlineEdges(model.outline);
  const place = rootPlaces(design, built, model);
  const nearSingular = (x: number, y: number) =>
    place.singular.some((p) => Math.hypot(x - p.x, y - p.y) < p.within);

  const roots: RootOfTooth[] = [];
  for (const { corner, edgeNames, x, y, bisectorX, bisectorY } of place.all) {
    let peaks: Peaks | null = null;
    let from = { x, y, dx: bisectorX, dy: bisectorY };
    let push = 0;
    const wanted = new Set(edgeNames);
    const isOnIt = (side: number, mx: number, my: number) =>
      wanted.has(edges[mesh.sideEdge[side]].name) && !nearSingular(mx, my);
    if (corner.radius > 0) {
      peaks = boundaryPeaks(mesh, stress, material, isOnIt);
      if (!peaks) throw new Error(`root fillet ${edgeNames.join(", ")} has no element sides`);
      const [dx, dy] = inwardNormal(mesh, peaks.principalSpot);
      from = { x: peaks.principal.x, y: peaks.principal.y, dx, dy };
      const { vonMises } = peaks;
      const [nx, ny] = inwardNormal(mesh, peaks.vonMisesSpot);
      push = -(pathAverage(at, pathPoints(vonMises.x, vonMises.y, nx, ny, distance))?.opening ?? 0);
    }
    const path = pathPoints(from.x, from.y, from.dx, from.dy, distance);
    const mean = pathAverage(at, path);
    if (!mean) {
      throw new DesignError([
        {
          key: "answer.averaging distance",
          problem: `${distance} mm behind the root is longer than the material there`,
          remedy: "use a shorter distance, such as 0.1 mm",
        },
      ]);
    }
    if (peaks) {
      const { principal, vonMises } = peaks;
      const reading: Reading =
        principal.stress < LEAST_TENSION * vonMises.stress
          ? { kind: "pressed", value: vonMises.stress, scale: vonMises.stress, ...peaks.vonMisesSpot }
          : { kind: "peak", value: principal.stress, scale: principal.stress, ...peaks.principalSpot };
      const besides = () => rootStarts(mesh, stress, corner, principal, isOnIt);
      roots.push({
        corner,
        peaks,
        average: { distance, ...mean, ...from },
        besides,
        push,
        reading,
        edgeNames,
      });
      continue;
    }
    const arcs = freeSides(built, corner, distance).flatMap(
      (side) => cornerArc(at, from, distance, side) ?? [],
    );
    const means = arcs.map((arc) => pointsMean(at, arc));
    const opening = arcs.length > 0 ? means.reduce((a, b) => a + b) / arcs.length : mean.opening;
    // what the elements at the corner lose of one mean they lose of the other
    const principal = mean.principal * (opening / mean.opening);
    const spread = arcs.length === 2 ? Math.abs(means[0] - means[1]) / 2 : 0;
    roots.push({
      corner,
      peaks,
      average: { distance, opening, principal, ...from },
      besides: () => [],
      push: -opening,
      edgeNames: [],
      reading: {
        kind: "mean",
        value: opening,
        scale: Math.max(Math.abs(opening), LEAST_TENSION * Math.abs(principal)),
        points: arcs.length > 0 ? arcs : [path],
        onPath: arcs.length === 0,
        spread,
      },
    });
  }
  const anySharp = built.corners.some(({ radius }) => radius === 0);
  // what little pull pressed roots have is all but alike, and would make another of them govern on every mesh
  const allPressed = roots.every(({ reading }) => reading.kind === "pressed");
  const rank = ({ average, peaks, reading }: RootOfTooth) =>
    anySharp ? average.opening : allPressed ? reading.value : peaks!.principal.stress;
  const withWorst = (root: RootOfTooth) => ({ ...root, average: worstAverage(root, at) });
  const highest = (anySharp ? roots.map(withWorst) : roots).reduce((a, b) => (rank(b) > rank(a) ? b : a));
  const governing = anySharp ? highest : withWorst(highest);
  const sharp = governing.corner.radius === 0;

  const zones: ZonePeak[] = [];
  for (const zone of new Set(edges.map((edge) => edge.zone))) {
    if (zone === "cut") continue;
    const zonePeaks = boundaryPeaks(
      mesh,
      stress,
      material,
      (side, x, y) => edges[mesh.sideEdge[side]].zone === zone && !nearSingular(x, y),
    );
    if (zonePeaks && !(zone === "root" && sharp)) {
      zones.push({ zone, principal: zonePeaks.principal, vonMises: zonePeaks.vonMises });
    }
  }

  const { reading, peaks } = governing;
  const { x: rootX, y: rootY } = reading.kind === "pressed" ? peaks!.vonMises : governing.average;
  const governingEdges = new Set(governing.edgeNames);
  const reach = reading.kind === "mean" ? 0 : JUMP_SIDES * sideLength(mesh, reading.side);
  const isRoot = (side: number, x: number, y: number): boolean => {
    const edge = edges[mesh.sideEdge[side]];
    const r = Math.hypot(x - rootX, y - rootY);
    if (!sharp) return governingEdges.has(edge.name) && !nearSingular(x, y) && r < reach;
    return r > distance && r < 3 * distance && edge.zone !== "cut";
  };
  const nominal = nominalStress(profile, built, loads.perTooth);
  return {
    root: {
      sharp,
      peakPrincipal: peaks?.principal ?? null,
      peakVonMises: peaks?.vonMises ?? null,
      highestVonMises: anySharp ? null : (zones.find(({ zone }) => zone === "root")?.vonMises ?? null),
      pushOverPull: pushOverPull(governing, roots),
      average: governing.average,
      nominal,
      kt: peaks && reading.kind !== "pressed" ? peaks.principal.stress / nominal.stress : null,
      contactPressure: loads.pressure,
    },
    zones,
    reading,
    isRoot,
    starts: () => startsOf(governing, roots),
  };
}

/** A place off the peak is the worse one where its mean is higher by more than this; else both are told of the same place. */
const WORSE = 1.02;

/** The mean behind the peak of a rounded root, or behind another place of it where that is worse. */
function worstAverage(root: RootOfTooth, at: StressAt): RootAnswer["average"] {
  let { average } = root;
  if (root.reading.kind === "pressed") return average;
  const { distance } = average;
  let most = WORSE * average.opening;
  for (const { x, y, dx, dy } of root.besides()) {
    const mean = pathAverage(at, pathPoints(x, y, dx, dy, distance));
    if (!mean || mean.opening <= most) continue;
    most = mean.opening;
    average = { distance, ...mean, x, y, dx, dy };
  }
  return average;
}

/** See `FieldAnswer`. */
function startsOf(governing: RootOfTooth, roots: readonly RootOfTooth[]): RootStart[] {
  const begin = ({ corner: { radius, materialAngle } }: RootOfTooth, { x, y, dx, dy }: PathStart) => ({
    x,
    y,
    dx,
    dy,
    radius,
    materialAngle,
  });
  const starts: RootStart[] = [begin(governing, governing.average)];
  for (const corner of new Set(roots.map((root) => root.corner))) {
    const size = ({ peaks, average }: RootOfTooth) => peaks?.principal.stress ?? average.opening;
    const worst = roots
      .filter((root) => root.corner === corner)
      .reduce((a, b) => (size(b) > size(a) ? b : a));
    if (worst.reading.kind === "pressed" || !(size(worst) > 0)) continue;
    const { x, y } = worst.average;
    if (x !== starts[0].x || y !== starts[0].y) starts.push(begin(worst, worst.average));
    starts.push(...worst.besides());
  }
  return starts;
}

/** See `RootAnswer`. On a free surface the von Mises stress is the size of the one stress there is, pull or push. */
function pushOverPull(
  { reading, peaks, average }: RootOfTooth,
  roots: readonly RootOfTooth[],
): number | null {
  if (reading.kind === "pressed" || !(average.opening > 0)) return null;
  let ratio = 1;
  for (const { push, peaks: pushed } of roots) {
    if (push <= 0) continue;
    ratio = Math.max(ratio, push / average.opening);
    if (peaks && pushed) ratio = Math.max(ratio, pushed.vonMises.stress / peaks.principal.stress);
  }
  return ratio;
}

/** Chord of a boundary side, mm. */
function sideLength({ xy, elements, sideElement, sideLocal }: Mesh, b: number): number {
  const e = 6 * sideElement[b];
  const i = 2 * elements[e + sideLocal[b]];
  const j = 2 * elements[e + ((sideLocal[b] + 1) % 3)];
  return Math.hypot(xy[j] - xy[i], xy[j + 1] - xy[i + 1]);
}

/** Of a fillet's radius, how much is left out at most beside the end of a contact with friction. */
const LEFT_OUT = 0.25;

/** Where a contact with friction begins or ends, on the part's first tooth; empty without friction. */
function contactEnds({ load }: Design, built: ProfileOutline): [number, number][] {
  if (load.friction === 0) return [];
  const inContact = (name: string) => built.contactEdges.includes(name);
  return built.outline.loops.flatMap((loop) =>
    loop.flatMap(({ name, curve }, k) => {
      const before = loop[(k + loop.length - 1) % loop.length].name;
      return inContact(name) !== inContact(before) ? [curvePoint<[number, number]>(curve, 0, [0, 0])] : [];
    }),
  );
}

/**
 * Every root corner of every tooth of the model, turned or shifted to its place, and the places beside which no peak is taken, with the
 * distance that is left out.
 */
function rootPlaces(design: Design, built: ProfileOutline, model: Model) {
  const distance = design.averagingDistance;
  const ends = contactEnds(design, built);
  const radii = built.corners.map(({ radius }) => radius).filter((radius) => radius > 0);
  const beside = Math.min(distance, LEFT_OUT * Math.min(...radii));
  const pitch =
    design.profile.kind === "face tooth" ? (Math.PI * design.profile.meanDiameter) / design.profile.teeth : 0;
  const all = [];
  const singular: { x: number; y: number; within: number }[] = [];
  for (let k = 0; k < model.copies; k++) {
    const angle = pitch > 0 ? 0 : (2 * Math.PI * k) / built.sectors;
    const c = Math.cos(angle);
    const s = Math.sin(angle);
    const toPlace = (x: number, y: number): [number, number] => [c * x - s * y + pitch * k, s * x + c * y];
    for (const end of ends) {
      const [x, y] = toPlace(...end);
      singular.push({ x, y, within: beside });
    }
    for (const corner of built.corners) {
      const [x, y] = toPlace(corner.x, corner.y);
      all.push({
        corner,
        edgeNames: rootSide(built, corner).map((name) => edgeOfTooth(model, name, k)),
        x,
        y,
        bisectorX: c * corner.bisectorX - s * corner.bisectorY,
        bisectorY: s * corner.bisectorX + c * corner.bisectorY,
      });
      if (corner.radius === 0) singular.push({ x, y, within: distance });
    }
  }
  return { all, singular };
}

/** The fillet of a corner with the root edges that run on from it, up to the flank and to the cut. */
function rootSide(built: ProfileOutline, corner: RootCorner): string[] {
  const names: string[] = [];
  for (const loop of built.outline.loops) {
    const isRoot = (k: number) => loop[(k + loop.length) % loop.length].zone === "root";
    const fillet = loop.findIndex((edge) => corner.edges.includes(edge.name));
    if (fillet < 0) continue;
    let first = fillet;
    while (isRoot(first - 1) && first > fillet - loop.length) first--;
    for (let k = first; isRoot(k) && k < first + loop.length; k++) {
      names.push(loop[(k + loop.length) % loop.length].name);
    }
  }
  return names;
}
