/**
 * Basic dimensions of published spline standards: the sizes a part file may leave out. Basic sizes only:
 * tolerances, fits and effective/actual variations are not covered. Everything returned is mm.
 *
 * Sources, as read from public transcriptions (the standards themselves are paid documents): ISO 4156-1:2005,
 * ANSI B92.1-1970 (R1993) table 2, ISO 14:1982.
 */

/** One of the two mating parts of an involute spline, mm. */
export interface SplineSide {
  readonly tipDiameter: number;
  readonly rootDiameter: number;
  /** Limit of the true involute flank. */
  readonly formDiameter: number;
  /** Arc on the pitch circle. */
  readonly toothThickness: number;
}

export interface SplineProportions {
  readonly pitchDiameter: number;
  readonly baseDiameter: number;
  /** Smallest effective space width of the internal spline = largest effective tooth thickness of the external one. */
  readonly spaceWidth: number;
  readonly internal: SplineSide;
  readonly external: SplineSide;
  /** Root radius of the basic rack; null where the standard gives none. */
  readonly rootRadius: number | null;
  /** Which standard and which column, ready to print beside a default. */
  readonly source: string;
  /** What in these figures rests on less than the standard, or falls outside its range; empty when nothing. */
  readonly caveat: string;
}

export type RootForm = "flat" | "fillet";

const DEGREE = Math.PI / 180;
const INCH = 25.4;

interface IsoRack {
  /** Addendum of the external tooth above the pitch circle, in modules. */
  readonly addendum: number;
  readonly dedendum: number;
  readonly rootRadius: number;
  /** Form tooth height factor hs. */
  readonly formHeight: number;
}

/** ISO 4156-1:2005 basic racks by pressure angle in degrees and root form. */
const ISO_RACKS: Readonly<Record<string, IsoRack>> = {
  "30 flat": { addendum: 0.5, dedendum: 0.75, rootRadius: 0.2, formHeight: 0.6 },
  "30 fillet": { addendum: 0.5, dedendum: 0.9, rootRadius: 0.4, formHeight: 0.6 },
  "37.5 fillet": { addendum: 0.45, dedendum: 0.7, rootRadius: 0.3, formHeight: 0.55 },
  "45 fillet": { addendum: 0.4, dedendum: 0.6, rootRadius: 0.25, formHeight: 0.5 },
};

/**
 * ISO 4156-1:2005 basic sizes (ANSI B92.2M is equivalent), fit H/h: module in mm, pressure angle 30°, 37.5° or
 * 45° in radians. Null where the standard has no such rack (another angle; a flat root at 37.5° or 45°).
 *
 * The external form diameter comes from the form tooth height,
 * DFE = 2 √((Db/2)² + (D sin α / 2 − hs / sin α)²); the internal tip is DFE + 2 cF with cF = 0.1 m.
 */
export function iso4156(input: {
  readonly module: number;
  readonly teeth: number;
  readonly pressureAngle: number;
  readonly root: RootForm;
}): SplineProportions | null {
  const { module: m, teeth: z, pressureAngle: a, root } = input;
  const angle = standardAngle(a);
  const rack = angle === null ? undefined : ISO_RACKS[`${angle} ${root}`];
  if (!rack || angle === null) return null;
  const pitchDiameter = m * z;
  const baseDiameter = pitchDiameter * Math.cos(a);
  const clearance = 0.1 * m;
  const spaceWidth = (Math.PI * m) / 2;
  // where few teeth bring the form point to the base circle the involute starts there
  const roll = Math.max(0, (pitchDiameter * Math.sin(a)) / 2 - (rack.formHeight * m) / Math.sin(a));
  const externalForm = 2 * Math.hypot(baseDiameter / 2, roll);
  const tip = m * (z + 2 * rack.addendum);
  const caveats: string[] = [];
  if (angle !== 30) caveats.push("form diameter of the internal spline from memory");
  const largest = angle === 45 ? 2.5 : 10;
  if (m < 0.25 || m > largest) caveats.push(`module outside the standard's 0.25 to ${largest} mm`);
  return {
    pitchDiameter,
    baseDiameter,
    spaceWidth,
    internal: {
      tipDiameter: externalForm + 2 * clearance,
      rootDiameter: m * (z + 2 * rack.dedendum),
      formDiameter: tip + 2 * clearance,
      toothThickness: Math.PI * m - spaceWidth,
    },
    external: {
      tipDiameter: tip,
      rootDiameter: m * (z - 2 * rack.dedendum),
      formDiameter: externalForm,
      toothThickness: spaceWidth,
    },
    rootRadius: rack.rootRadius * m,
    source: `ISO 4156-1:2005, ${angle}° ${root} root`,
    caveat: caveats.join("; "),
  };
}

interface AnsiColumn {
  /** Space width × P is π/2 plus this. */
  readonly extraSpace: number;
  /** Diameters × P are N plus these. */
  readonly internalRoot: number;
  readonly internalTip: number;
  readonly externalRoot: number;
  /** Range of diametral pitch, per inch. */
  readonly coarsest: number;
  readonly finest: number;
}

