import { type Design, DesignError, lengthWords } from "../design/index.ts";
import { outlineEdges } from "../geometry/index.ts";
import type { Mesh } from "../mesh/index.ts";
import type { ProfileOutline, RootCorner } from "../profile/index.ts";
import type { Evaluator, NodalStress } from "../solver/index.ts";
import type { PathStart, RootStart } from "../strength/index.ts";
import { acrossCuts } from "./acrossCuts.ts";
import {
  type BoundarySpot,
  boundaryPeaks,
  inwardNormal,
  type Peaks,
  sideLength,
  spotPlace,
} from "./boundaryPeaks.ts";
import { climb } from "./climb.ts";
import { cornerArc, freeSides, pointsMean } from "./cornerOpening.ts";
import { nominalStress } from "./nominal.ts";
import { openedMost } from "./openedMost.ts";
import { NO_PEAKS, type RootPeaks, rootPeaks } from "./otherPeaks.ts";
import { FEW_HALVINGS, pathAverage, pathPoints, type StressAt } from "./pathAverage.ts";
import type { MeanReading, Reading } from "./reading.ts";
import type { RootAnswer, ZonePeak } from "./result.ts";
import { rootStarts, type SpottedStart, scaleBeside } from "./rootStarts.ts";
import { type PlacedCorner, type RootPlace, rootSurfaces } from "./rootSurfaces.ts";
import type { Model, ToothLoads } from "./toothLoads.ts";

/** What the field of one solved model says of its roots, all but the error estimate. */
export interface FieldAnswer {
  readonly root: Omit<RootAnswer, "errorEstimate">;
  readonly zones: readonly ZonePeak[];
  /** How the governing stress was read: the peak, or a sharp root's mean opening stress. */
  readonly reading: Reading;
  /** The peaks of all roots. */
  readonly peaks: RootPeaks;
  /** Boundary sides of the governing root round its peak; beside a sharp one, of the surfaces that meet there. */
  readonly isRoot: (side: number, x: number, y: number) => boolean;
  /**
   * Where a crack may start: first the governing root's corner or, rounded, where its average was read; then of each root, on the tooth
   * where it is stressed most, its corner or peak and places along its fillet, land and flank.
   */
  readonly starts: () => readonly RootStart[];
  /** The same where roots are pushed, the hardest pushed first: a torque that reverses pulls them. */
  readonly pushedStarts: () => readonly RootStart[];
}

/**
 * A root whose peak tension is under this share of its own von Mises peak is not pulled: a free surface under pressure has a first
 * principal of zero, all along. Accuracy is then that of the von Mises peak.
 */
const LEAST_TENSION = 0.2;

/** The jump of stress is looked for within this many sides of the peak: further off, a contact band may begin. */
const JUMP_SIDES = 2.5;

/** A place with less than this share of what any root has begins no path that another does not outdo. */
const LEAST_SHARE = 0.1;

/** A push of less than this share of the most stress adds next to nothing to a range. */
const LEAST_PUSH = 0.02;

/** One root of one tooth: its peak (null where sharp) and its averaged stress. */
interface RootOfTooth {
  readonly corner: RootCorner;
  /** All other corners, and the ends of contacts with friction. */
  readonly beside: readonly RootPlace[];
  /** Its peak's place or, sharp, its corner. */
  readonly start: RootStart;
  readonly peaks: Peaks | null;
  /** A sharp one's behind its corner, a rounded one's behind its peak; see `worstAverage`. */
  readonly average: RootAnswer["average"];
  /** Where that begins, and straight into the material from there; of a sharp corner along its bisector. */
  readonly averageStart: PathStart;
  /** Where else along its surfaces a crack may start: places with at least so much tension, MPa. */
  readonly besides: (least: number) => readonly SpottedStart[];
  /** Whether a place of its surfaces is one where a mean may be read. */
  readonly readable: (side: number, x: number, y: number) => boolean;
  /** The opposite of the mean opening stress inward from where the root is stressed most: positive where that is pushed. */
  readonly push: number;
  /** That place, and where else along its surfaces there is at least so much push, MPa. */
  readonly pushStart: RootStart;
  readonly pushedBesides: (least: number) => readonly SpottedStart[];
  readonly reading: Reading;
  /** Names of the edges of its fillet and root land. */
  readonly edges: ReadonlySet<string>;
}

