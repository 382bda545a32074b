import * as z from "zod";
import { type Fault, nearest, nearestGrade } from "../../design/index.ts";
import data from "./steelData.json" with { type: "json" };

/**
 * The steels there are data for, and how a user adds his own: a file of the same form as `steelData.json`'s list.
 * Every row carries its source and its scatter; what rests on memory alone is marked.
 */

const pair = z.tuple([z.number().positive(), z.number().positive()]);
const source = z.string().trim().min(1);
const fraction = z.number().min(0).max(0.9);

const rowSchema = z
  .strictObject({
    hrc: pair,
    low: pair,
    high: pair,
    scatter: fraction,
    source,
    memory: z.literal(true).optional(),
    note: z.string().optional(),
  })
  .refine(({ hrc }) => hrc[0] < hrc[1], "hrc must ascend")
  .refine(({ low, high }) => low[0] <= high[0] && low[1] <= high[1], "low must not exceed high");

/** Rows of one property, refused where they are more than any steel has: a slip of units or of a decimal then. */
const rows = (most: number, unit: string) =>
  z
    .array(
      rowSchema.refine(
        ({ high }) => Math.max(...high) <= most,
        `more than any steel has: give it in ${unit}, at most ${most}`,
      ),
    )
    .optional();

const ratioSchema = z
  .strictObject({
    low: z.number().max(1),
    high: z.number().positive().max(1),
    source,
    memory: z.literal(true).optional(),
  })
  .refine(({ low, high }) => low > 0 && low <= high, "low must be above 0 and not exceed high");

const steelSchema = z
  .strictObject({
    name: z.string().trim().min(1).max(60),
    also: z.array(z.string()).optional(),
    condition: z.enum(["through hardened", "case", "core"]),
    core: z.string().optional(),
    hrc: pair,
    tensile: rows(4000, "MPa"),
    yieldRatio: ratioSchema,
    toughness: rows(400, "MPa√m"),
    fatigueLimit: rows(2000, "MPa"),
    threshold: rows(40, "MPa√m"),
    cautions: z
      .array(
        z
          .strictObject({ fromHrc: z.number(), toHrc: z.number(), text: z.string(), source })
          .refine(({ fromHrc, toHrc }) => fromHrc < toHrc, "toHrc must be above fromHrc"),
      )
      .optional(),
    notes: z.array(z.strictObject({ text: z.string(), source })).optional(),
  })
  .refine(({ hrc }) => hrc[0] < hrc[1], "hrc must ascend")
  .refine(({ condition, core }) => condition !== "case" || core !== undefined, "a case needs a core")
  .refine(({ condition, core }) => condition === "case" || core === undefined, "only a case has a core");

/** Values of one property over a range of hardness: `low` and `high` at its two ends, straight between. */
export interface PropertyRow {
  /** From the softest to the hardest it holds for, HRC. */
  readonly hrc: readonly [number, number];
  /** MPa, toughness and threshold MPa√m, at the two ends. */
  readonly low: readonly [number, number];
  readonly high: readonly [number, number];
  /** Taken off the low and put on the high, as a fraction. */
  readonly scatter: number;
  readonly source: string;
  /** Set where it rests on memory alone. */
  readonly memory?: true | undefined;
  readonly note?: string | undefined;
}

/** One steel as `steelData.json` and a user's own file have it. */
export interface SteelRecord {
  readonly name: string;
  /** Other spellings, lower case. */
  readonly also?: readonly string[] | undefined;
  readonly condition: "through hardened" | "case" | "core";
  /** Name of the steel under a case. */
  readonly core?: string | undefined;
  /** Softest and hardest there are data for. */
  readonly hrc: readonly [number, number];
  readonly tensile?: readonly PropertyRow[] | undefined;
  /** Yield over tensile. */
  readonly yieldRatio: {
    readonly low: number;
    readonly high: number;
    readonly source: string;
    readonly memory?: true | undefined;
  };
  readonly toughness?: readonly PropertyRow[] | undefined;
  readonly fatigueLimit?: readonly PropertyRow[] | undefined;
  readonly threshold?: readonly PropertyRow[] | undefined;
  readonly cautions?:
    | readonly {
        readonly fromHrc: number;
        readonly toHrc: number;
        readonly text: string;
        readonly source: string;
      }[]
    | undefined;
  readonly notes?: readonly { readonly text: string; readonly source: string }[] | undefined;
}

export interface SteelCatalogue {
  readonly steels: readonly SteelRecord[];
}

/** Long-crack threshold of a steel that has no rows of its own. */
export const GENERAL_THRESHOLD: readonly PropertyRow[] = data.general.threshold.map((row) =>
  rowSchema.parse(row),
);

/** The steels that come with the tool. */
export const BUILT_IN: SteelCatalogue = { steels: data.steels.map((one) => steelSchema.parse(one)) };

const spelt = (name: string): string => name.trim().toLowerCase().replace(/\s+/g, " ");
/** All names of a steel, in the form in which they are looked up. */
const spellings = ({ name, also = [] }: SteelRecord): string[] => [name, ...also].map(spelt);

