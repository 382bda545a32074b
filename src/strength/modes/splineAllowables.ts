/**
 * Spline stresses and what they may be, after Darle W. Dudley, "When Splines Need Stress Control", Product
 * Engineering 1957 (tables and formulas as reproduced publicly; also Machinery's Handbook). Any coherent units in the formulas.
 */

export const DUDLEY_SOURCE =
  "Dudley, When Splines Need Stress Control, Product Engineering 1957 (public reproduction of its tables)";

export interface SplineLoad {
  readonly torque: number;
  /** Application factor Ka, load distribution factor Km, fatigue life factor Kf; 1 leaves them out. */
  readonly ka: number;
  readonly km: number;
  readonly kf: number;
}

/** Shear in a solid or hollow shaft under the teeth: 16 T D Ka / (π (D⁴ − d⁴) Kf). */
export function shaftShear({ torque, ka, kf }: SplineLoad, rootDiameter: number, bore = 0): number {
  return (16 * torque * rootDiameter * ka) / (Math.PI * (rootDiameter ** 4 - bore ** 4) * kf);
}

export interface SplineTeeth {
  readonly teeth: number;
  readonly pitchDiameter: number;
  readonly faceWidth: number;
}

/** Shear at the pitch line of the teeth, half of them taken to carry: 4 T Km Ka / (D N F t Kf). */
export function toothShear(
  { torque, ka, km, kf }: SplineLoad,
  s: SplineTeeth,
  chordalThickness: number,
): number {
  return (4 * torque * km * ka) / (s.pitchDiameter * s.teeth * s.faceWidth * chordalThickness * kf);
}

/** Compressive stress on the flanks, all teeth taken to carry: 2 T Km Ka / (D N F h Kf). */
export function toothBearing(
  { torque, ka, km, kf }: SplineLoad,
  s: SplineTeeth,
  contactHeight: number,
): number {
  return (2 * torque * km * ka) / (s.pitchDiameter * s.teeth * s.faceWidth * contactHeight * kf);
}

/** 1 psi in MPa. */
const PSI = 6.894757e-3;

export interface Allowable {
  readonly steel: string;
  /** HRC, ascending; the HB rows converted by the hardness table, 20 HRC standing for anything softer than it reaches. */
  readonly hrc: readonly [number, number];
  readonly surfaceHardened: boolean;
  /** MPa. */
  readonly shear: number;
  /** Compressive stress on straight (uncrowned) flanks, MPa; null where the table has none. */
  readonly bearing: number | null;
}

const row = (
  steel: string,
  hrc: readonly [number, number],
  surfaceHardened: boolean,
  shearPsi: number,
  bearingPsi: number | null,
): Allowable => ({
  steel,
  hrc,
  surfaceHardened,
  shear: shearPsi * PSI,
  bearing: bearingPsi === null ? null : bearingPsi * PSI,
});

/** Softest first. Hardness in HB where the table has it so: 160–200 HB is softer than HRC reaches, 230–260 HB is 20.7 to 26.3 HRC. */
export const ALLOWABLES: readonly Allowable[] = [
  row("160 to 200 HB", [0, 20], false, 20_000, 1_500),
  row("230 to 260 HB", [20.7, 26.3], false, 30_000, 2_000),
  row("302 to 351 HB, 33 to 38 HRC", [33, 38], false, 40_000, 3_000),
  row("through hardened 42 to 46 HRC (aerospace)", [42, 46], false, 45_000, null),
  row("surface hardened 48 to 53 HRC", [48, 53], true, 40_000, 4_000),
  row("case hardened 58 to 63 HRC", [58, 63], true, 50_000, 5_000),
];

/**
 * The row that holds for a hardness: that of the hardest steel not harder than it, among those hardened the same way
 * (a surface-hardened row never speaks for a through-hardened part in shear).
 */
export function allowableShear(hrc: number, surfaceHardened: boolean): Allowable {
  return rowFor(hrc, (one) => surfaceHardened || !one.surfaceHardened);
}

/** The same for pressure on the flanks, which is a matter of the surface alone. */
export function allowableBearing(hrc: number): Allowable & { readonly bearing: number } {
  return rowFor(hrc, (one) => one.bearing !== null) as Allowable & { readonly bearing: number };
}

function rowFor(hrc: number, speaks: (one: Allowable) => boolean): Allowable {
  const softer = ALLOWABLES.filter((one) => speaks(one) && one.hrc[0] <= hrc);
  return softer[softer.length - 1] ?? ALLOWABLES[0];
}

/** True when the hardness is in the row's own range and not between rows. */
export function inRow(hrc: number, { hrc: [low, high] }: Allowable): boolean {
  return hrc >= low && hrc <= high;
}

const LIFE_CYCLES = [1e3, 1e4, 1e5, 1e6, 1e7];
const LIFE_ONE_WAY = [1.8, 1, 0.5, 0.4, 0.3];
const LIFE_REVERSED = [1.8, 1, 0.4, 0.3, 0.2];

/** Fatigue life factor for so many on-off cycles of torque: the table's values, straight in log–log between, its ends outside. */
export function fatigueLifeFactor(cycles: number, reversed = false): number {
  return logRead(LIFE_CYCLES, reversed ? LIFE_REVERSED : LIFE_ONE_WAY, cycles);
}

function logRead(xs: readonly number[], ys: readonly number[], x: number): number {
  if (!(x > xs[0])) return ys[0];
  for (let k = 1; k < xs.length; k++) {
    if (x === xs[k]) return ys[k];
    if (x < xs[k]) {
      const t = Math.log(x / xs[k - 1]) / Math.log(xs[k] / xs[k - 1]);
      return ys[k - 1] * (ys[k] / ys[k - 1]) ** t;
    }
  }
  return ys[ys.length - 1];
}

const FACES = [12.7, 25.4, 50.8, 101.6];
const MISALIGNMENT = [0.001, 0.002, 0.004, 0.008];
const DISTRIBUTION = [
  [1, 1, 1, 1.5],
  [1, 1, 1.5, 2],
  [1, 1.5, 2, 2.5],
  [1.5, 2, 2.5, 3],
];

/** Load distribution factor for a misalignment (mm per mm) and a face width, mm: the next worse entry of the table. */
export function distributionFactor(misalignment: number, faceWidth: number): number {
  const r = MISALIGNMENT.findIndex((m) => misalignment <= m * (1 + 1e-9));
  const c = FACES.findIndex((f) => faceWidth <= f * (1 + 1e-9));
  return DISTRIBUTION[r < 0 ? 3 : r][c < 0 ? 3 : c];
}