/**
 * Finds the governing root and reads it. Where all roots are rounded that is the one with the highest tensile peak, or where none is
 * pulled the one with the highest von Mises peak; where one is sharp, whose peak means nothing, it is the one with the largest averaged
 * opening stress, a measure that sharp and rounded roots share. Peaks are those of the governing root alone (its fillet and root
 * land); the compressed root on the other side of the tooth may reach a higher von Mises stress, which the zone "root" shows. Near a sharp corner no peak is taken,
 * nor where a contact with friction ends: the shear traction jumps there, and the stress along the surface grows with the logarithm of
 * the distance from it (K. L. Johnson, Contact Mechanics, section 2.5, from memory), so that no mesh would find an end of it.
 */
export function rootAnswer(
  design: Design,
  built: ProfileOutline,
  model: Model,
  loads: ToothLoads,
  stress: NodalStress,
  field: Pick<Evaluator, "stressAt" | "stressAtPlace">,
): FieldAnswer {
  const { averagingDistance: distance, material, profile } = design;
  const { mesh } = model;
  const edges = outlineEdges(model.outline);
  const { all, singular, places, rubbing } = rootSurfaces(design, built, model);
  const nearSingular = (x: number, y: number) =>
    singular.some((p) => Math.hypot(x - p.x, y - p.y) < p.within);
  // where a rubbing contact ends there is no peak, but a mean behind the place there is
  const nearCorner = (x: number, y: number) =>
    singular.some((p) => p.of === "corner" && Math.hypot(x - p.x, y - p.y) < p.within);
  const clear = singular.length > 0 ? (x: number, y: number) => !nearSingular(x, y) : null;
  const across = acrossCuts(model, field);
  let opposite: NodalStress | null = null;
  const negated = (): NodalStress => {
    opposite ??= stress.map((value) => -value);
    return opposite;
  };

  const roots = all.map((placed): RootOfTooth => {
    const { corner, rootEdges, surfaces, contactEnds } = placed;
    const nameOf = (side: number) => edges[mesh.sideEdge[side]].name;
    const onRoot = (side: number) => rootEdges.has(nameOf(side));
    const kindOf = (side: number, x: number, y: number) =>
      !surfaces.has(nameOf(side)) || nearCorner(x, y) ? null : rootEdges.has(nameOf(side)) ? "root" : "flank";
    const readable = (side: number, x: number, y: number) => kindOf(side, x, y) !== null;
    const beside = [...places.filter((one) => one.x !== placed.x || one.y !== placed.y), ...rubbing];
    const startsFrom =
      (start: RootStart, of = (): NodalStress => stress) =>
      (least: number) =>
        rootStarts(mesh, of(), start, beside, contactEnds, least, kindOf);
    if (corner.radius === 0) {
      const { average, reading, onBisector } = readCorner(design, built, placed, field.stressAt);
      // paths fan out about the bisector, from which the corner's own field is counted too
      const { x, y, bisectorX: dx, bisectorY: dy } = placed;
      const start = startAt(corner, { x, y, dx, dy }, beside);
      return {
        corner,
        beside,
        start,
        peaks: null,
        average,
        averageStart: start,
        besides: startsFrom(start),
        readable,
        push: -onBisector,
        pushStart: start,
        pushedBesides: startsFrom(start, negated),
        reading,
        edges: rootEdges,
      };
    }
    const peaks = boundaryPeaks(mesh, stress, material, onRoot, clear);
    if (!peaks) throw new Error(`root fillet ${[...rootEdges].join(", ")} has no element sides`);
    const { principal, vonMises } = peaks;
    const [dx, dy] = inwardNormal(mesh, peaks.principalSpot);
    const { x, y } = principal;
    const start = startAt(corner, { x, y, dx, dy }, beside);
    const mean = pathAverage(across, pathPoints(x, y, dx, dy, distance));
    if (!mean) throw tooLong(design);
    const [nx, ny] = inwardNormal(mesh, peaks.vonMisesSpot);
    const pushed = pathAverage(across, pathPoints(vonMises.x, vonMises.y, nx, ny, distance));
    const pushStart = startAt(corner, { x: vonMises.x, y: vonMises.y, dx: nx, dy: ny }, beside);
    // the far end of an arc may belong to a small fillet across the gap, which is pushed while this root is pulled
    const own = (side: number, px: number, py: number) =>
      onRoot(side) && places.every((one) => !nearer(one, placed, px, py));
    const little = (than: number) => principal.stress < LEAST_TENSION * than;
    const pressed =
      little(vonMises.stress) &&
      little(boundaryPeaks(mesh, stress, material, own, clear)?.vonMises.stress ?? vonMises.stress);
    const reading: Reading = pressed
      ? { kind: "pressed", value: vonMises.stress, scale: vonMises.stress, ...peaks.vonMisesSpot }
      : { kind: "peak", value: principal.stress, scale: principal.stress, ...peaks.principalSpot };
    // where the most tension is that of a surface all but unloaded, its place means nothing
    const [averageStart, found] =
      pressed && pushed && !(mean.opening > 0)
        ? [{ x: vonMises.x, y: vonMises.y, dx: nx, dy: ny }, pushed]
        : [{ x, y, dx, dy }, mean];
    return {
      corner,
      beside,
      start,
      peaks,
      average: { distance, ...found, ...averageStart },
      averageStart,
      besides: startsFrom(start),
      readable,
      push: -(pushed?.opening ?? 0),
      pushStart,
      pushedBesides: startsFrom(pushStart, negated),
      reading,
      edges: rootEdges,
    };
  });
  const mostTension = tensionBehind(roots);
  const anySharp = built.corners.some(({ radius }) => radius === 0);
  // what little pull pressed roots have is all but alike, and would make another of them govern on every mesh
  const allPressed = roots.every(({ reading }) => reading.kind === "pressed");
  const rank = ({ average, peaks, reading }: RootOfTooth) =>
    anySharp ? average.opening : allPressed ? reading.value : peaks!.principal.stress;
  const besides = (root: RootOfTooth) => root.besides(LEAST_SHARE * mostTension);
  const worstOf = (root: RootOfTooth) => {
    const at = root.peaks ? across : field.stressAt;
    return turnedMost(worstAverage(mesh, root, besides(root), at), at);
  };
  // where a root is sharp, all stand beside each other with their worst means
  const ranked = anySharp ? roots.map(worstOf) : roots;
  const highest = ranked.reduce((a, b) => (rank(b) > rank(a) ? b : a));
  const governing = anySharp ? highest : worstOf(highest);
  const sharp = governing.corner.radius === 0;

  const zones: ZonePeak[] = [];
  for (const zone of new Set(edges.map((edge) => edge.zone))) {
    if (zone === "cut") continue;
    const zonePeaks = boundaryPeaks(
      mesh,
      stress,
      material,
      (side) => edges[mesh.sideEdge[side]].zone === zone,
      clear,
    );
    if (zonePeaks && !(zone === "root" && sharp)) {
      zones.push({ zone, principal: zonePeaks.principal, vonMises: zonePeaks.vonMises });
    }
  }

  const { reading, peaks } = governing;
  // where it was read: a rounded one's mean may be that of another place
  const { x: rootX, y: rootY } =
    reading.kind === "pressed"
      ? peaks!.vonMises
      : reading.kind === "peak"
        ? peaks!.principal
        : governing.average;
  const reach = reading.kind === "mean" ? 0 : JUMP_SIDES * sideLength(mesh, reading.side);
  const isRoot = (side: number, x: number, y: number): boolean => {
    const edge = edges[mesh.sideEdge[side]];
    const r = Math.hypot(x - rootX, y - rootY);
    if (!sharp) return governing.edges.has(edge.name) && !nearSingular(x, y) && r < reach;
    return r < 3 * distance && edge.zone !== "cut" && !nearSingular(x, y);
  };
  const nominal = nominalStress(profile, built, loads.perTooth);
  const highestVonMises = anySharp ? null : (zones.find(({ zone }) => zone === "root")?.vonMises ?? null);
  return {
    root: {
      sharp,
      peakPrincipal: peaks?.principal ?? null,
      peakVonMises: peaks?.vonMises ?? null,
      highestVonMises,
      pushOverPull: pushOverPull(governing, roots),
      average: governing.average,
      nominal,
      kt: peaks && reading.kind !== "pressed" ? peaks.principal.stress / nominal.stress : null,
      contactPressure: loads.pressure,
    },
    zones,
    reading,
    peaks:
      reading.kind === "mean" || !highestVonMises
        ? NO_PEAKS
        : rootPeaks(
            mesh,
            stress,
            material,
            { principal: peaks!.principal.stress, highestVonMises: highestVonMises.stress },
            { x: rootX, y: rootY, reach },
            all.flatMap(({ contactEnds }) => contactEnds),
            (side, x, y) => edges[mesh.sideEdge[side]].zone === "root" && !nearSingular(x, y),
          ),
    isRoot,
    starts: () => startsOf(governing, roots, besides),
    pushedStarts: () => pushedStartsOf(roots, mostTension),
  };
}

