import { NumericalError } from "../answer/index.ts";
import {
  atMost,
  type Design,
  DesignError,
  type Fault,
  formatTorque,
  MM_PER_INCH,
  readQuantity,
} from "../design/index.ts";
import {
  cautionsBlock,
  driveHoldNotes,
  driveHoldRecord,
  hrcText,
  lengthText,
  marginText,
  modeName,
  orderText,
  partingFirst,
  partsInDrive,
  radiusText,
  rootText,
  sweptWords,
  torqueAtMostText,
  torqueUnits,
} from "../report/index.ts";
import {
  type Capacity,
  designCapacity,
  designWindow,
  driveHold,
  type HardnessWindow,
  highestBetween,
  inwardTenths,
  largestRootRadius,
  largestTorque,
  payingLimit,
  smallestRootRadius,
  UNCOUNTED_NAMES,
  type Uncounted,
  withRootRadius,
} from "../strength/index.ts";
import { askedVariants } from "./askedVariants.ts";
import type { NeedOptions } from "./commands/need.ts";
import { driveOnly } from "./driveOnly.ts";
import { eachSolved } from "./eachSolved.ts";
import { endWithJson } from "./endWithJson.ts";
import { jsonDocument, jsonTargetFault } from "./jsonFile.ts";
import { printable } from "./printable.ts";
import { type RootFields, rootFields } from "./rootFields.ts";
import { err, out, outWidth } from "./say.ts";
import { sayFaults } from "./sayFaults.ts";
import { wrapWords } from "./wrapWords.ts";

const FORMAT = "notchwright needs";

/** Smallest radius looked at above a sharp corner, mm: a tool has at least that (common practice, no source). */
const LEAST_RADIUS = 0.05;
/** Stretches into which the radii from there to the largest that fits are cut. */
const STRETCHES = 6;
/** What more radius buys is asked over this much of it, mm. */
const TENTH = 0.1;
/** How near the radius is sought, mm. */
const NEAR = 0.01;

/** Radii are told in steps of this, mm: hundredths, or half thousandths of an inch, which an inch file prints without rounding. */
const toldStep = ({ units }: Design): number => (units === "inch" ? 0.0127 : NEAR);
/** So many of them, to the last bit what a part file that is given the printed number reads. */
const inSteps = ({ units }: Design, k: number): number =>
  units === "inch" ? Number((k * 0.0005).toFixed(4)) * MM_PER_INCH : Math.round(k) / 100;

/** The `need` command. @returns the exit code. */
export function needAnswers(
  file: string,
  names: readonly string[],
  options: NeedOptions,
  programUrl: string,
): number {
  const { variants, solve, faults } = askedVariants([file], names, "variant", options);
  const margin = marginOf(options.margin, faults);
  const gain = gainOf(options.gain, faults);
  const target = options.json === undefined ? null : jsonTargetFault(options.json, FORMAT);
  if (target) faults.push(target);
  if (faults.length > 0) return sayFaults(faults);
  const shown = options.json !== "-";
  const roots = rootFields(solve, programUrl, null);
  const records: object[] = [];
  const { code, done } = eachSolved(
    variants,
    (variant) => [variant],
    ({ design }) => {
      const asked = margin === undefined ? design : withMargin(design, margin);
      const needs = needsOf(asked, gain, roots);
      if (shown) out(`${needBlock(asked, needs, outWidth()).join("\n")}\n`);
      records.push(needRecord(asked, needs));
    },
  );
  if (done === 0) {
    err("No variant was solved; there is nothing to answer with.");
    return code;
  }
  if (shown) out(cautionsBlock(outWidth()));
  if (options.json !== undefined) endWithJson(options.json, jsonDocument(FORMAT, [file], { needs: records }));
  return code;
}

function marginOf(text: string | undefined, faults: Fault[]): number | undefined {
  if (text === undefined) return undefined;
  const value = /^\s*\d+(\.\d+)?\s*$/.test(text) ? Number(text) : Number.NaN;
  if (value >= 1 && value <= 20) return value;
  faults.push({
    key: "--margin",
    problem: `"${printable(text)}" is no margin from 1 to 20`,
    remedy: "write it as a plain number, say 1.5",
  });
  return undefined;
}

