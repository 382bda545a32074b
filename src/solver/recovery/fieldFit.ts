import { type Floats, floats, type int } from "../sparse/flat.ts";

/** Degree of the stress polynomial at vertices inside the part, and on its boundary, where the patch lies to one side. */
export const DEGREE_INSIDE: int = 3;
export const DEGREE_BOUNDARY: int = 4;
/** Rows wanted for each unknown of the polynomial; with fewer the degree falls. */
const ROWS_PER_UNKNOWN: number = 1.2;
/**
 * Rows are weighted 1 / r (r = distance over patch radius), but no more than at this distance. Measured on the exact solutions of
 * the tests: with r^−2 the error at the hole is smaller on four sides a quarter turn (5 % against 8 %), alike on eight
 * (0.5 % and 0.8 %) and larger beyond (0.16 % against 0.06 % on sixteen).
 */
const NEAREST: number = 0.1;
/** Weight of a known traction against a displacement of the same stress. */
const TRACTION_WEIGHT: number = 3;
/** A pivot that falls under this share of its diagonal says that the patch cannot tell two polynomials apart. */
const PIVOT: number = 1e-13;

/** Most points of a patch, rows of known tractions, and places read at once. */
export const MOST_POINTS: int = 576;
export const MOST_KNOWN: int = 64;
export const MOST_PLACES: int = 769;

/** 4 p + 6 at the highest degree: complex a_0 … a_p, b_0 … b_p and one shift. */
const MOST_UNKNOWNS: int = 22;
/** Highest power of z in the sums T, 2 p + 2, and their row length. */
const MOST_POWER: int = 10;
const T_ROW: int = 11;

/**
 * The elastic field on one patch that fits given displacements and tractions best, by weighted least squares. Written in the
 * dialect of `sparse/flat.ts`, so that WebAssembly and JavaScript run the same text.
 *
 * Places are counted from the vertex in units of the patch's radius. Unknown 4 k … 4 k + 3: Re a_k, Im a_k, Re b_k, Im b_k; the
 * last two the shift. A displacement row reads Σ_k (a_k P_k − conj(a_k) Q_k − conj(b_k) R_k) + shift with P_k = κ z^(k+1)/(k + 1),
 * Q_k = z conj(z)^k and R_k = conj(z)^(k+1)/(k + 1). Every product of two of them is a number times z^j conj(z)^k, so the whole
 * normal matrix comes from the sums T(s, n) = Σ w |z|^(2s) z^n: some sixty multiplications a point in place of two rows of
 * twenty-two squared.
 */
export class FieldFit {
  /** Places of the points and their displacements beyond that of the vertex, mm. */
  x: Floats = floats(MOST_POINTS);
  y: Floats = floats(MOST_POINTS);
  ux: Floats = floats(MOST_POINTS);
  uy: Floats = floats(MOST_POINTS);
  /** Rows "traction along direction e on the surface with normal n at (tx, ty) is `value`", seven numbers each in that order. */
  known: Floats = floats(7 * MOST_KNOWN);
  /** Places to be read, x and y in turn, and what was read there. */
  places: Floats = floats(2 * MOST_PLACES);
  found: Floats = floats(3 * MOST_PLACES);

  private kappa: number = 1;
  private degree: int = 0;
  private normal: Floats = floats(MOST_UNKNOWNS * MOST_UNKNOWNS);
  private c: Floats = floats(MOST_UNKNOWNS);
  private scale: Floats = floats(MOST_UNKNOWNS);
  private row: Floats = floats(MOST_UNKNOWNS);
  private re: Floats = floats(MOST_POWER + 1);
  private im: Floats = floats(MOST_POWER + 1);
  /** T(s, n), real and imaginary part in turn, at `2 (s T_ROW + n)`. */
  private t: Floats = floats(2 * (DEGREE_BOUNDARY + 2) * T_ROW);
  /** Σ w d z̄^(k+1), Σ w d z̄ z^k and Σ w d z^(k+1) of the data d: six numbers for each k. */
  private data: Floats = floats(6 * (DEGREE_BOUNDARY + 1));

  /** For a material with Kolosov's constant κ. */
  start(kappa: number): void {
    this.kappa = kappa;
  }

