import { type Design, DesignError, formatForce, lengthWords } from "../design/index.ts";
import { minSize, type SizeField } from "../mesh/index.ts";
import { buildProfile, type ProfileOutline } from "../profile/index.ts";
import { type FactorWorkspace, withWorkspace } from "../solver/index.ts";
import {
  atFriction,
  buildRootField,
  type Capacity,
  designCapacity,
  designOverRun,
  evenSharing,
  hasOverRunCase,
  type OverRun,
  overRunCases,
  overRunField,
  type RootField,
  reverseCase,
  reverses,
  steelStrength,
  withPushed,
  withReverse,
} from "../strength/index.ts";
import { adaptedSize, LEAST_GROWTH } from "./adaptedSize.ts";
import { estimateError, type Found } from "./errorEstimate.ts";
import { idleRootNote } from "./governingTooth.ts";
import { MemoryError } from "./memoryNeeded.ts";
import { NumericalError } from "./numericalError.ts";
import type { ReadingError } from "./readingError.ts";
import type { Growth, Pass, VariantField, VariantResult } from "./result.ts";
import { LEAST_TOLD, type RingGrowth, ringGrowth } from "./ringGrowth.ts";
import { sizeField } from "./sizing.ts";
import { type SolvedPass, solvePass } from "./solvePass.ts";
import { refuseUnsound, soundness } from "./soundness.ts";
import { torqueBalance } from "./torqueBalance.ts";
import { worstTeeth, worstTeethNote } from "./worstTeeth.ts";

/**
 * Unknowns of the largest mesh that is solved when nobody says otherwise: of one repeating sector, which is factorised as it is, and of a
 * whole ring, of which one sector is factorised however many there are.
 */
const MOST_UNKNOWNS = { share: 400_000, teeth: 1_500_000 };

export const mostUnknowns = ({ load }: Design): number => MOST_UNKNOWNS[load.sharing.mode];

export interface AnswerOptions {
  /** Target for the estimated error of the governing stress, as a fraction; the design's own when absent. */
  readonly accuracy?: number;
  /** No mesh with more unknowns than this is solved; default `mostUnknowns` of the design. The result says when it stopped short. */
  readonly maxUnknowns?: number;
  /** Bytes of memory that may be used; unlimited when absent. A mesh that would need more is refused, whatever came before it. */
  readonly mostBytes?: number;
}

export interface Answer {
  readonly result: VariantResult;
  readonly field: VariantField;
  readonly profile: ProfileOutline;
}

/** Passes after which the loop gives up: each aims at the target, so more than four are rare. */
const MOST_PASSES = 9;
/** A pass that missed the target is followed by one that aims this much lower: shares and gaps do not fall quite as foreseen. */
const TIGHTER = 0.7;

/**
 * Solves one design: mesh, displacements, stresses, and what they say of the root, on finer and finer meshes
 * until the estimated error of the governing root stress is under the target.
 * @throws DesignError when the profile cannot be made as asked, NumericalError when the answer cannot be stood behind, RangeError for
 *   options that are no such numbers.
 */
export function answerDesign(design: Design, options: AnswerOptions = {}): Answer {
  const { accuracy = 0.01, maxUnknowns = 1, mostBytes = 1 } = options;
  if (!(accuracy > 0 && accuracy < 1))
    throw new RangeError(`answerDesign: accuracy ${accuracy} is no share between 0 and 1`);
  for (const [name, value] of Object.entries({ maxUnknowns, mostBytes }))
    if (!(value > 0)) throw new RangeError(`answerDesign: ${name} ${value} must be positive`);
  return withWorkspace((workspace) => answerIn(workspace, design, options));
}

