import { NumericalError } from "./numericalError.ts";

/** What memory depends on: nodes of the sector's mesh, of its two cuts (one of them), and how often it is repeated. */
export interface ModelSize {
  readonly nodes: number;
  readonly cut: number;
  readonly copies: number;
  /** True of a strip of face teeth whose ring changes its shape: fields of that stand beside the strip's own. */
  readonly shaped?: boolean;
}

/*
 * Measured as the growth of the resident set, demo spline and ramp tooth. Over one pass of sectors of 1 850 to 236 000 unknowns and whole
 * rings of 31 000 to 967 000 the bound lay 1.3 to 1.6 times above the measured peak, over one of rings of 60 to 400 small sectors (110 000
 * to 1 560 000 unknowns) 1.2 to 2 times, and over a whole run of such rings, in two passes with maps drawn, 1.0 to 1.4 times.
 */
const BYTES_TO_START = 30e6;
/** Mesh, displacements, recovered stress and their estimated error, per unknown of the whole model. */
const BYTES_PER_UNKNOWN = 300;
/** Fields of a ring that grows and dishes: five of displacements and five of stress, forces, and what finds elements in two of them. */
const BYTES_SHAPED_PER_UNKNOWN = 150;
/** Of these, what stays of a pass while a finer one is solved, which may yet fail. */
const BYTES_KEPT_PER_UNKNOWN = 80;
/** Pattern, matrix values and symbolic phase, per unknown of what is factorised. */
const BYTES_PER_EQUATION = 900;
/** Numbers in the factor: FACTOR_SCALE × unknowns ^ FACTOR_POWER, seen to hold within 15 %. */
const FACTOR_SCALE = 7.2;
const FACTOR_POWER = 1.22;
/** A number of the factor with its padding, and the updates on their way through it. */
const BYTES_PER_NUMBER = 13;

/**
 * Bytes that solving a model of this size takes at its height, above what the program holds before: a bound to plan by, not a
 * measurement. One sector of a ring is factorised, whatever the number of copies; its stiffness on the two cuts and one
 * matrix a harmonic come on top.
 */
export function memoryNeeded({ nodes, cut, copies, shaped = false }: ModelSize): number {
  const sector = 2 * nodes;
  const factor = FACTOR_SCALE * sector ** FACTOR_POWER;
  const dense =
    copies === 1 ? 0 : 3 * 8 * (4 * cut) ** 2 + 16 * (Math.floor(copies / 2) + 1) * (2 * cut) ** 2;
  return (
    BYTES_TO_START +
    (BYTES_PER_UNKNOWN + (shaped ? BYTES_SHAPED_PER_UNKNOWN : 0)) * sector * copies +
    BYTES_PER_EQUATION * sector +
    BYTES_PER_NUMBER * factor +
    dense
  );
}

/** A model that the memory at hand would not hold. It fails its variant, whatever coarser mesh went before. */
export class MemoryError extends NumericalError {}

/**
 * @param before the coarser model that is kept meanwhile; null for the first.
 * @throws MemoryError, with the bytes needed and there, when a model would need more than `available`.
 */
export function refuseTooLarge(size: ModelSize, available: number, before: ModelSize | null): void {
  const kept = before ? BYTES_KEPT_PER_UNKNOWN * 2 * before.nodes * before.copies : 0;
  const needed = memoryNeeded(size) + kept;
  if (!(needed > available)) return;
  const unknowns = 2 * size.copies * (size.nodes - size.cut);
  throw new MemoryError(
    `the model of ${unknowns} unknowns needs up to ${memoryWords(needed)} of memory, and ${memoryWords(available)} is available`,
    before === null
      ? `close other programs, run fewer workers at a time, or take a machine with more memory${size.copies > 1 ? "; a share of the teeth that carries evenly (which teeth: evenly) needs one sector only" : ""}`
      : "run fewer workers at a time, ask for less accuracy, or set a smaller limit of unknowns, under which a coarser mesh is kept",
  );
}

/** "120 MB", "1.4 GB": two figures are more than the bound is good for. */
export function memoryWords(bytes: number): string {
  if (bytes >= 995e6) return `${Number((bytes / 1e9).toPrecision(2))} GB`;
  return `${Number(Math.max(1, bytes / 1e6).toPrecision(2))} MB`;
}