  /**
   * Fits the highest degree, `most` or less, that `points` displacements and `rows` tractions determine. `f` turns a displacement
   * into a stress: 2G / radius.
   */
  fit(most: int, points: int, rows: int, f: number): void {
    let p: int = most;
    const given: number = 2 * points + rows;
    while (p > 0 && given < ROWS_PER_UNKNOWN * (4 * p + 6)) p -= 1;
    while (!this.fitDegree(p, points, rows, f) && p > 0) p -= 1;
  }

  /** False when the data do not determine it. */
  private fitDegree(p: int, points: int, rows: int, f: number): boolean {
    this.degree = p;
    this.sumPoints(p, points, f);
    this.normalFromSums(p);
    this.addTractions(p, rows);
    const n: int = 4 * p + 6;
    if (!this.factorNormal(n)) return false;
    this.solveNormal(n);
    return true;
  }

  /** Powers z⁰ … z^last, each from two halves so that none waits for all before it. */
  private powers(x: number, y: number, last: int): void {
    const re = this.re;
    const im = this.im;
    re[0] = 1;
    im[0] = 0;
    re[1] = x;
    im[1] = y;
    for (let k: int = 2; k <= last; k++) {
      const h: int = k >> 1;
      const g: int = k - h;
      re[k] = re[h] * re[g] - im[h] * im[g];
      im[k] = re[h] * im[g] + im[h] * re[g];
    }
  }

  private sumPoints(p: int, points: int, f: number): void {
    const re = this.re;
    const im = this.im;
    const t = this.t;
    const data = this.data;
    const c = this.c;
    t.fill(0);
    data.fill(0);
    const shift: int = 4 * p + 4;
    let sumR: number = 0;
    let sumI: number = 0;
    for (let k: int = 0; k < points; k++) {
      const x: number = this.x[k];
      const y: number = this.y[k];
      const square: number = x * x + y * y;
      const w: number = nearness(square);
      this.powers(x, y, 2 * p + 2);
      let ws: number = w;
      for (let s: int = 0; s <= p + 1; s++) {
        const last: int = s === 0 ? 2 * p + 2 : s === 1 ? 2 * p : p + 2 - s;
        let at: int = 2 * s * T_ROW;
        for (let n: int = 0; n <= last; n++, at += 2) {
          t[at] += ws * re[n];
          t[at + 1] += ws * im[n];
        }
        ws *= square;
      }
      const dr: number = w * f * this.ux[k];
      const di: number = w * f * this.uy[k];
      sumR += dr;
      sumI += di;
      const qr: number = dr * x + di * y; // w d z̄
      const qi: number = di * x - dr * y;
      let at: int = 0;
      for (let d: int = 0; d <= p; d++, at += 6) {
        const zr: number = re[d + 1];
        const zi: number = im[d + 1];
        data[at] += dr * zr + di * zi;
        data[at + 1] += di * zr - dr * zi;
        data[at + 2] += qr * re[d] - qi * im[d];
        data[at + 3] += qr * im[d] + qi * re[d];
        data[at + 4] += dr * zr - di * zi;
        data[at + 5] += dr * zi + di * zr;
      }
    }
    let at: int = 0;
    for (let d: int = 0; d <= p; d++, at += 6) {
      const i1: number = d + 1;
      const kp: number = this.kappa / i1;
      c[4 * d] = kp * data[at] - data[at + 2];
      c[4 * d + 1] = kp * data[at + 1] + data[at + 3];
      c[4 * d + 2] = -data[at + 4] / i1;
      c[4 * d + 3] = data[at + 5] / i1;
    }
    c[shift] = sumR;
    c[shift + 1] = sumI;
  }