/** @param turned whether this is the reverse of another load case, which knows that one. */
function answerIn(workspace: FactorWorkspace, asked: Design, options: AnswerOptions, turned = false): Answer {
  const started = performance.now();
  const overRunning = solveOverRunCases(workspace, asked, options);
  const target = options.accuracy ?? asked.accuracy;
  const { maxUnknowns = mostUnknowns(asked), mostBytes = Infinity } = options;
  const built = buildProfile(asked.profile, asked.units);
  const { design, pushing } = withWorstTeeth(workspace, asked, built, target, options);
  const notes = [...built.notes, ...overRunning.notes];
  const aimed = { ...design, accuracy: target };
  const coarsest = sizeField(aimed, built, 1);
  const passes: Pass[] = [];
  const found: Found[] = [];
  const clock = { mesh: 0, recover: 0, assemble: 0, order: 0, factor: 0, solve: 0, estimate: 0 };
  let size = coarsest;
  let solved: SolvedPass | undefined;
  let stoppedBy: VariantResult["accuracy"]["stoppedBy"] = null;
  for (;;) {
    try {
      const before = solved ?? null;
      solved = solvePass(aimed, built, 1, maxUnknowns, { size, workspace, mostBytes, before });
    } catch (error) {
      // a finer mesh came out larger than foreseen: the one before it stands
      if (!(solved && error instanceof NumericalError) || error instanceof MemoryError) throw error;
      stoppedBy = "unknowns";
      break;
    }
    const { solution, answer, error, others } = solved;
    for (const stage of ["mesh", "recover", "estimate"] as const) clock[stage] += solved.times[stage];
    for (const stage of ["assemble", "order", "factor", "solve"] as const)
      clock[stage] += solution.times[stage];
    const { value, scale } = answer.reading;
    found.push({ value, bound: error.bound, scale });
    const own = estimateError(found);
    const estimate = Math.max(own, ...others.map(shortfall));
    passes.push({ unknowns: solution.unknowns, elements: solved.quality.elements, value, estimate });
    if (estimate <= target) break;
    if (passes.length === MOST_PASSES) {
      stoppedBy = "passes";
      break;
    }
    const mostGrowth = (0.9 * maxUnknowns) / solution.unknowns;
    if (mostGrowth < LEAST_GROWTH) {
      stoppedBy = "unknowns";
      break;
    }
    const { sector, model } = solved;
    const aim = target * TIGHTER ** (passes.length - 1);
    const adapted = (of: ReadingError, allowed: number): SizeField =>
      adaptedSize(sector, model.copies, model.mesh, of, allowed, coarsest, mostGrowth);
    size = minSize(
      // what is met already stays as it is
      own <= target ? size : adapted(error, aim * scale),
      ...others
        .filter((one) => shortfall(one) > target)
        .map((one) => adapted(one.error, (1 + aim) * one.told - one.reading.value)),
    );
  }
  if (stoppedBy) {
    notes.push(
      `${NOT_MET}${percent(passes.at(-1)!.estimate)}, above the ${percent(target)} asked for: ` +
        `stopped at ${passes.at(-1)!.unknowns} unknowns`,
    );
  }
  const { model, loads, solution, quality, answer, stress } = solved;
  const growth = ringGrowth(design, built, solved);
  const own = readRootField(design, built, solved, growth, notes);
  const read = pushing ? withPushOf(workspace, design, pushing, options, own, notes) : own;
  const rubbing = solveLowFriction(workspace, asked, overRunning.low, options, read, notes);
  const reversing = turned ? null : solveReverse(workspace, asked, options, rubbing.rootField, notes);
  const rootField = reversing ? reversing.rootField : rubbing.rootField;
  const overRunRootField = overRunning.field(rootField);
  if (answer.reading.kind === "pressed") {
    notes.push("no root is pulled to speak of: the estimated error is that of the root's von Mises peak");
  }
  notes.push(
    ...growthNotes(design, mostGrowth([growth, rubbing.growth, overRunning.growth, reversing?.growth])),
  );
  const idle = idleRootNote(design, built, answer.root.peakPrincipal ?? answer.root.average);
  if (idle) notes.push(idle);
  const { sharing } = design.load;
  notes.push(...evenSharing(design));
  if (design.load.reaction === "held") notes.push(HELD);
  if (asked.load.frictionLow !== undefined) notes.push(BOTH_FRICTIONS);
  if (sharing.mode === "teeth" && sharing.worstOf !== undefined)
    notes.push(worstTeethNote(sharing.weights, pushing));
  if (loads.thrust > 1e-6 * (loads.perTooth / design.profile.faceWidth)) {
    const [body, back] = design.profile.kind === "external spline" ? ["shaft", "bore"] : ["ring", "rim"];
    notes.push(
      `the loaded teeth push the ${body} sideways with ${formatForce(loads.thrust, design.units)}; a uniform traction on the ${back} takes it`,
    );
  }
  const balance = torqueBalance(design, built, solved);
  const checks = soundness(solved);
  refuseUnsound(checks, balance, quality);
  return {
    profile: built,
    field: { outline: model.outline, mesh: model.mesh, stress },
    result: {
      design,
      torque: { shock: loads.shockTorque, perTooth: loads.perTooth, ...balance },
      root: { ...answer.root, errorEstimate: passes.at(-1)!.estimate },
      zones: answer.zones,
      steel: design.steel ? steelStrength(design.steel) : null,
      growth: mostGrowth([growth]),
      rootField,
      capacity: capacityOf(rootField, design),
      overRunRootField,
      overRun: overRunOf({ rootField, overRunRootField }, design),
      model: model.kind,
      mesh: {
        nodes: quality.nodes,
        elements: quality.elements,
        unknowns: solution.unknowns,
        minAngle: quality.minAngle,
        minJacobian: quality.minJacobian,
        areaError: quality.areaError,
      },
      accuracy: { target, met: stoppedBy === null, stoppedBy },
      checks,
      passes,
      times: { ...clock, total: performance.now() - started },
      notes,
    },
  };
}

