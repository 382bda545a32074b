import { type CornerIntensity, cornerMeanOpening, cornerOpening } from "../../src/strength/index.ts";

interface AngledStress {
  readonly stress: number;
  /** rad from the corner's bisector. */
  readonly angle: number;
}

/**
 * Point and line criterion of a sharp corner by its asymptotic field alone, the worst angle sought among all that lie in the
 * material. Good while the distance is small against the part.
 */
export function asymptoticStress(
  corner: CornerIntensity,
  L: number,
): { point: AngledStress; line: AngledStress } {
  const limit = corner.materialAngle / 2;
  const seek = (value: (theta: number) => number): AngledStress => {
    const steps = 180;
    let best = 0;
    let most = -Infinity;
    for (let k = 0; k <= steps; k++) {
      const theta = -limit + (2 * limit * k) / steps;
      if (value(theta) > most) {
        most = value(theta);
        best = theta;
      }
    }
    const golden = (Math.sqrt(5) - 1) / 2;
    let low = Math.max(-limit, best - (2 * limit) / steps);
    let high = Math.min(limit, best + (2 * limit) / steps);
    while (high - low > 1e-7) {
      const a = high - golden * (high - low);
      const b = low + golden * (high - low);
      if (value(a) > value(b)) high = b;
      else low = a;
    }
    const angle = (low + high) / 2;
    return { stress: value(angle), angle };
  };
  const opening = cornerOpening(corner);
  const mean = cornerMeanOpening(corner);
  return { point: seek((t) => opening(L / 2, t)), line: seek((t) => mean(2 * L, t)) };
}