/** Whether a place is nearer to one root corner than to another. */
const nearer = (one: RootPlace, than: RootPlace, x: number, y: number): boolean =>
  Math.hypot(x - one.x, y - one.y) < Math.hypot(x - than.x, y - than.y);

function tooLong({ averagingDistance, units }: Design): DesignError {
  const say = lengthWords(units);
  return new DesignError([
    {
      key: "answer.averaging distance",
      problem: `${say.length(averagingDistance)} behind the root is longer than the material there`,
      remedy: `use a shorter distance, such as ${say.length(averagingDistance > 0.1 ? 0.1 : averagingDistance / 4, 2)}`,
    },
  ]);
}

/** Elements at a corner lose less than this share of its mean. */
const MOST_LOST = 0.25;

/** The mean along a sharp corner's bisector, or where it is opened more, read on arcs about it where its surfaces allow that; see `cornerArc`. */
function readCorner(
  design: Design,
  built: ProfileOutline,
  placed: PlacedCorner,
  at: StressAt,
): { average: RootAnswer["average"]; reading: MeanReading; onBisector: number } {
  const { corner, x, y, bisectorX, bisectorY } = placed;
  const distance = design.averagingDistance;
  const onBisector = pathAverage(at, pathPoints(x, y, bisectorX, bisectorY, distance));
  if (!onBisector) throw tooLong(design);
  const { off, dx, dy } = openedMost({ x, y, dx: bisectorX, dy: bisectorY }, distance, at);
  const from = { x, y, dx, dy };
  const path = pathPoints(x, y, dx, dy, distance);
  const mean = pathAverage(at, path)!;
  const arcs = freeSides(built, corner, distance).flatMap(
    ({ sense, turn }) => cornerArc(at, from, distance, { sense, turn: turn - sense * off }) ?? [],
  );
  const means = arcs.map((arc) => pointsMean(at, arc));
  const opening = arcs.length > 0 ? means.reduce((a, b) => a + b) / arcs.length : mean.opening;
  // what the elements at the corner lose of one mean they lose of the other; where the two differ more, next to nothing opens the path
  const kept = opening / mean.opening;
  const principal = Math.abs(kept - 1) < MOST_LOST ? kept * mean.principal : mean.principal;
  return {
    onBisector: off === 0 ? opening : onBisector.opening,
    average: { distance, opening, principal, ...from },
    reading: {
      kind: "mean",
      value: opening,
      scale: Math.max(Math.abs(opening), LEAST_TENSION * Math.abs(principal)),
      points: arcs.length > 0 ? arcs : [path],
      onPath: arcs.length === 0,
      spread: arcs.length === 2 ? Math.abs(means[0] - means[1]) / 2 : 0,
    },
  };
}