/** By how much the number told may fall short of what a rival is, as a share of it. */
const shortfall = ({ reading, told, error }: SolvedPass["others"][number]): number =>
  (reading.value + error.bound) / told - 1;

/**
 * The design with the teeth named where the worst choice was asked for: the ring is solved for them once, on its first mesh. Where shocks
 * reverse also the choice that pushes hardest; null where it is the same one, turned or not.
 */
function withWorstTeeth(
  workspace: FactorWorkspace,
  asked: Design,
  built: ProfileOutline,
  accuracy: number,
  { maxUnknowns = mostUnknowns(asked), mostBytes = Infinity }: AnswerOptions,
): { readonly design: Design; readonly pushing: readonly number[] | null } {
  const { sharing } = asked.load;
  if (sharing.mode !== "teeth" || sharing.worstOf === undefined) return { design: asked, pushing: null };
  const loaded = (weights: readonly number[]): Design => ({
    ...asked,
    load: { ...asked.load, sharing: { ...sharing, weights } },
  });
  const first = loaded(Array.from({ length: asked.profile.teeth }, (_, k) => (k === 0 ? 1 : 0)));
  const alone = solvePass({ ...first, accuracy }, built, 1, maxUnknowns, { workspace, mostBytes });
  const { pulling, pushing } = worstTeeth(asked, built, alone, sharing.worstOf);
  const turned = (step: number) =>
    pushing.every((w, k) => Math.abs(w - pulling[(k + step) % pulling.length]) < 1e-9);
  const both = reverses(asked) && !pushing.some((_, step) => turned(step));
  return { design: loaded(pulling), pushing: both ? pushing : null };
}

/** Root of another load case; `growth` as of `VariantResult`. */
interface SolvedRootField {
  readonly rootField: RootField | null;
  readonly growth: Growth;
  readonly notes: readonly string[];
}

/** The root of the over-run flank, where over-running is another load case; one that cannot be solved leaves the rest standing. */
function solveOverRunCases(
  workspace: FactorWorkspace,
  design: Design,
  options: AnswerOptions,
): {
  readonly field: (own: RootField | null) => RootField | null;
  /** That of the lowest friction where the design's own is the highest. */
  readonly low: SolvedRootField | null;
  readonly growth: Growth;
  readonly notes: readonly string[];
} {
  if (!hasOverRunCase(design)) return { field: () => null, low: null, growth: NO_GROWTH, notes: [] };
  const cases = overRunCases(design);
  const solved = cases.map((one): SolvedRootField | null =>
    one === design ? null : solveOverRunCase(workspace, one, options),
  );
  const notes = solved.flatMap((one, k) => {
    const where = cases.length > 1 ? [", highest friction", ", lowest friction"][k] : "";
    return (one?.notes ?? []).map((text) => `over-run flank loaded${where}: ${text}`);
  });
  const growth = mostGrowth(solved.map((one) => one?.growth));
  const less = lessContact(design, cases[0]);
  return {
    field: (own) => overRunField(solved.map((one) => (one ? one.rootField : own))),
    low: cases[0] === design && cases.length > 1 ? solved[1] : null,
    growth,
    notes: [...less.map((text) => `over-run flank loaded: ${text}`), ...notes],
  };
}