  /** Lower triangle of the normal matrix, rows at stride n, from the sums. */
  private normalFromSums(p: int): void {
    const n: int = 4 * p + 6;
    const N = this.normal;
    const t = this.t;
    const kappa: number = this.kappa;
    for (let j: int = 0; j <= p; j++) {
      const j1: number = j + 1;
      const ij: number = 1 / j1;
      for (let k: int = 0; k <= j; k++) {
        const k1: number = k + 1;
        const ik: number = 1 / k1;
        // Σ w conj(P_j) P_k and so on; M(j, k) = Σ w z^j z̄^k = T(k, j − k) for j ≥ k, its conjugate the other way
        const qq: int = 2 * ((k + 1) * T_ROW + j - k); // Q̄Q = M(j + 1, k + 1); P̄P its conjugate times κ²/((j + 1)(k + 1)); R̄R
        const qqR: number = t[qq];
        const qqI: number = t[qq + 1];
        const kk: number = kappa * kappa * ij * ik;
        const pq: int = 2 * (T_ROW + j + k); // Q̄P = κ/(k + 1) T(1, j + k), P̄Q = κ/(j + 1) its conjugate
        const qpR: number = kappa * ik * t[pq];
        const qpI: number = kappa * ik * t[pq + 1];
        const pqR: number = kappa * ij * t[pq];
        const pqI: number = -kappa * ij * t[pq + 1];
        const rp: int = 2 * (j + k + 2);
        const rpR: number = kappa * ij * ik * t[rp]; // R̄P = κ T(0, j + k + 2)/((j + 1)(k + 1)), both ways round
        const rpI: number = kappa * ij * ik * t[rp + 1];
        const rq: int = 2 * (k * T_ROW + j + 2 - k); // R̄_j Q_k = M(j + 2, k)/(j + 1)
        const rqR: number = ij * t[rq];
        const rqI: number = ij * t[rq + 1];
        const low: boolean = k + 2 < j; // R̄_k Q_j = M(k + 2, j)/(k + 1)
        const back: int = 2 * (low ? (k + 2) * T_ROW + j - k - 2 : j * T_ROW + k + 2 - j);
        const srR: number = ik * t[back];
        const srI: number = low ? -ik * t[back + 1] : ik * t[back + 1];
        const a: int = 4 * j * n + 4 * k;
        const b: int = a + n;
        const g: int = b + n;
        const d: int = g + n;
        N[a] = kk * qqR + qqR - pqR - qpR;
        N[a + 1] = kk * qqI + qqI - pqI + qpI;
        N[b] = -kk * qqI - qqI - pqI + qpI;
        N[b + 1] = kk * qqR + qqR + pqR + qpR;
        N[a + 2] = srR - rpR;
        N[a + 3] = rpI - srI;
        N[b + 2] = rpI + srI;
        N[b + 3] = rpR + srR;
        N[g] = rqR - rpR;
        N[g + 1] = rpI + rqI;
        N[d] = rpI - rqI;
        N[d + 1] = rpR + rqR;
        const rrR: number = ij * ik * qqR;
        const rrI: number = ij * ik * qqI;
        N[g + 2] = rrR;
        N[g + 3] = rrI;
        N[d + 2] = -rrI;
        N[d + 3] = rrR;
      }
    }
    const u: int = (4 * p + 4) * n;
    const v: int = u + n;
    for (let k: int = 0; k <= p; k++) {
      const k1: number = k + 1;
      const ik: number = 1 / k1;
      const z: int = 2 * (k + 1);
      const pR: number = kappa * ik * t[z];
      const pI: number = kappa * ik * t[z + 1];
      const q: int = k === 0 ? 2 : 2 * (T_ROW + k - 1);
      const qR: number = t[q];
      const qI: number = k === 0 ? t[q + 1] : -t[q + 1];
      const rR: number = ik * t[z];
      const rI: number = -ik * t[z + 1];
      N[u + 4 * k] = pR - qR;
      N[u + 4 * k + 1] = -pI - qI;
      N[u + 4 * k + 2] = -rR;
      N[u + 4 * k + 3] = -rI;
      N[v + 4 * k] = pI - qI;
      N[v + 4 * k + 1] = pR + qR;
      N[v + 4 * k + 2] = -rI;
      N[v + 4 * k + 3] = rR;
    }
    N[u + 4 * p + 4] = t[0];
    N[v + 4 * p + 4] = 0;
    N[v + 4 * p + 5] = t[0];
  }

