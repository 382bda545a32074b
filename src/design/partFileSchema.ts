import { type KeySpec, SECTIONS, type SectionSpec, TOP_KEYS, VARIANT_KEYS } from "./keys.ts";
import { SWEPT_KEYS } from "./schema.ts";
import { kindInWords, limitsInWords } from "./value.ts";

/** Plain JSON. */
export type JsonObject = { readonly [key: string]: unknown };

const NUMBER = "[+-]?([0-9]+\\.?[0-9]*|\\.[0-9]+)([eE][+-]?[0-9]+)?";
const HARDNESS = "^((HRC|HV|HBW?) *)?[0-9.]+( *(\\.\\.\\.?|…|–|-|to) *[0-9.]+)? *(HRC|HV|HBW?)?$";

/**
 * JSON Schema (draft 2020-12) of part files, made from the key table, for editors to complete keys and mark
 * slips. It is looser than the reader: what units mean and how keys hang together only the reader knows.
 */
export function partFileSchema(): JsonObject {
  const variant = object(VARIANT_KEYS, (section) => section.perVariant, {}, ["name"]);
  return {
    $schema: "https://json-schema.org/draft/2020-12/schema",
    title: "Notchwright part file",
    description: "Profile variants of one toothed part, their load and their steel.",
    ...object(
      TOP_KEYS,
      () => true,
      {
        variants: {
          type: "array",
          minItems: 1,
          items: variant,
          description: "Variants of the part: each a name and what it changes.",
        },
        sweep: {
          type: "object",
          additionalProperties: false,
          description: "A grid over the base: each key with its list of values.",
          properties: Object.fromEntries(
            SWEPT_KEYS.map(({ path, spec }) => [path, { type: "array", minItems: 1, items: leaf(spec) }]),
          ),
        },
      },
      ["part", "profile", "load"],
    ),
  };
}

function object(
  keys: readonly KeySpec[],
  wanted: (section: SectionSpec) => boolean,
  more: JsonObject,
  required: readonly string[],
): JsonObject {
  return {
    type: "object",
    additionalProperties: false,
    required,
    properties: {
      ...properties(keys),
      ...Object.fromEntries(
        SECTIONS.filter(wanted).map((section) => [
          section.name,
          {
            type: "object",
            description: `${section.about}.`,
            additionalProperties: false,
            properties: properties(section.keys),
          },
        ]),
      ),
      ...more,
    },
  };
}

function properties(keys: readonly KeySpec[]): JsonObject {
  return Object.fromEntries(keys.map((spec) => [spec.key, { ...leaf(spec), description: describe(spec) }]));
}

function describe(spec: KeySpec): string {
  const limits = limitsInWords(spec.value);
  const kinds = spec.kinds ? ` (${spec.kinds.join(", ")})` : "";
  return `${spec.about}${kinds}. Takes ${kindInWords(spec.value)}${limits && `, ${limits}`}; for example ${spec.example}. Left out: ${spec.absent}.`;
}

function leaf({ value }: KeySpec): JsonObject {
  switch (value.as) {
    case "text":
      return { type: "string", minLength: 1, maxLength: value.most };
    case "word":
      return { type: ["string", "number"] };
    case "choice":
      return { enum: value.of };
    case "count":
      return { type: "integer", minimum: value.least, maximum: value.most };
    case "number":
      return {
        type: "number",
        [value.aboveZero ? "exclusiveMinimum" : "minimum"]: value.least,
        maximum: value.most,
      };
    case "percent":
      return { type: "string", pattern: `^(${[...(value.words ?? []), `${NUMBER} *%`].join("|")})$` };
    case "quantity": {
      const stub = value.dimension === "pitch" ? ["[0-9.]+ */ *[0-9.]+"] : [];
      const ways = [...(value.words ?? []), `[+−-]?[0-9.].*[a-zA-Z%°"″'′²](?:\\^?2)?`, ...stub, "0"];
      return { type: ["string", "number"], pattern: `^ *(${ways.join("|")}) *$` };
    }
    case "hardness":
      return { type: "string", pattern: HARDNESS };
    case "depth":
      return { type: "string", pattern: '^[0-9.].*[a-zA-Z"″]$' };
    case "range":
      return value.dimension
        ? { type: ["string", "number"], pattern: "^ *[0-9.].*[a-zA-Z²](?:\\^?2)?$" }
        : { type: ["string", "number"], pattern: "^ *[0-9.]+( *(\\.\\.\\.?|…|–|-|to) *[0-9.]+)? *$" };
    case "band": {
      const limit = { type: ["string", "number"] };
      return {
        type: "object",
        additionalProperties: false,
        required: ["from", "to"],
        properties: { from: limit, to: limit },
      };
    }
    case "teeth":
      return { type: "array", minItems: 1, uniqueItems: true, items: { type: "integer", minimum: 1 } };
    case "tooth loads":
      return {
        type: "object",
        additionalProperties: { type: "string", pattern: `^${NUMBER} *%$` },
        propertyNames: { pattern: "^[1-9][0-9]*$" },
        minProperties: 1,
      };
  }
}
