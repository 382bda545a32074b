/**
 * The steels a part file may name, and the hardness over which there are strength data for them. It stands here,
 * before strength, so that a wrong grade or hardness is reported with the part file's other faults.
 */
import type { Fault, SteelChoice } from "./design.ts";
import { quote } from "./names.ts";
import { nearestGrade } from "./nearest.ts";
import { significant } from "./units.ts";

export interface SteelGrade {
  readonly name: string;
  /** Other spellings, lower case. */
  readonly also: readonly string[];
  readonly condition: "through hardened" | "case hardened";
  /** Tensile data reach from here to here, HRC; of a case-hardened grade, the range of its case. */
  readonly softest: number;
  readonly hardest: number;
  /** Case-hardened: hardness of the core for which there are data; `CORE_RANGE` when left out. */
  readonly core?: readonly [number, number];
  /** Only of a steel of the user's own: its strength data (and its core's), as his file has them. */
  readonly records?: readonly unknown[];
}

/**
 * The two tensile-from-hardness tables together reach from 20 to 59 HRC (one alone below 22 and above 57). A
 * case is 58 to 63 HRC in the trade (Dudley 1957); its strength is taken from the core.
 */
export const STEEL_GRADES: readonly SteelGrade[] = [
  {
    name: "4140",
    also: ["sae 4140", "aisi 4140", "42crmo4"],
    condition: "through hardened",
    softest: 20,
    hardest: 59,
  },
  { name: "4340", also: ["sae 4340", "aisi 4340"], condition: "through hardened", softest: 20, hardest: 59 },
  { name: "300M", also: ["300 m"], condition: "through hardened", softest: 50, hardest: 57 },
  {
    name: "alloy steel",
    also: ["through-hardened alloy steel"],
    condition: "through hardened",
    softest: 20,
    hardest: 59,
  },
  {
    name: "8620 case",
    also: ["8620", "sae 8620", "8620 carburised"],
    condition: "case hardened",
    softest: 55,
    hardest: 64,
  },
  {
    name: "1040",
    also: ["sae 1040", "aisi 1040", "c40"],
    condition: "through hardened",
    softest: 20,
    hardest: 50,
  },
  {
    name: "S7",
    also: ["s7 tool steel", "shock steel"],
    condition: "through hardened",
    softest: 54,
    hardest: 57,
  },
  { name: "A2", also: ["a2 tool steel"], condition: "through hardened", softest: 58, hardest: 61 },
  {
    name: "52100",
    also: ["sae 52100", "100cr6"],
    condition: "through hardened",
    softest: 60,
    hardest: 63,
  },
  { name: "17-7PH", also: ["17-7 ph"], condition: "through hardened", softest: 41, hardest: 45 },
  // the metal of a carburised part whose root is left without a case
  { name: "8620 core", also: [], condition: "through hardened", softest: 20, hardest: 50 },
];

/** Hardness of the core of a case-hardened part for which there are tensile data, HRC. */
export const CORE_RANGE: readonly [number, number] = [20, 50];

/** The grade meant by `name`, or null; the user's `own` come first, also in place of a built-in one that shares a name with them. */
export function findGrade(name: string, own: readonly SteelGrade[] = []): SteelGrade | null {
  const asked = name.trim().toLowerCase().replace(/\s+/g, " ");
  const spellings = (grade: SteelGrade) => [grade.name.toLowerCase(), ...grade.also];
  const found = [...own, ...STEEL_GRADES].find((grade) => spellings(grade).includes(asked));
  if (!found || own.includes(found)) return found ?? null;
  // a built-in steel that one of the user's shares a name with gives way to it under all its names
  const names = spellings(found);
  return own.find((grade) => spellings(grade).some((one) => names.includes(one))) ?? found;
}

/** What is wrong with the name of a grade: null when it is known, else a fault that offers the nearest. */
export function checkGrade(name: string, own: readonly SteelGrade[] = []): Fault | null {
  if (findGrade(name, own)) return null;
  const grades = [...own, ...STEEL_GRADES];
  const names = grades.map((known) => known.name).join(", ");
  const near = nearestGrade(
    name,
    grades.flatMap((known) => [known.name, ...known.also]),
  );
  const meant = near === null ? "" : ` (did you mean ${findGrade(near, own)!.name}?)`;
  return {
    key: "steel.grade",
    problem: `no strength data for ${quote(name)}${meant}`,
    remedy: `use one of ${names}; or give its data in a file of your own, named under "steels"; or leave out the whole "steel" section to see stresses alone`,
  };
}

/**
 * What is wrong with a choice of steel: unknown grade (the nearest offered), hardness outside the data, a case
 * without a core or the reverse. Empty when nothing is. Keys as in the part file, without places.
 */
export function checkSteel(choice: SteelChoice, own: readonly SteelGrade[] = []): Fault[] {
  const unknown = checkGrade(choice.grade, own);
  if (unknown) return [unknown];
  const grade = findGrade(choice.grade, own)!;
  const [softestCore, hardestCore] = grade.core ?? CORE_RANGE;
  const faults: Fault[] = [];
  if (choice.hardnessLow < grade.softest || choice.hardnessHigh > grade.hardest)
    faults.push({
      key: "steel.hardness",
      problem: `${window(choice.hardnessLow, choice.hardnessHigh)} is outside the data for ${grade.name}`,
      remedy: `use a window within ${grade.softest}..${grade.hardest} HRC${choice.hardnessHigh > grade.hardest && surfaceMayMislead(grade.name) ? ', which must be its hardness right through; a harder surface is mostly a case: "8620 case" with core hardness and case depth' : ""}`,
    });
  const core = choice.core;
  if (grade.condition === "case hardened") {
    if (!core)
      faults.push({
        key: "steel.core hardness",
        problem: `missing: ${grade.name} is case hardened and its strength rests on the core`,
        remedy: "add one such as core hardness: 30..38 HRC",
      });
    else if (core.hardnessLow < softestCore || core.hardnessHigh > hardestCore)
      faults.push({
        key: "steel.core hardness",
        problem: `${window(core.hardnessLow, core.hardnessHigh)} is outside the data for a core`,
        remedy: `use a window within ${softestCore}..${hardestCore} HRC`,
      });
  } else if (core)
    faults.push({
      key: "steel.core hardness",
      problem: `${grade.name} is through hardened here and has no core of its own`,
      remedy: 'leave it out, or use grade "8620 case"',
    });
  return faults;
}

/** From here on, HRC, a hardness test may have found a case. */
const AS_HARD_AS_A_CASE = 50;

/** Steels that are hardened right through, and from which parts are cased too, or taken for such as are. */
const surfaceMayMislead = (grade: string): boolean => ["4140", "4340", "alloy steel", "1040"].includes(grade);

/** A hardness that was found on the surface says nothing of the core, which a case leaves soft and a hard steel does not. */
export function surfaceNotices(steel: SteelChoice | null): string[] {
  if (!steel || steel.own || steel.core || !surfaceMayMislead(steel.grade)) return [];
  if (!(steel.hardnessHigh >= AS_HARD_AS_A_CASE)) return [];
  return [
    `${steel.hardnessText} is taken as its hardness right through. A file or a hardness test tells of the surface alone: a part that may be carburised or ` +
      "induction hardened is judged as \"8620 case\" with the core's hardness and the case's depth (cut one, and test its middle)",
  ];
}

function window(low: number, high: number): string {
  const text = (hrc: number) => significant(hrc).replace(/\.0+$/, "");
  return low === high ? `${text(low)} HRC` : `${text(low)}..${text(high)} HRC`;
}