function gainOf(text: string | undefined, faults: Fault[]): number | undefined {
  if (text === undefined) return undefined;
  const read = readQuantity(text, "torque", "20 N m");
  if (read.ok && read.value.value > 0 && Number.isFinite(read.value.value)) return read.value.value;
  faults.push({
    key: "--gain",
    problem: read.ok ? `"${printable(text)}" is nothing to gain` : read.problem,
    remedy: read.ok ? 'write a torque with its unit, say "20 N m"' : read.remedy,
  });
  return undefined;
}

function withMargin(design: Design, margin: number): Design {
  return design.strength ? { ...design, strength: { ...design.strength, margin } } : design;
}

/** One answer in words, with the numbers they are made of: mm, N·mm, HRC; null where there is none. */
interface Answer<T> {
  readonly words: string;
  readonly found: T;
}

/** The four answers of one variant, each with its proof. */
interface Needs {
  readonly own: Capacity;
  /** What is to be watched for, as it is and at the hardness told. */
  readonly warnings: readonly string[];
  readonly radius: Answer<{ readonly radius: number | null; readonly margin: number | null }>;
  readonly torque: Answer<{ readonly torque: number | null; readonly margin: number | null }>;
  readonly hardness: Answer<
    Pick<HardnessWindow, "swept" | "satisfying" | "tolerance"> & {
      readonly order: readonly [number, number] | null;
    }
  >;
  readonly paying: Answer<{
    readonly radius: number | null;
    readonly always: boolean;
    readonly gain: number;
  }>;
}

export function needsOf(design: Design, gain: number | undefined, roots: RootFields): Needs {
  const judge = (of: Design): Capacity => {
    const found = designCapacity(roots.of(of), of);
    if (!found) throw new Error(`${of.variant} names no steel`);
    // a tooth that another radius leaves thinner may be too thin for its case or flaw
    if ("faults" in found) throw new DesignError(found.faults);
    return found.capacity;
  };
  const own = judge(design);
  const radius = radiusAnswer(design, own, judge);
  const paying = payingAnswer(design, own, gain ?? design.strength!.requiredTorque / 100, judge);
  const root = rootAlone(design);
  const hardness = hardnessAnswer(design, roots, judge, radius.found.radius !== null);
  const torque = torqueAnswer(design, own, judge);
  const known = driveHoldNotes(design);
  // more torque than now may part teeth or lift a ring that this one does not
  const atTorque =
    torque.found.torque === null
      ? []
      : driveHoldNotes(underTorque(design, torque.found.torque))
          .filter((note) => !known.includes(note))
          .map((note) => `Under the largest torque told: ${note}`);
  const alone = partingFirst(design);
  const warnings = [
    ...new Set([
      ...own.warnings,
      ...(hardness.found.order ? hardness.warnings : []),
      ...kept(design),
      ...atTorque,
    ]),
  ];
  // neither root nor steel keeps teeth together that springs let part
  const none = partsInDrive(design);
  return {
    own,
    warnings,
    radius: {
      words: (none ? "none. " : "") + alone + root + radius.words,
      found: none ? { radius: null, margin: null } : radius.found,
    },
    torque: { ...torque, words: (none ? "" : alone) + torque.words },
    hardness: {
      words: (none ? "none. " : "") + alone + hardness.words,
      found: none ? { ...hardness.found, order: null, satisfying: [] } : hardness.found,
    },
    paying: { ...paying, words: root + paying.words },
  };
}

/** The same as plain data. */
function needRecord(design: Design, { own, radius, torque, hardness, paying, warnings }: Needs) {
  const { margin, requiredTorque } = design.strength!;
  const told = <T extends object>({ words, found }: Answer<T>) => ({ ...found, words });
  return {
    part: design.part,
    variant: design.variant,
    required: requiredTorque,
    margin,
    notices: design.notices ?? [],
    driveHold: driveHoldRecord(design),
    asItIs: { governing: own.governing.id, torque: own.stands, margin: own.margin },
    smallestRootRadius: told(radius),
    largestTorque: told(torque),
    hardness: told(hardness),
    payingRadius: told(paying),
    warnings,
  };
}

