/** Four-point Gauss–Legendre rule on 0 … 1, exact to degree 7; the weights add up to 1. */
export const GAUSS_POINTS: readonly number[] = [
  0.06943184420297371, 0.33000947820757187, 0.6699905217924281, 0.9305681557970262,
];
export const GAUSS_WEIGHTS: readonly number[] = [
  0.17392742256872692, 0.3260725774312731, 0.3260725774312731, 0.17392742256872692,
];
