/** a polynomial c0 + c1 x + c2 x² + …. */
const poly = (x: number, c: readonly number[]): number => c.reduceRight((sum, k) => sum * x + k, 0);
/** Coefficient C = c0 + c1 √y + c2 y of a four-term fit. */
type Row = readonly [number, number, number];
const fourTerms = (x: number, y: number, rows: readonly Row[]): number =>
  poly(
    x,
    rows.map(([c0, c1, c2]) => c0 + c1 * Math.sqrt(y) + c2 * y),
  );

/** A fit in x and y. */
type Fit = (x: number, y: number) => number;

/** Handbook fits by the names of the reference's sections; x = 2t/H or t/H, y = t/r, as each chart defines them. */
export const chartFormulas: Readonly<Record<string, { readonly chart: Fit; readonly roark?: Fit }>> = {
  "opposite-U-tension": {
    chart: (x: number, y: number) =>
      y === 1
        ? poly(x, [3.065, -3.472, 1.009, 0.405])
        : y < 2
          ? fourTerms(x, y, [
              [0.955, 2.169, -0.081],
              [-1.557, -4.046, 1.032],
              [4.013, 0.424, -0.748],
              [-2.461, 1.538, -0.236],
            ])
          : fourTerms(x, y, [
              [1.037, 1.991, 0.002],
              [-1.886, -2.181, -0.048],
              [0.649, 1.086, 0.142],
              [1.218, -0.922, -0.086],
            ]),
    roark: (x: number, y: number) =>
      y <= 2
        ? fourTerms(x, y, [
            [0.85, 2.628, -0.413],
            [-1.119, -4.826, 2.575],
            [3.563, -0.514, -2.402],
            [-2.294, 2.713, 0.24],
          ])
        : fourTerms(x, y, [
            [0.833, 2.069, -0.009],
            [2.732, -4.157, 0.176],
            [-8.859, 5.327, -0.32],
            [6.294, -3.239, 0.154],
          ]),
  },
  "opposite-U-bending": {
    chart: (x: number, y: number) =>
      y === 1
        ? poly(x, [3.065, -6.637, 8.229, -3.636])
        : y < 2
          ? fourTerms(x, y, [
              [1.024, 2.092, -0.051],
              [-0.63, -7.194, 1.288],
              [2.117, 8.574, -2.16],
              [-1.42, -3.494, 0.932],
            ])
          : fourTerms(x, y, [
              [1.113, 1.957, 0],
              [-2.579, -4.017, -0.013],
              [4.1, 3.922, 0.083],
              [-1.528, -1.893, -0.066],
            ]),
  },
  "single-U-tension-centred": {
    chart: (x: number, y: number) =>
      y === 1
        ? poly(x, [3.065, -8.871, 14.036, -7.219])
        : y < 2
          ? fourTerms(x, y, [
              [0.907, 2.125, 0.023],
              [0.71, -11.289, 1.708],
              [-0.672, 18.754, -4.046],
              [0.175, -9.759, 2.365],
            ])
          : fourTerms(x, y, [
              [0.953, 2.136, -0.005],
              [-3.255, -6.281, 0.068],
              [8.203, 6.893, 0.064],
              [-4.851, -2.793, -0.128],
            ]),
  },
  "single-U-bending": {
    chart: (x: number, y: number) =>
      y === 1
        ? poly(x, [3.065, -6.643, 8.585, -4.004])
        : y < 2
          ? poly(x, [
              1.795 + 1.481 * y - 0.211 * y * y,
              -3.544 - 3.677 * y + 0.578 * y * y,
              5.459 + 3.691 * y - 0.565 * y * y,
              -2.678 - 1.531 * y + 0.205 * y * y,
            ])
          : poly(x, [
              2.966 + 0.502 * y - 0.009 * y * y,
              -6.475 - 1.126 * y + 0.019 * y * y,
              8.023 + 1.253 * y - 0.02 * y * y,
              -3.572 - 0.634 * y + 0.01 * y * y,
            ]),
  },
  "shoulder-tension": {
    chart: (x: number, y: number) =>
      y <= 2
        ? fourTerms(x, y, [
            [1.006, 1.008, -0.044],
            [-0.115, -0.584, 0.315],
            [0.245, -1.006, -0.257],
            [-0.135, 0.582, -0.017],
          ])
        : fourTerms(x, y, [
            [1.02, 1.009, -0.048],
            [-0.065, -0.165, -0.007],
            [-3.459, 1.266, -0.016],
            [3.505, -2.109, 0.069],
          ]),
  },
  "shoulder-bending": {
    chart: (x: number, y: number) =>
      y <= 2
        ? fourTerms(x, y, [
            [1.006, 0.967, 0.013],
            [-0.27, -2.372, 0.708],
            [0.662, 1.157, -0.908],
            [-0.405, 0.249, 0.2],
          ])
        : fourTerms(x, y, [
            [1.058, 1.002, -0.038],
            [-3.652, 1.639, -0.436],
            [6.17, -5.687, 1.175],
            [-2.558, 3.046, -0.701],
          ]),
    roark: (x: number, y: number) =>
      y <= 2
        ? fourTerms(x, y, [
            [1.007, 1, -0.031],
            [-0.27, -2.404, 0.749],
            [0.677, 1.133, -0.904],
            [-0.414, 0.271, 0.186],
          ])
        : fourTerms(x, y, [
            [1.042, 0.982, -0.036],
            [-3.599, 1.619, -0.431],
            [6.084, -5.607, 1.158],
            [-2.527, 3.006, -0.691],
          ]),
  },
};

/** Central hole, net: Peterson chart 4.1; Heywood; Roark Table 17.1. q = d/H. */
export const centralHole = {
  chart: (q: number) => poly(1 - q, [2, 0.284, -0.6, 1.32]),
  heywood: (q: number) => 2 + (1 - q) ** 3,
  roark: (q: number) => poly(q, [3, -3.13, 3.66, -1.53]),
};

/** Hole near the edge of a half-plane, gross: Peterson chart 4.2. q = a/c. */
export const holeNearEdge = (q: number): number =>
  poly(q, [3.0004, 0.083503, 7.3417, -38.046, 106.037, -130.133, 65.065]);

/** Off-centre hole in a strip, net: Peterson chart 4.3; and the nominal over the remote stress it stands on. */
export const offCentreHole = {
  chart: (H: number, c: number, a: number) => {
    const x = c / (H - c);
    return poly(a / c, [2.989 - 0.0064 * x, -2.872 + 0.095 * x, 2.348 + 0.196 * x]);
  },
  nominal: (H: number, c: number, a: number) => {
    const w = Math.sqrt(1 - (a / c) ** 2);
    return ((w / (1 - a / c)) * (1 - c / H)) / (1 - (c / H) * (2 - w));
  },
};

/** Deep narrow notch in the edge of a half-plane, gross: Peterson chart 2.2. */
export const semiInfiniteNotch = (tOverR: number): number =>
  tOverR === 1 ? 3.065 : 0.855 + 2.21 * Math.sqrt(tOverR);