  /** Adds the rows of known tractions. */
  private addTractions(p: int, rows: int): void {
    const n: int = 4 * p + 6;
    const N = this.normal;
    const c = this.c;
    const A = this.row;
    const re = this.re;
    const im = this.im;
    const known = this.known;
    for (let k: int = 0; k < rows; k++) {
      const at: int = 7 * k;
      const x: number = known[at];
      const y: number = known[at + 1];
      const nx: number = known[at + 2];
      const ny: number = known[at + 3];
      const ex: number = known[at + 4];
      const ey: number = known[at + 5];
      const w: number = TRACTION_WEIGHT * Math.sqrt(nearness(x * x + y * y));
      this.powers(x, y, p);
      // traction t = S n − conj(n D), S = (sxx + syy)/2, D = (syy − sxx)/2 + i sxy; its share along e is Re(conj(e) t)
      const es: number = w * (ex * nx + ey * ny);
      // conj(e) conj(n D) has the real part of e n D
      const dr: number = w * (ex * nx - ey * ny);
      const di: number = w * (ex * ny + ey * nx);
      let q: int = 0;
      for (let d: int = 0; d <= p; d++, q += 4) {
        let gr: number = 0;
        let gi: number = 0;
        if (d > 0) {
          // conj(z) φ'' gives d conj(z) z^(d − 1)
          const m: number = d;
          gr = m * (x * re[d - 1] + y * im[d - 1]);
          gi = m * (x * im[d - 1] - y * re[d - 1]);
        }
        A[q] = 2 * es * re[d] - (dr * gr - di * gi);
        A[q + 1] = -2 * es * im[d] + (dr * gi + di * gr);
        A[q + 2] = -(dr * re[d] - di * im[d]);
        A[q + 3] = dr * im[d] + di * re[d];
      }
      const value: number = w * known[at + 6];
      const last: int = 4 * p + 4; // a traction knows nothing of the shift
      for (let i: int = 0; i < last; i++) {
        const ai: number = A[i];
        c[i] += ai * value;
        const row: int = i * n;
        for (let j: int = 0; j <= i; j++) N[row + j] += ai * A[j];
      }
    }
  }

  /** Cholesky factor of the scaled normal matrix, rows of the lower triangle at stride n. */
  private factorNormal(n: int): boolean {
    const N = this.normal;
    const scale = this.scale;
    for (let i: int = 0; i < n; i++) {
      const d: number = N[i * n + i];
      if (!(d > 0)) return false;
      scale[i] = 1 / Math.sqrt(d);
    }
    for (let i: int = 0; i < n; i++) {
      const row: int = i * n;
      for (let j: int = 0; j <= i; j++) {
        const other: int = j * n;
        // two sums, so that a step need not wait for the one before it
        let s: number = N[row + j] * scale[i] * scale[j];
        let r: number = 0;
        let k: int = 0;
        for (; k + 1 < j; k += 2) {
          s -= N[row + k] * N[other + k];
          r -= N[row + k + 1] * N[other + k + 1];
        }
        if (k < j) s -= N[row + k] * N[other + k];
        s += r;
        if (j < i) N[row + j] = s * N[other + j];
        else {
          if (!(s > PIVOT)) return false;
          N[row + j] = 1 / Math.sqrt(s); // kept as its reciprocal
        }
      }
    }
    return true;
  }

  /** Solves in place in `c`. */
  private solveNormal(n: int): void {
    const N = this.normal;
    const g = this.c;
    const scale = this.scale;
    for (let i: int = 0; i < n; i++) {
      const row: int = i * n;
      let s: number = g[i] * scale[i];
      let r: number = 0;
      let k: int = 0;
      for (; k + 1 < i; k += 2) {
        s -= N[row + k] * g[k];
        r -= N[row + k + 1] * g[k + 1];
      }
      if (k < i) s -= N[row + k] * g[k];
      g[i] = (s + r) * N[row + i];
    }
    for (let i: int = n - 1; i >= 0; i--) {
      const row: int = i * n;
      const s: number = g[i] * N[row + i];
      for (let k: int = 0; k < i; k++) g[k] -= N[row + k] * s;
      g[i] = s;
    }
    for (let i: int = 0; i < n; i++) g[i] *= scale[i];
  }