/** The most tension of a root, MPa: its peak, or a sharp one's mean. */
const tensionOf = ({ peaks, average }: RootOfTooth) => peaks?.principal.stress ?? average.opening;

/**
 * The most tension of any root, MPa, against which places are held: the peak of a small radius has no bound, and says nothing of what lies
 * further behind than that; the mean does, of rounded roots as of sharp ones.
 */
function tensionBehind(roots: readonly RootOfTooth[]): number {
  const peak = Math.max(0, ...roots.map(tensionOf));
  const mean = Math.max(0, ...roots.map(({ average }) => average.opening));
  return mean > 0 ? Math.min(peak, mean) : peak;
}

/** A place off the peak is the worse one where its mean is higher by more than this; else both are told of the same place. */
const WORSE = 1.02;

/**
 * A root with its mean read behind another place of its surfaces where that is pulled, and more than behind its peak or its corner. A
 * sharp root's reading is that mean then: at its corner there may be next to nothing to read.
 */
function worstAverage(
  mesh: Mesh,
  root: RootOfTooth,
  besides: readonly SpottedStart[],
  at: StressAt,
): RootOfTooth {
  if (root.reading.kind === "pressed") return root;
  const { distance } = root.average;
  const pathFrom = ({ x, y, dx, dy }: PathStart) => pathPoints(x, y, dx, dy, distance, FEW_HALVINGS);
  let worst: BoundarySpot | null = null;
  let most = Math.max(0, WORSE * root.average.opening);
  for (const start of besides) {
    const mean = pathAverage(at, pathFrom(start));
    if (!mean || mean.opening <= most) continue;
    most = mean.opening;
    worst = start.spot;
  }
  if (!worst) return root;
  const placeOf = (spot: BoundarySpot): PathStart => {
    const [x, y] = spotPlace(mesh, spot);
    const [dx, dy] = inwardNormal(mesh, spot);
    return { x, y, dx, dy };
  };
  const highest = climb(mesh, worst, (spot) => {
    const place = placeOf(spot);
    return root.readable(spot.side, place.x, place.y)
      ? (pathAverage(at, pathFrom(place))?.opening ?? null)
      : null;
  });
  const averageStart = placeOf(highest);
  const points = pathFrom(averageStart);
  const mean = pathAverage(at, points)!;
  const value = mean.opening;
  const scale = Math.max(
    value,
    LEAST_TENSION * Math.abs(mean.principal),
    LEAST_TENSION * Math.abs(root.average.opening),
  );
  return {
    ...root,
    average: { distance, ...mean, ...averageStart },
    averageStart,
    reading: root.peaks
      ? root.reading
      : { kind: "mean", value, scale, points: [points], onPath: false, spread: 0 },
  };
}