/** Where the flank that is loaded besides has much less of the contact given than the design's own. */
function lessContact({ profile, units }: Design, { profile: other }: Design): string[] {
  if (profile.kind !== "face tooth" || other.kind !== "face tooth" || !profile.contactGiven) return [];
  const height = ([from, to]: readonly [number, number]) => to - from;
  if (height(other.contact) > MUCH_LESS * height(profile.contact)) return [];
  const say = lengthWords(units);
  return [
    `of the contact given, ${say.range(...profile.contact)}, its flank has only ${say.range(...other.contact)}: the fillet of its root takes the rest`,
  ];
}

const MUCH_LESS = 0.8;

function solveOverRunCase(
  workspace: FactorWorkspace,
  design: Design,
  options: AnswerOptions,
): SolvedRootField {
  const found = attempt(() => answerIn(workspace, design, options).result);
  if ("why" in found) return { rootField: null, growth: NO_GROWTH, notes: [found.why] };
  const { rootField, growth, notes } = found;
  const amiss = notes.filter((note) => [NOT_MET, NO_CAPACITY].some((start) => note.startsWith(start)));
  return { rootField, growth, notes: amiss };
}

/** What a case beside the design's own gives, or why its numbers cannot be had; no memory is no answer of a case. */
function attempt<T extends object>(solve: () => T): T | { readonly why: string } {
  try {
    return solve();
  } catch (error) {
    if (!(error instanceof NumericalError || error instanceof DesignError) || error instanceof MemoryError)
      throw error;
    return { why: error.message };
  }
}

const NO_GROWTH: Growth = { share: 0, dished: 0 };

const mostGrowth = (of: readonly (Growth | null | undefined)[]): Growth => ({
  share: Math.max(0, ...of.map((one) => one?.share ?? 0)),
  dished: Math.max(0, ...of.map((one) => one?.dished ?? 0)),
});

/** With fewer teeth the curvature of the ring, which is not counted, has more than 2 % on top (a three-dimensional model of 4 to 30 teeth). */
const ENOUGH_TEETH = 8;

/** What a ring that changes its shape adds to the stress at its roots, where that is worth telling; in coarse steps, so that variants share notes. */
function growthNotes({ profile }: Design, { share, dished }: Growth): string[] {
  if (profile.kind !== "face tooth" || !(Math.max(share, dished) > 0)) return [];
  const free = profile.keptFlat !== true;
  const upTo = (more: number) => {
    const step = more > 0.3 ? 25 : more > 0.1 ? 10 : 5;
    const percent = step * Math.ceil((100 * more) / step);
    return `up to ${percent} % more stress at its roots`;
  };
  return [
    ...(share > 0
      ? [
          `the strip of teeth that is solved keeps its pitch: a ring that is free to grow ${free ? "and to dish" : "but kept flat"} has ${upTo(share)}; what they stand counts that, the stresses told do not${free ? "; profile.ring: kept flat, where a hub, flange or seat keeps it so" : ""}`,
        ]
      : []),
    ...(dished - share > LEAST_TOLD && !free
      ? [
          `a ring that neither hub, flange nor seat keeps flat dishes like a cone spring, and has ${upTo(dished)}, and a base that may give sooner: not counted, since profile.ring says kept flat`,
        ]
      : []),
    ...(profile.teeth < ENOUGH_TEETH
      ? [
          "with so few teeth the curvature of the ring, which is not counted, has some 10 % more stress at its roots",
        ]
      : []),
  ];
}

/** A ring of 17 teeth with its rim held had 0.6 of the root stress that even shear brings behind a wall of 9.5 mm, a ninth behind one of 0.75 mm. */
const HELD =
  "the back is held fast, as if nothing behind it gave: where the mounting gives, roots and wall see more, behind a thin wall several times as much; " +
  "reaction: uniform shear tells the other end";

const BOTH_FRICTIONS =
  "no friction is told, and a span of it may hold on the loaded flank: what the part stands is the worse of both its ends, the stresses told are those at the high one";

const NOT_MET = "the estimated error of the root stress is ";
const NO_CAPACITY = "no capacity is given: ";

/** Why an answer has no root field, from its notes; null where they do not say. */
export function whyNoCapacity(notes: readonly string[]): string | null {
  const found = notes.find((note) => note.startsWith(NO_CAPACITY));
  return found ? found.slice(NO_CAPACITY.length) : null;
}