/** What one variant needs, in words. */
export function needBlock(design: Design, needs: Needs, width: number): string[] {
  const { margin, requiredTorque } = design.strength!;
  const { own } = needs;
  const answers: [string, string][] = [
    ["smallest root radius", needs.radius.words],
    ["largest torque", needs.torque.words],
    ["hardness", needs.hardness.words],
    ["radius that still pays", needs.paying.words],
  ];
  const lead = Math.max(...answers.map(([title]) => title.length)) + 4;
  return [
    ...wrapWords(
      "",
      `What "${printable(design.variant)}" needs to stand ${formatTorque(requiredTorque, design.units)} with a margin of ${margin} at the low end of every band (as it is: ${rootText(design)}, margin ${marginText(own.margin, margin)}, ${modeName(own.governing)} first)`,
      width,
    ),
    ...answers.flatMap(([title, text]) => wrapWords(`  ${title}`.padEnd(lead), text, width)),
    ...[...needs.warnings, ...driveOnly([design])].flatMap((text) => wrapWords("  - ", text, width)),
  ];
}

/** Which root's radius is told, where a part file may give both with one key. */
const rootAlone = ({ profile }: Design): string =>
  profile.kind === "face tooth" ? `${profile.loadedFlank} root alone: ` : "";

/** What moves and what stays while another radius is tried. */
function kept(design: Design): string[] {
  const { profile, units } = design;
  const notes: string[] = [
    "What fits is told of this part alone: the tip of the mating teeth must clear the fillet",
  ];
  if (profile.kind === "face tooth") {
    const [loaded, other] = profile.loadedFlank === "drive" ? ["drive", "over-run"] : ["over-run", "drive"];
    // a full radius beside another one is that no more, and closes what is left; it stays as long as it is
    const still = withRootRadius(design, 0).profile as typeof profile;
    const radius = loaded === "drive" ? still.overrunRootRadius : still.driveRootRadius;
    notes.push(
      `Radii are those of the ${loaded} root: the ${other} root stays as it is, ${radiusText(radius, units)}`,
    );
  }
  if (!profile.contactGiven)
    notes.push("The contact band, which the part file does not give, gives way to each fillet");
  return notes;
}

/** What no radius, torque or gain can be told without. */
const OF_ROOT = ["root", "root fatigue", "core"] as const;
/** Why a question has no answer where what it turns on is not counted: without the root nothing but the hardness, without the twist no radius; null where it is counted. */
function noAnswer({ uncounted }: Capacity, ...without: readonly Uncounted[]): string | null {
  const first = without.find((one) => uncounted.includes(one));
  if (!first) return null;
  return first === "twist"
    ? `none: ${UNCOUNTED_NAMES[first]} are not counted, and the published allowable twist is under the required torque with its margin; no radius changes that`
    : `none: ${UNCOUNTED_NAMES[first]} is not counted, so that nothing can be vouched for`;
}

type Judge = (design: Design) => Capacity;
const lowOf = ({ stands }: Capacity): number => stands.low;
/** "margin 1.95, fatigue first": its low end, so that one short of what is wanted does not read as if it were not. */
const marginWords = ({ margin: { low }, governing }: Capacity, wanted: number): string =>
  `margin ${marginText({ low, high: low }, wanted)}, ${modeName(governing)} first`;
const radiusWords = (design: Design, radius: number): string =>
  radius === 0 ? "a sharp corner" : rootText(withRootRadius(design, radius));

const radiusGrid = (largest: number): number[] =>
  Array.from({ length: STRETCHES + 1 }, (_, k) => LEAST_RADIUS + ((largest - LEAST_RADIUS) * k) / STRETCHES);

/** Margins that differ by less than this share are the same. */
const ALIKE = 0.002;

