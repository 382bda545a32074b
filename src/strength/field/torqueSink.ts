import type { PlaceSampler } from "./openingPath.ts";

/** A field less the shear σ_rθ = T/(2π b) (1/r² − 1/R²) of a torque on its way to the bore, within the radius R. */
export function withoutSink(
  { appliedTorque }: { readonly appliedTorque: number },
  faceWidth: number,
  radius: number,
  sampler: PlaceSampler,
): PlaceSampler {
  const ofTorque = appliedTorque / (2 * Math.PI * faceWidth);
  const outside = 1 / (radius * radius);
  return (place, out) => {
    if (!sampler(place, out)) return false;
    const [x, y] = place;
    const r2 = x * x + y * y;
    const shear = ofTorque * (1 / r2 - outside);
    if (shear * ofTorque <= 0) return true;
    // in the axes of the model
    const scaled = shear / r2;
    out[0] += 2 * x * y * scaled;
    out[1] -= 2 * x * y * scaled;
    out[2] -= (x * x - y * y) * scaled;
    return true;
  };
}