/** The root field with that at the lowest friction, where the loaded flank has a span of it; none where that cannot be solved. */
function solveLowFriction(
  workspace: FactorWorkspace,
  { overRun: _overRun, ...design }: Design,
  known: SolvedRootField | null,
  options: AnswerOptions,
  root: RootField | null,
  notes: string[],
): Pick<SolvedRootField, "rootField" | "growth"> {
  const { frictionLow } = design.load;
  if (!root || frictionLow === undefined) return { rootField: root, growth: NO_GROWTH };
  const found = known?.rootField
    ? { rootField: known.rootField, growth: known.growth }
    : solveBeside(workspace, { ...design, load: atFriction(design.load, frictionLow) }, options);
  if ("why" in found) {
    notes.push(`${NO_CAPACITY}the lowest friction of the loaded flank: ${found.why}`);
    return { rootField: null, growth: NO_GROWTH };
  }
  return { rootField: { ...root, lowFriction: found.rootField }, growth: found.growth };
}

/** The root field of a design whose torque reverses with the push of other teeth; none where that cannot be solved. */
function withPushOf(
  workspace: FactorWorkspace,
  { overRun: _overRun, ...design }: Design,
  pushing: readonly number[],
  options: AnswerOptions,
  root: RootField | null,
  notes: string[],
): RootField | null {
  if (!root) return null;
  const load = { ...design.load, sharing: { mode: "teeth" as const, weights: pushing } };
  const found = solveBeside(workspace, { ...design, load }, options);
  if ("why" in found) notes.push(`${NO_CAPACITY}the teeth that push a root hardest: ${found.why}`);
  return "why" in found ? null : withPushed(root, found.rootField, design.averagingDistance);
}

/** Root field and growth of a case beside the design's own, or why there are none. */
function solveBeside(
  workspace: FactorWorkspace,
  design: Design,
  options: AnswerOptions,
): { readonly rootField: RootField; readonly growth: Growth } | { readonly why: string } {
  const found = attempt(() => answerIn(workspace, design, options, true).result);
  if ("why" in found) return found;
  const { rootField, growth, notes } = found;
  return rootField ? { rootField, growth } : { why: whyNoCapacity(notes) ?? "its root could not be read" };
}

/** The root field with what a torque turned round does, where that is a load case of its own; none where it cannot be solved. */
function solveReverse(
  workspace: FactorWorkspace,
  design: Design,
  options: AnswerOptions,
  root: RootField | null,
  notes: string[],
): Pick<SolvedRootField, "rootField" | "growth"> {
  const turned = reverseCase(design);
  if (!turned || !root) return { rootField: root, growth: NO_GROWTH };
  notes.push(...lessContact(design, turned).map((text) => `torque turned round: ${text}`));
  const found = solveBeside(workspace, turned, options);
  if ("why" in found) {
    notes.push(`${NO_CAPACITY}the torque reverses, and the other flank loaded: ${found.why}`);
    return { rootField: null, growth: NO_GROWTH };
  }
  return { rootField: withReverse(root, found.rootField), growth: found.growth };
}

/** A root whose strength cannot be read leaves the stresses standing, and says so. */
function readRootField(
  design: Design,
  built: ProfileOutline,
  solved: SolvedPass,
  ring: RingGrowth | null,
  notes: string[],
): RootField | null {
  try {
    const flat = buildRootField(design, built, { ...solved, ...ring?.grown });
    if (!ring?.dish) return flat;
    // partly held it is between the two, and whichever gives first counts
    return { ...buildRootField(design, built, { ...solved, ...ring.dish }), keptFlat: flat };
  } catch (error) {
    notes.push(`${NO_CAPACITY}${error instanceof Error ? error.message : String(error)}`);
    return null;
  }
}

/**
 * What breaks first, in the design's own steel; null without a steel, without a root field, or where steel and conditions make no
 * sense together (`checkStrength` tells why).
 */
export function capacityOf(rootField: RootField | null, design: Design): Capacity | null {
  const found = rootField && designCapacity(rootField, design);
  return found && "capacity" in found ? found.capacity : null;
}

/** What over-running does, with the root field of the flank that it loads; null where the part file says nothing of it. */
export function overRunOf(
  {
    rootField,
    overRunRootField,
  }: { readonly rootField: RootField | null; readonly overRunRootField: RootField | null },
  design: Design,
): OverRun | null {
  return designOverRun(design, hasOverRunCase(design) ? overRunRootField : rootField);
}

function percent(fraction: number): string {
  const text = (100 * fraction).toPrecision(2);
  return `${text.includes("e+") ? Number(text) : text} %`;
}