function radiusAnswer(design: Design, own: Capacity, judge: Judge): Needs["radius"] {
  const answer = (words: string, radius: number | null, by: Capacity | null) => ({
    words,
    found: { radius, margin: by?.margin.low ?? null },
  });
  const { margin, requiredTorque } = design.strength!;
  const unknown = noAnswer(own, ...OF_ROOT);
  if (unknown) return answer(unknown, null, null);
  const at = (radius: number) => judge(withRootRadius(design, radius));
  const does = (one: Capacity) => one.vouched && one.margin.low >= margin;
  const sharp = trusted(() => at(0));
  const sharpText = sharp ? marginWords(sharp, margin) : "not to be solved";
  if (sharp && does(sharp))
    return answer(`even ${radiusWords(design, 0)} does: ${marginWords(sharp, margin)}`, 0, sharp);
  const largest = largestRootRadius(design);
  if (!(largest > LEAST_RADIUS))
    return answer(
      `none: no radius of ${lengthText(LEAST_RADIUS, design.units)} fits; sharp, ${sharpText}`,
      null,
      null,
    );
  // capacity need not rise with the radius all the way, where a flaw governs or the wall behind grows thin: the first of an even grid that
  // does is looked for, and where none does, about the best of them
  const even = radiusGrid(largest);
  const grid = even.some((radius) => does(at(radius)))
    ? even
    : [...new Set([...even, ...about(design, even, at)])].sort((a, b) => a - b);
  const reaching = grid.findIndex((radius) => does(at(radius)));
  if (reaching < 0) {
    const left = grid.map((radius) => noAnswer(at(radius), "twist"));
    if (left.every((why) => why !== null)) return answer(left[0]!, null, null);
    const best = grid.reduce((a, b) => (at(b).margin.low > at(a).margin.low ? b : a));
    const range = `from ${radiusWords(design, LEAST_RADIUS)} to the largest that fits, ${radiusWords(design, largest)}`;
    const alike = grid.every((radius) => at(radius).margin.low > (1 - ALIKE) * at(best).margin.low);
    return answer(
      alike
        ? `none ${range}: what comes first is the same at all of them, ${marginWords(at(best), margin)}`
        : `none ${range}; the best of ${grid.length} tried, ${radiusWords(design, best)}, gives ${marginWords(at(best), margin)}`,
      null,
      null,
    );
  }
  if (reaching === 0)
    return answer(
      `${radiusWords(design, LEAST_RADIUS)}, the smallest looked at, does. Solved there: ${marginWords(at(LEAST_RADIUS), margin)}; sharp, ${sharpText}`,
      LEAST_RADIUS,
      at(LEAST_RADIUS),
    );
  const found = smallestRootRadius(
    (radius) => (at(radius).vouched ? lowOf(at(radius)) : 0),
    { from: grid[reaching - 1]!, to: grid[reaching]! },
    requiredTorque,
    margin,
    NEAR,
  );
  if (found.kind === "none") throw new Error("a radius that reached the margin no longer does");
  // told in whole steps that print as they are, on the safe side, and solved as told
  const step = toldStep(design);
  const told = Math.ceil(found.x / step - 1e-6);
  // the bracket may end anywhere within a step above the least that does, and telling it adds up to another; where margins scatter from
  // mesh to mesh a step that falls short may have others above it, short of the place that did it, that do not
  const steps = [-1, 0, 1, 2];
  while (inSteps(design, told + 2 * steps.at(-1)!) < grid[reaching]!) steps.push(2 * steps.at(-1)!);
  const stepped = steps.map((more) => Math.min(largest, inSteps(design, told + more)));
  const radius =
    stepped.find((one) => one > grid[reaching - 1]! && one < grid[reaching]! && does(at(one))) ??
    grid[reaching]!;
  const proof = at(radius);
  // the step below, as it prints; where margins scatter from mesh to mesh it may do as well
  const below = inSteps(design, Math.round(radius / step) - 1);
  const short = below >= LEAST_RADIUS ? at(below).margin.low : Number.POSITIVE_INFINITY;
  const less =
    short < margin
      ? `; at ${radiusWords(design, below)} margin ${marginText({ low: short, high: short }, margin)}`
      : "";
  return answer(
    `${radiusWords(design, radius)}. Solved there: ${marginWords(proof, margin)}${less}`,
    radius,
    proof,
  );
}