/** ANSI B92.1-1970 (R1993) table 2, columns A, C, D, E and (major-diameter fit) B. */
const ANSI_COLUMNS: Readonly<Record<string, AnsiColumn>> = {
  "30 flat": {
    extraSpace: 0,
    internalRoot: 1.35,
    internalTip: -1,
    externalRoot: -1.35,
    coarsest: 2.5,
    finest: 32,
  },
  "30 flat, major-diameter fit": {
    extraSpace: 0,
    internalRoot: 1,
    internalTip: -1,
    externalRoot: -1.35,
    coarsest: 3,
    finest: 16,
  },
  "30 fillet": {
    extraSpace: 0,
    internalRoot: 1.8,
    internalTip: -1,
    externalRoot: -1.8,
    coarsest: 2.5,
    finest: 48,
  },
  "37.5 fillet": {
    extraSpace: 0.1,
    internalRoot: 1.6,
    internalTip: -0.8,
    externalRoot: -1.3,
    coarsest: 2.5,
    finest: 48,
  },
  "45 fillet": {
    extraSpace: 0.2,
    internalRoot: 1.4,
    internalTip: -0.6,
    externalRoot: -1,
    coarsest: 10,
    finest: 128,
  },
};

/**
 * ANSI B92.1-1970 (R1993) basic sizes: `diametralPitch` per inch, angles in radians, results in mm. Null where
 * the standard has no such column. The standard gives no root radius: the fillet may have any curvature up
 * to the form diameter. Form clearance cF = 0.001 D, at least 0.002 in and at most 0.010 in.
 */
export function ansiB921(input: {
  readonly diametralPitch: number;
  readonly teeth: number;
  readonly pressureAngle: number;
  readonly root: RootForm | "flat, major-diameter fit";
}): SplineProportions | null {
  const { diametralPitch: P, teeth: N, pressureAngle, root } = input;
  const angle = standardAngle(pressureAngle);
  const column = angle === null ? undefined : ANSI_COLUMNS[`${angle} ${root}`];
  if (!column || angle === null) return null;
  const pitchDiameter = N / P;
  const clearance = Math.min(0.01, Math.max(0.002, 0.001 * pitchDiameter));
  const spaceWidth = (Math.PI / 2 + column.extraSpace) / P;
  const majorFit = root === "flat, major-diameter fit";
  // 16/32 and finer fillet roots are cut deeper than the coarse ones
  const externalRoot = angle === 30 && root === "fillet" && P >= 16 ? -2 : column.externalRoot;
  const outside = P < column.coarsest || P > column.finest;
  return {
    pitchDiameter: INCH * pitchDiameter,
    baseDiameter: INCH * pitchDiameter * Math.cos(pressureAngle),
    spaceWidth: INCH * spaceWidth,
    internal: {
      tipDiameter: (INCH * (N + column.internalTip)) / P,
      rootDiameter: (INCH * (N + column.internalRoot)) / P,
      formDiameter: INCH * ((majorFit ? (N + 0.8) / P - 0.004 : (N + 1) / P) + 2 * clearance),
      toothThickness: INCH * (Math.PI / P - spaceWidth),
    },
    external: {
      tipDiameter: (INCH * (N + 1)) / P,
      rootDiameter: (INCH * (N + externalRoot)) / P,
      formDiameter: INCH * ((N + column.internalTip) / P - 2 * clearance),
      toothThickness: INCH * spaceWidth,
    },
    rootRadius: null,
    source: `ANSI B92.1-1970 (R1993) table 2, ${angle}° ${majorFit ? "flat root, major-diameter fit" : `${root} root, side fit`}`,
    caveat: outside
      ? `diametral pitch outside the standard's ${column.coarsest} to ${column.finest} per inch`
      : "",
  };
}

/** A straight-sided spline of ISO 14:1982, mm: N keys of width B between minor d and major D, centred on d. */
export interface Iso14Row {
  readonly series: "light" | "medium";
  readonly teeth: number;
  readonly minorDiameter: number;
  readonly majorDiameter: number;
  readonly keyWidth: number;
}

// N, d, D, B
const ISO_14: Readonly<Record<"light" | "medium", readonly (readonly [number, number, number, number])[]>> = {
  light: [
    [6, 23, 26, 6],
    [6, 26, 30, 6],
    [6, 28, 32, 7],
    [8, 32, 36, 6],
    [8, 36, 40, 7],
    [8, 42, 46, 8],
    [8, 46, 50, 9],
    [8, 52, 58, 10],
    [8, 56, 62, 10],
    [8, 62, 68, 12],
    [10, 72, 78, 12],
    [10, 82, 88, 12],
    [10, 92, 98, 14],
    [10, 102, 108, 16],
    [10, 112, 120, 18],
  ],
  medium: [
    [6, 11, 14, 3],
    [6, 13, 16, 3.5],
    [6, 16, 20, 4],
    [6, 18, 22, 5],
    [6, 21, 25, 5],
    [6, 23, 28, 6],
    [6, 26, 32, 6],
    [6, 28, 34, 7],
    [8, 32, 38, 6],
    [8, 36, 42, 7],
    [8, 42, 48, 8],
    [8, 46, 54, 9],
    [8, 52, 60, 10],
    [8, 56, 65, 10],
    [8, 62, 72, 12],
    [10, 72, 82, 12],
    [10, 82, 92, 12],
    [10, 92, 102, 14],
    [10, 102, 112, 16],
    [10, 112, 125, 18],
  ],
};

/** ISO 14:1982, both series, smallest first. */
export const iso14: readonly Iso14Row[] = (["light", "medium"] as const).flatMap((series) =>
  ISO_14[series].map(([teeth, minorDiameter, majorDiameter, keyWidth]) => ({
    series,
    teeth,
    minorDiameter,
    majorDiameter,
    keyWidth,
  })),
);

/** 30, 37.5 or 45 when `angle` (rad) is that standard pressure angle to 1e-9 rad, else null. */
function standardAngle(angle: number): 30 | 37.5 | 45 | null {
  for (const degrees of [30, 37.5, 45] as const)
    if (Math.abs(angle - degrees * DEGREE) < 1e-9) return degrees;
  return null;
}
