import { type LabColor, lab } from "d3-color";
import { interpolateBasis } from "d3-interpolate";

/**
 * The ramp, after the film a polished steel takes on when it is tempered: pale straw, bronze, purple, deep
 * blue. Named stations in CIE L*a*b*; L* falls all the way, so it prints as an even grey wedge, and the hue
 * runs along the yellow-blue axis, which red-green blindness leaves intact.
 */
const STATIONS: readonly (readonly [number, number, number])[] = [
  [97, -1, 9],
  [85, 6, 30],
  [67, 20, 28],
  [47, 31, 4],
  [31, 22, -21],
  [17, 4, -24],
];

const L = interpolateBasis(STATIONS.map((s) => s[0]));
const A = interpolateBasis(STATIONS.map((s) => s[1]));
const B = interpolateBasis(STATIONS.map((s) => s[2]));

const SAMPLES = 512;
/** Distance travelled in L*a*b* up to sample k, as a fraction of the whole. */
const TRAVELLED = measure();

function measure(): Float64Array {
  const s = new Float64Array(SAMPLES + 1);
  for (let k = 1; k <= SAMPLES; k++) {
    const t = k / SAMPLES;
    const u = (k - 1) / SAMPLES;
    s[k] = s[k - 1]! + Math.hypot(L(t) - L(u), A(t) - A(u), B(t) - B(u));
  }
  return s.map((v) => v / s[SAMPLES]!);
}

/** Colour at `share` (0 palest … 1 darkest, clamped); equal steps of share are equal distances in L*a*b*. */
export function temperColour(share: number): LabColor {
  const s = Math.min(1, Math.max(0, share));
  let k = 1;
  while (k < SAMPLES && TRAVELLED[k]! < s) k++;
  const before = TRAVELLED[k - 1]!;
  const t = (k - 1 + (s - before) / (TRAVELLED[k]! - before)) / SAMPLES;
  return lab(L(t), A(t), B(t));
}

/** Fill of band k of `count`, k = 0 palest, as "#rrggbb". */
export function bandColour(k: number, count: number): string {
  return temperColour(k / (count - 1)).formatHex();
}