/** Radii in whole steps about the best of an even grid, where the margin is highest between its neighbours; asked until one does. */
function about(design: Design, grid: readonly number[], at: (radius: number) => Capacity): number[] {
  const step = toldStep(design);
  const told = (radius: number) => inSteps(design, Math.round(radius / step));
  const value = (radius: number) => (at(radius).vouched ? at(radius).margin.low : 0);
  const best = grid.reduce((b, radius, k) => (value(radius) > value(grid[b]!) ? k : b), 0);
  if (grid.every((radius) => value(radius) >= (1 - ALIKE) * value(grid[best]!))) return [];
  const { trials } = highestBetween((radius) => value(told(radius)), {
    from: grid[Math.max(0, best - 1)]!,
    to: grid[Math.min(grid.length - 1, best + 1)]!,
    target: design.strength!.margin,
    tolerance: step,
  });
  return trials.map(({ x }) => told(x)).filter((radius) => radius >= grid[0]! && radius <= grid.at(-1)!);
}

/** What `solve` answers, or null where the numbers of that one trial are not to be trusted. */
function trusted<T>(solve: () => T): T | null {
  try {
    return solve();
  } catch (error) {
    if (error instanceof NumericalError) return null;
    throw error;
  }
}

/** The design under another torque of one shock, which is then what it must stand. */
const underTorque = (design: Design, torque: number): Design => ({
  ...design,
  load: { ...design.load, torque: torque / design.load.shockFactor },
  strength: { ...design.strength!, requiredTorque: torque },
});

/** Largest torque under `most` that is not over a limit which every larger one is over. */
function lastBefore(most: number, over: (torque: number) => boolean): number {
  let [under, beyond] = [0, most];
  while (beyond - under > 1e-4 * beyond) {
    const middle = (under + beyond) / 2;
    if (over(middle)) beyond = middle;
    else under = middle;
  }
  return under;
}

function torqueAnswer(design: Design, own: Capacity, judge: Judge): Needs["torque"] {
  const { margin } = design.strength!;
  const unknown = noAnswer(own, ...OF_ROOT);
  if (unknown) return { words: unknown, found: { torque: null, margin: null } };
  const hold = driveHold(design);
  // springs that let the teeth part end the drive, whatever root and flank stand
  const parts = hold?.springForce == null ? null : hold.partsAt[0];
  const loaded = (torque: number) => underTorque(design, torque);
  const guess = lowOf(own) / margin;
  const found = largestTorque(
    (torque) => judge(loaded(torque)).margin.low,
    { from: guess / 2, to: 2 * guess },
    margin,
    guess / 500,
  );
  if (found.kind === "none") return { words: "none could be found", found: { torque: null, margin: null } };
  // told to three figures of the user's unit, downward, and solved as told
  const twisted = (torque: number) => judge(loaded(torque)).uncounted.includes("twist");
  const held = Math.min(found.x, (parts ?? Infinity) / margin);
  const twist = twisted(held) ? lastBefore(held, twisted) : null;
  const most = twist ?? held;
  const [{ nmm }] = torqueUnits(design.units);
  const torque = Number(atMost(most / nmm, 3)) * nmm;
  const proof = judge(loaded(torque));
  const limit =
    twist === null && most === found.x
      ? ""
      : twist !== null
        ? "; more is over the published allowable twist of the shaft, with the margin, beyond which cracks, which are not counted, may come first"
        : `; the drive flanks part the teeth at ${formatTorque(parts!, design.units)}, which leaves that margin`;
  return {
    words: `${torqueAtMostText(torque, design.units)} of one shock on the whole part. Solved under it: ${marginWords(proof, margin)}${limit}`,
    found: { torque, margin: proof.margin.low },
  };
}

