/** The key table as a zod schema: what a part file's plain data must look like, and what it becomes. */
import * as z from "zod";
import { type KeySpec, SECTIONS, type SectionName, TOP_KEYS, VARIANT_KEYS } from "./keys.ts";
import { type FileUnits, readValue, type Value } from "./value.ts";

/** Put in place of a value already refused, so that the rest of the file can still be read. */
export const REFUSED: unique symbol = Symbol("refused");

/** One section as read: key → value. */
export type GivenSection = Readonly<Record<string, Value>>;
export type Given = Readonly<Partial<Record<SectionName, GivenSection>>>;

function leaf(spec: KeySpec, units: FileUnits) {
  return z
    .unknown()
    .transform((raw, ctx): Value => {
      if (raw === REFUSED) return { as: "refused" };
      const read = readValue(spec, raw, units);
      if (read.ok) return read.value;
      ctx.addIssue({ code: "custom", message: read.problem, params: { remedy: read.remedy } });
      return z.NEVER;
    })
    .optional();
}

/** Schema of the whole file. `units` says what bare numbers mean, and collects the units met on the way. */
export function partSchema(units: FileUnits) {
  // a key is the same schema in the base, in a variant and in a sweep: building one is not free
  const leaves = new Map<KeySpec, ReturnType<typeof leaf>>();
  const leafOf = (spec: KeySpec) => {
    const known = leaves.get(spec) ?? leaf(spec, units);
    leaves.set(spec, known);
    return known;
  };
  const keys = (specs: readonly KeySpec[]) =>
    Object.fromEntries(specs.map((spec) => [spec.key, leafOf(spec)]));
  const sections = SECTIONS.map((spec) => ({ spec, schema: z.strictObject(keys(spec.keys)).optional() }));
  const shape = (perVariant: boolean) =>
    Object.fromEntries(
      sections
        .filter(({ spec }) => spec.perVariant || !perVariant)
        .map(({ spec, schema }) => [spec.name, schema]),
    );
  return z.strictObject({
    ...keys(TOP_KEYS),
    ...shape(false),
    variants: z.array(z.strictObject({ ...keys(VARIANT_KEYS), ...shape(true) })).optional(),
    sweep: z
      .strictObject(
        Object.fromEntries(SWEPT_KEYS.map(({ path, spec }) => [path, z.array(leafOf(spec)).optional()])),
      )
      .optional(),
  });
}

/** "profile.root radius" and so on: every key a sweep may take, in file order. */
export const SWEPT_KEYS: readonly {
  readonly path: string;
  readonly section: SectionName;
  readonly spec: KeySpec;
}[] = SECTIONS.filter((section) => section.perVariant).flatMap((section) =>
  section.keys.map((spec) => ({ path: `${section.name}.${spec.key}`, section: section.name, spec })),
);