  /** Stress of the fitted field at the first `count` places, MPa: `found[3 k …]` = sxx, syy, sxy. */
  stresses(count: int): void {
    const p: int = this.degree;
    const c = this.c;
    const re = this.re;
    const im = this.im;
    const places = this.places;
    const found = this.found;
    for (let q: int = 0; q < count; q++) {
      const x: number = places[2 * q];
      const y: number = places[2 * q + 1];
      this.powers(x, y, p);
      let mean: number = 2 * c[0];
      let dr: number = c[2];
      let di: number = c[3];
      for (let k: int = 1; k <= p; k++) {
        const ar: number = c[4 * k];
        const ai: number = c[4 * k + 1];
        const br: number = c[4 * k + 2];
        const bi: number = c[4 * k + 3];
        mean += 2 * (ar * re[k] - ai * im[k]);
        dr += br * re[k] - bi * im[k];
        di += br * im[k] + bi * re[k];
        const m: number = k;
        const gr: number = m * (x * re[k - 1] + y * im[k - 1]);
        const gi: number = m * (x * im[k - 1] - y * re[k - 1]);
        dr += ar * gr - ai * gi;
        di += ar * gi + ai * gr;
      }
      found[3 * q] = mean - dr;
      found[3 * q + 1] = mean + dr;
      found[3 * q + 2] = di;
    }
  }

  /** Displacement of the fitted field at the first `count` points of the patch, times 2G / radius, MPa: `found[2 k …]` = u, v. */
  displacements(count: int): void {
    const p: int = this.degree;
    const c = this.c;
    const re = this.re;
    const im = this.im;
    const kappa: number = this.kappa;
    const found = this.found;
    for (let q: int = 0; q < count; q++) {
      const x: number = this.x[q];
      const y: number = this.y[q];
      this.powers(x, y, p + 1);
      let u: number = c[4 * p + 4];
      let v: number = c[4 * p + 5];
      for (let k: int = 0; k <= p; k++) {
        const k1: number = k + 1;
        const pr: number = re[k + 1] / k1;
        const pi: number = im[k + 1] / k1;
        // z conj(z^k)
        const cr: number = x * re[k] + y * im[k];
        const ci: number = y * re[k] - x * im[k];
        const ar: number = c[4 * k];
        const ai: number = c[4 * k + 1];
        const br: number = c[4 * k + 2];
        const bi: number = c[4 * k + 3];
        u += ar * (kappa * pr - cr) - ai * (kappa * pi + ci) - br * pr + bi * pi;
        v += ar * (kappa * pi - ci) + ai * (kappa * pr + cr) + br * pi + bi * pr;
      }
      found[2 * q] = u;
      found[2 * q + 1] = v;
    }
  }

  /** Starts a sum of weighted stresses of the fit, in place of the fit itself. */
  startWeights(): void {
    this.c.fill(0);
  }

  /** Adds g · stress at (x, y) to it: the transpose of `stresses`. */
  addWeights(x: number, y: number, g0: number, g1: number, g2: number): void {
    const p: int = this.degree;
    const c = this.c;
    const re = this.re;
    const im = this.im;
    this.powers(x, y, p);
    const mean: number = 2 * (g0 + g1);
    const d: number = g1 - g0;
    for (let k: int = 0; k <= p; k++) {
      let gr: number = 0;
      let gi: number = 0;
      if (k > 0) {
        const m: number = k;
        gr = m * (x * re[k - 1] + y * im[k - 1]);
        gi = m * (x * im[k - 1] - y * re[k - 1]);
      }
      c[4 * k] += mean * re[k] + d * gr + g2 * gi;
      c[4 * k + 1] += -mean * im[k] - d * gi + g2 * gr;
      c[4 * k + 2] += d * re[k] + g2 * im[k];
      c[4 * k + 3] += -d * im[k] + g2 * re[k];
    }
  }

  /**
   * The derivative of that sum by the displacements of the patch's `points`: `found[2 k …]`. The fit is N⁻¹ Aᵀ W d, so the derivative by
   * datum d is w times row of A · N⁻¹ weights: the displacement, there, of the polynomial with those coefficients.
   */
  weightedLoad(points: int, f: number): void {
    this.solveNormal(4 * this.degree + 6);
    this.displacements(points);
    const found = this.found;
    for (let k: int = 0; k < points; k++) {
      const x: number = this.x[k];
      const y: number = this.y[k];
      const w: number = f * nearness(x * x + y * y);
      found[2 * k] *= w;
      found[2 * k + 1] *= w;
    }
  }
}

/** Square of a row's weight from the square of its distance. */
function nearness(square: number): number {
  return 1 / Math.max(square, NEAREST * NEAREST);
}