function hardnessAnswer(
  design: Design,
  roots: RootFields,
  judge: Judge,
  radiusDoes: boolean,
): Needs["hardness"] & Pick<HardnessWindow, "warnings"> {
  const found = designWindow(roots.of(design), design, roots.ifAny);
  if (!found || "faults" in found) throw new Error(`no hardness window for ${design.variant}`);
  const { aim, tolerance, satisfying, none, swept, warnings } = found.window;
  const { margin } = design.strength!;
  const answer = { swept, satisfying, tolerance, order: aim };
  if (!aim)
    return {
      words: `none${sweptWords(found.window)}: ${none!.why}. Change first: ${none!.change}${radiusDoes || !none!.change.includes("radius") ? "" : " (no radius does by itself at the hardness it has)"}`,
      found: answer,
      warnings,
    };
  const at = (low: number, high = low): Capacity => {
    const steel = design.steel!;
    const hard = { hardnessLow: low, hardnessHigh: high, hardnessText: `${low}..${high} HRC` };
    return judge({
      ...design,
      steel: steel.core ? { ...steel, core: { ...steel.core, ...hard } } : { ...steel, ...hard },
    });
  };
  // told and judged as tenths, which a part file can be given
  const proofs = inwardTenths([aim[0] - tolerance, aim[1] + tolerance]).map((hrc) => {
    const capacity = at(hrc);
    return `at ${hrc.toFixed(1)} HRC ${marginWords(capacity, margin)}`;
  });
  const [from, to] = inwardTenths(aim);
  const atOnce = from < to ? at(from, to).margin.low : Number.POSITIVE_INFINITY;
  const asOne =
    atOnce < margin
      ? `. As the one hardness of a part file, ${from}..${to} HRC, the worst of all of them at once leaves ${marginText({ low: atOnce, high: atOnce }, margin)}`
      : "";
  return {
    words: `order ${orderText(aim, found.window)}, held within ± ${tolerance} HRC (satisfies: ${satisfying.map(hrcText).join(" and ")}). Judged at its ends: ${proofs.join("; ")}${asOne}`,
    found: answer,
    warnings,
  };
}

function payingAnswer(design: Design, own: Capacity, gain: number, judge: Judge): Needs["paying"] {
  const answer = (words: string, radius: number | null, always = false) => ({
    words,
    found: { radius, always, gain },
  });
  const unknown = noAnswer(own, ...OF_ROOT);
  if (unknown) return answer(unknown, null);
  const largest = largestRootRadius(design);
  if (!(largest > 2 * LEAST_RADIUS))
    return answer(`no radius of ${lengthText(2 * LEAST_RADIUS, design.units)} fits`, null);
  // looked at, told and solved in whole steps
  const step = toldStep(design);
  const told = (radius: number) => Math.min(largest, inSteps(design, Math.round(radius / step)));
  const low = (radius: number) => lowOf(judge(withRootRadius(design, told(radius))));
  const tenth = lengthText(TENTH, design.units);
  const each = `each further ${tenth}`;
  const stated = formatTorque(gain, design.units);
  const limit = payingLimit(low, {
    from: LEAST_RADIUS,
    to: largest,
    gain,
    span: TENTH,
    steps: STRETCHES,
    tolerance: NEAR,
  });
  const bought = (from: number, to: number) => {
    const torque = ((low(to) - low(from)) * TENTH) / (told(to) - told(from));
    const amount = formatTorque(Math.abs(torque), design.units);
    return `${torque < 0 ? "loses" : "buys"} ${amount} per ${tenth} at the low end of the band`;
  };
  if (limit.x === null)
    return answer(
      `none: from ${radiusWords(design, LEAST_RADIUS)} on ${each} buys less than ${stated}`,
      null,
    );
  if (limit.always) {
    const before = Math.max(LEAST_RADIUS, largest - TENTH);
    return answer(
      `up to the largest that fits, ${radiusWords(design, largest)}: from ${radiusWords(design, told(before))} to it ${bought(before, largest)}, no less than ${stated}`,
      largest,
      true,
    );
  }
  const x = told(limit.x);
  const beyond = Math.min(largest, x + TENTH);
  return answer(
    `${radiusWords(design, x)}: beyond it ${each} buys less than about ${stated} (from mesh to mesh it scatters by some of that). Solved there and at ${radiusWords(design, told(beyond))}: it ${bought(x, beyond)}`,
    x,
  );
}
