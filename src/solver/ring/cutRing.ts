import type { CondensedSector } from "./condensedSector.ts";
import { factorHermitian, type HermitianFactor, solveHermitian } from "./hermitian.ts";

/**
 * The ring of condensed sectors, unknowns only on the cuts. Seen from their own axes all sectors have the same
 * stiffness S = [S_LL S_LF; S_FL S_FF], and the following cut of copy k is the leading cut of copy k + 1. The discrete
 * Fourier transform over the N copies, q_k = 1/N Σ_h Q_h e^{i θ k}, θ = 2π h / N, thus parts the ring into
 *
 *     H_h Q_h = G_L + e^{−iθ} G_F,      H_h = S_LL + S_FF + e^{iθ} S_LF + e^{−iθ} S_FL,
 *
 * for h = 0 … ⌊N / 2⌋ (the others are conjugates, loads being real). H_h is Hermitian and of the size of one cut.
 */
export interface CutRing {
  readonly copies: number;
  /** Numbers on one cut. */
  readonly size: number;
  readonly harmonics: readonly HermitianFactor[];
}

/** A displacement of the leading cut that harmonic `harmonic` meets no resistance with: x + i y, of any length. */
export interface RigidHarmonic {
  readonly harmonic: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** Under this share of its own diagonal entry a pivot counts as zero: see `PIVOT_TOLERANCE` of the sparse factor. */
const PIVOT_FLOOR = 1e-12;

/**
 * Factorises all harmonics. To each rigid motion z a resistance β z zᴴ is given, β the mean of the diagonal: under loads
 * that balance it changes nothing but which of the solutions is found, the one without z.
 */
export function cutRing(
  { shifted, shift, size: both }: CondensedSector,
  copies: number,
  rigid: readonly RigidHarmonic[],
): CutRing {
  const n = both / 2;
  const harmonics: HermitianFactor[] = [];
  for (let h = 0; 2 * h <= copies; h++) {
    const c = Math.cos((2 * Math.PI * h) / copies);
    const s = Math.sin((2 * Math.PI * h) / copies);
    const re = new Float64Array(n * n);
    const im = new Float64Array(n * n);
    let trace = 0;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j <= i; j++) {
        const lf = shifted[i * both + n + j];
        const fl = shifted[(n + i) * both + j];
        re[i * n + j] = shifted[i * both + j] + shifted[(n + i) * both + n + j] + c * (lf + fl);
        im[i * n + j] = s * (lf - fl);
      }
      re[i * n + i] -= shift[i] + shift[n + i];
      im[i * n + i] = 0;
      trace += re[i * n + i];
    }
    for (const { harmonic, x, y } of rigid) {
      if (harmonic !== h) continue;
      let square = 0;
      for (let i = 0; i < n; i++) square += x[i] * x[i] + y[i] * y[i];
      const beta = trace / n / square;
      for (let i = 0; i < n; i++) {
        for (let j = 0; j <= i; j++) {
          re[i * n + j] += beta * (x[i] * x[j] + y[i] * y[j]);
          im[i * n + j] += beta * (y[i] * x[j] - x[i] * y[j]);
        }
      }
    }
    harmonics.push(factorHermitian(n, re, im, PIVOT_FLOOR));
  }
  return { copies, size: n, harmonics };
}

/**
 * Displacements of the leading cuts, copy after copy, under `loads`: for each copy 2 × `size` numbers, leading cut first.
 */
export function solveCutRing({ copies, size, harmonics }: CutRing, loads: Float64Array): Float64Array {
  if (loads.length !== 2 * size * copies) {
    throw new Error(`solveCutRing: ${loads.length} loads for ${copies} copies of ${2 * size}`);
  }
  // what meets on a cut is summed first, so that one transform does
  const summed = new Float64Array(size * copies);
  for (let k = 0; k < copies; k++) {
    const next = ((k + 1) % copies) * size;
    for (let i = 0; i < size; i++) {
      summed[k * size + i] += loads[2 * k * size + i];
      summed[next + i] += loads[2 * k * size + size + i];
    }
  }
  const cos = Float64Array.from({ length: copies }, (_, k) => Math.cos((2 * Math.PI * k) / copies));
  const sin = Float64Array.from({ length: copies }, (_, k) => Math.sin((2 * Math.PI * k) / copies));
  const out = new Float64Array(size * copies);
  const x = new Float64Array(size);
  const y = new Float64Array(size);
  for (const [h, factor] of harmonics.entries()) {
    x.fill(0);
    y.fill(0);
    for (let k = 0; k < copies; k++) {
      const c = cos[(h * k) % copies];
      const s = sin[(h * k) % copies];
      for (let i = 0, p = k * size; i < size; i++, p++) {
        x[i] += c * summed[p];
        y[i] -= s * summed[p];
      }
    }
    solveHermitian(factor, x, y);
    // a harmonic and its conjugate together are twice the real part
    const share = (h === 0 || 2 * h === copies ? 1 : 2) / copies;
    for (let k = 0; k < copies; k++) {
      const c = share * cos[(h * k) % copies];
      const s = share * sin[(h * k) % copies];
      for (let i = 0, p = k * size; i < size; i++, p++) out[p] += c * x[i] - s * y[i];
    }
  }
  return out;
}
