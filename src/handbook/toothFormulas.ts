/**
 * Dolan & Broghamer 1942: K = H + (t/r)^L (t/h)^M on the stress 6 W h/t² − Wr/t of the section where Lewis's parabola touches the
 * fillet; t its thickness, h its distance below the point where the line of load cuts the tooth's middle, r the least fillet
 * radius. Involute teeth of 14.5 or 20°, full depth or stub, without undercut.
 */
export function dolanBroghamer(pressureAngle: 14.5 | 20, t: number, r: number, h: number): number {
  const [H, L, M] = pressureAngle === 20 ? [0.18, 0.15, 0.45] : [0.22, 0.2, 0.4];
  return H + (t / r) ** L * (t / h) ** M;
}

/** AGMA 908-B89: the same with coefficients that are straight lines in the pressure angle, rad. External gears. */
export function agmaCoefficients(alpha: number): { H: number; L: number; M: number } {
  return { H: 0.331 - 0.436 * alpha, L: 0.324 - 0.492 * alpha, M: 0.261 + 0.545 * alpha };
}

export function agmaKf(alpha: number, sF: number, rhoF: number, hF: number): number {
  const { H, L, M } = agmaCoefficients(alpha);
  return H + (sF / rhoF) ** L * (sF / hF) ** M;
}

export interface RackGear {
  readonly z: number;
  readonly zMate: number;
  /** Pressure angle, rad. */
  readonly alpha: number;
  /** Addendum, dedendum and tip radius of the rack, in modules; profile shift x. */
  readonly haP: number;
  readonly hfP: number;
  readonly rhofP: number;
  readonly x: number;
}

/** ISO 6336-3 method B, spur, external, cut by a rack without protuberance; module 1. Angles rad. */
export function isoToothForm(gear: RackGear) {
  const { z, zMate, alpha, haP, hfP, rhofP, x } = gear;
  const E = Math.PI / 4 - hfP * Math.tan(alpha) - ((1 - Math.sin(alpha)) * rhofP) / Math.cos(alpha);
  const G = rhofP - hfP + x;
  const H = (2 / z) * (Math.PI / 2 - E) - Math.PI / 3;
  let theta = Math.PI / 6;
  for (let k = 0; k < 200; k++) theta = ((2 * G) / z) * Math.tan(theta) - H;
  const root = G / Math.cos(theta) - rhofP;
  const sFn = z * Math.sin(Math.PI / 3 - theta) + Math.sqrt(3) * root;
  const rhoF = rhofP + (2 * G * G) / (Math.cos(theta) * (z * Math.cos(theta) ** 2 - 2 * G));
  const base = (n: number) => n * Math.cos(alpha);
  const tip = (n: number) => n + 2 * haP;
  const reach = (n: number) => Math.sqrt(tip(n) ** 2 - base(n) ** 2) / 2;
  const epsAlpha =
    (reach(z) + reach(zMate) - ((z + zMate) / 2) * Math.sin(alpha)) / (Math.PI * Math.cos(alpha));
  // outer point of single-pair contact
  const along = reach(z) - Math.PI * Math.cos(alpha) * (epsAlpha - 1);
  const de = 2 * Math.sqrt(along * along + (base(z) / 2) ** 2);
  const alphaE = Math.acos(base(z) / de);
  const inv = (a: number) => Math.tan(a) - a;
  const gammaE = (Math.PI / 2 + 2 * Math.tan(alpha) * x) / z + inv(alpha) - inv(alphaE);
  const alphaFe = alphaE - gammaE;
  const hFe =
    ((Math.cos(gammaE) - Math.sin(gammaE) * Math.tan(alphaFe)) * de -
      z * Math.cos(Math.PI / 3 - theta) -
      root) /
    2;
  const YF = (6 * hFe * Math.cos(alphaFe)) / (sFn * sFn * Math.cos(alpha));
  const qs = sFn / (2 * rhoF);
  const YS = isoYS(sFn / hFe, qs);
  return { theta, sFn, rhoF, epsAlpha, alphaFe, hFe, YF, qs, YS, YFS: YF * YS };
}

/** ISO 6336-3 stress correction, 1 ≤ qs ≤ 8. */
export const isoYS = (L: number, qs: number): number => (1.2 + 0.13 * L) * qs ** (1 / (1.21 + 2.3 / L));