const ROW_FORM =
  "write each row as hrc: [from, to], low: [at from, at to], high: [at from, at to], scatter: 0.2, source: where it is from";
const STEEL_FORM =
  "a steel has a name, a condition, hrc: [softest, hardest] and yieldRatio: { low, high, source }, ratios up to 1; its rows follow";
const QUOTES = "write it as a text, in quotes where it is a number";
const ROW_KEYS = Object.keys(rowSchema.shape);
const STEEL_KEYS = Object.keys(steelSchema.shape);

const ROW_LISTS = new Set(["tensile", "toughness", "fatigueLimit", "threshold"]);

/** What the validator's words for what was expected mean to a shop. */
const WANTED: Readonly<Record<string, string>> = {
  array: "list",
  tuple: "pair of numbers such as [36, 48]",
  object: "set of keys",
  string: "text",
};

/** The validator's words in those of a shop. */
function plainly(issue: z.core.$ZodIssue): string {
  const { message } = issue;
  if (issue.code === "invalid_value")
    return `must be ${issue.values.length > 1 ? "one of " : ""}${issue.values.map(String).join(", ")}`;
  const [, limit, than] = /^Too (big|small): expected \w+ to be [<>]=?(.*)$/.exec(message) ?? [];
  if (limit) return `must be ${limit === "big" ? "at most" : "at least"} ${than}`;
  if (/received undefined$/.test(message)) return "missing";
  const [, wanted] = /^Invalid input: expected (\w+), received/.exec(message) ?? [];
  return wanted ? `is no ${WANTED[wanted] ?? wanted}` : message.charAt(0).toLowerCase() + message.slice(1);
}

/**
 * Adds a user's steels to a catalogue; a steel that shares a name with an old one takes its place. `given` is what his file
 * holds, already parsed: a list of steels, or an object with the list under "steels".
 */
export function extendCatalogue(
  catalogue: SteelCatalogue,
  given: unknown,
): { readonly catalogue: SteelCatalogue; readonly faults: readonly Fault[] } {
  const listed =
    typeof given === "object" && given !== null && "steels" in given
      ? (given as { steels: unknown }).steels
      : given;
  const read = z.array(steelSchema).safeParse(listed);
  if (!read.success) {
    const faults = read.error.issues.flatMap((issue): Fault[] => {
      const path = ["steels", ...issue.path.map(String)];
      const inRow = issue.path.some((key) => ROW_LISTS.has(String(key)));
      if (issue.code === "unrecognized_keys")
        return issue.keys.map((key) => {
          const near = nearest(key, inRow ? ROW_KEYS : STEEL_KEYS);
          return {
            key: [...path, key].join("."),
            problem: "unknown key",
            remedy: near ? `did you mean "${near}"?` : inRow ? ROW_FORM : STEEL_FORM,
          };
        });
      const unquoted = /expected string, received (number|boolean)$/.test(issue.message);
      return [
        {
          key: path.join("."),
          problem: plainly(issue),
          remedy: unquoted ? QUOTES : inRow ? ROW_FORM : STEEL_FORM,
        },
      ];
    });
    return { catalogue, faults };
  }
  // whichever of its spellings a built-in steel shares with one of the file, the file's is meant by it
  const taken = new Set(read.data.flatMap(spellings));
  const kept = catalogue.steels.filter((one) => !spellings(one).some((name) => taken.has(name)));
  const steels = [...kept, ...read.data];
  const twice = read.data.flatMap((one, k): Fault[] => {
    const shared = read.data
      .slice(0, k)
      .flatMap(spellings)
      .find((name) => spellings(one).includes(name));
    return shared === undefined
      ? []
      : [
          {
            key: `steels.${k}.name`,
            problem: `another steel of this file is named "${shared === one.name.toLowerCase() ? one.name : shared}" too`,
            remedy: "give each a name of its own",
          },
        ];
  });
  if (twice.length > 0) return { catalogue, faults: twice };
  const faults = read.data
    .filter(
      (one) => one.core !== undefined && !steels.some((other) => spellings(other).includes(spelt(one.core!))),
    )
    .map((one) => ({
      key: `steels.${one.name}.core`,
      problem: `no steel is named "${one.core}"`,
      remedy: "give the core's own record too",
    }));
  return faults.length > 0 ? { catalogue, faults } : { catalogue: { steels }, faults };
}

/** The steel meant by `name`; a fault that offers the nearest when there is none. */
export function findSteel(
  name: string,
  { steels }: SteelCatalogue = BUILT_IN,
): { readonly steel: SteelRecord } | { readonly fault: Fault } {
  const asked = spelt(name);
  const steel = steels.find((one) => spellings(one).includes(asked));
  if (steel) return { steel };
  const near = nearestGrade(name, steels.flatMap(spellings));
  const meant = near === null ? null : steels.find((one) => spellings(one).includes(near))!.name;
  return {
    fault: {
      key: "steel.grade",
      problem: `no strength data for "${name.slice(0, 60)}"${meant === null ? "" : ` (did you mean ${meant}?)`}`,
      remedy: `use one of ${steels.map((one) => one.name).join(", ")}, or add it to a steels file`,
    },
  };
}