/**
 * A root with its mean along the path that is opened most from where it was read, as sharp corners have theirs: straight inward is all but
 * that on a fillet in bending, and less where it is sheared.
 */
function turnedMost(root: RootOfTooth, at: StressAt): RootOfTooth {
  const { averageStart: from, reading, start, peaks } = root;
  const { distance, opening: straight } = root.average;
  // a sharp corner's own mean is turned already, and read on arcs
  if (reading.kind === "pressed" || !(straight > 0) || (!peaks && from === start)) return root;
  const { dx, dy } = openedMost(from, distance, at);
  const points = pathPoints(from.x, from.y, dx, dy, distance);
  const mean = pathAverage(at, points);
  if (!mean || mean.opening <= straight) return root;
  const average = { distance, ...mean, x: from.x, y: from.y, dx, dy };
  if (reading.kind !== "mean") return { ...root, average };
  const value = mean.opening;
  return {
    ...root,
    average,
    reading: { ...reading, value, scale: Math.max(reading.scale, value), points: [points] },
  };
}

function startAt(
  { radius, materialAngle }: RootCorner,
  { x, y, dx, dy }: PathStart,
  beside: readonly RootPlace[],
): RootStart {
  return { x, y, dx, dy, radius, scale: Math.min(radius, scaleBeside(beside, x, y)), materialAngle };
}

/** See `FieldAnswer`. */
function startsOf(
  governing: RootOfTooth,
  roots: readonly RootOfTooth[],
  besides: (root: RootOfTooth) => readonly RootStart[],
): RootStart[] {
  const { corner, start, peaks, averageStart, beside } = governing;
  // a sharp root's is its corner, wherever its mean was read
  const starts: RootStart[] = [peaks ? startAt(corner, averageStart, beside) : start];
  for (const side of new Set(roots.map((root) => root.corner))) {
    const worst = roots
      .filter((root) => root.corner === side)
      .reduce((a, b) => (tensionOf(b) > tensionOf(a) ? b : a));
    const isFirst = worst.start.x === starts[0].x && worst.start.y === starts[0].y;
    if (!isFirst && tensionOf(worst) > 0) starts.push(worst.start);
    starts.push(...besides(worst));
  }
  return starts;
}

/** See `FieldAnswer`: of each side the root pushed hardest, with the places beside its own. */
function pushedStartsOf(roots: readonly RootOfTooth[], mostTension: number): RootStart[] {
  const most = Math.max(mostTension, ...roots.map(({ push }) => push));
  return [...new Set(roots.map((root) => root.corner))]
    .map((side) => roots.filter((root) => root.corner === side).reduce((a, b) => (b.push > a.push ? b : a)))
    .sort((a, b) => b.push - a.push)
    .flatMap(({ push, pushStart, pushedBesides }) => [
      ...(push > 0 ? [pushStart] : []),
      ...pushedBesides(LEAST_PUSH * most),
    ]);
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
