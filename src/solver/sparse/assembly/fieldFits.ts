import { FieldFit } from "../../recovery/fieldFit";

/** The calls of `recovery/fieldFitting.ts` on a fit in this memory. */
export function newFieldFit(): FieldFit {
  return new FieldFit();
}

export function startFieldFit(fit: FieldFit, kappa: f64): void {
  fit.start(kappa);
}

export function fitField(fit: FieldFit, most: i32, points: i32, rows: i32, f: f64): void {
  fit.fit(most, points, rows, f);
}

export function fittedStresses(fit: FieldFit, count: i32): void {
  fit.stresses(count);
}

export function fittedDisplacements(fit: FieldFit, count: i32): void {
  fit.displacements(count);
}

export function startWeights(fit: FieldFit): void {
  fit.startWeights();
}

export function addWeights(fit: FieldFit, x: f64, y: f64, g0: f64, g1: f64, g2: f64): void {
  fit.addWeights(x, y, g0, g1, g2);
}

export function weightedLoad(fit: FieldFit, points: i32, f: f64): void {
  fit.weightedLoad(points, f);
}
