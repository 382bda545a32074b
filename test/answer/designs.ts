import type { Design, Profile } from "../../src/design/index.ts";

/** A design round a profile: 690 N·m × 1.8 on half the teeth unless told otherwise. */
export function designOf(profile: Profile, changes: Partial<Design> = {}): Design {
  return {
    part: "test part",
    variant: "test",
    note: "",
    profile,
    load: {
      torque: 690_000,
      shockFactor: 1.8,
      sharing: { mode: "share", fraction: 0.5 },
      friction: 0,
      reaction: "uniform shear",
    },
    steel: null,
    material: { E: 205_000, nu: 0.29, state: "plane stress" },
    averagingDistance: 0.1,
    accuracy: 0.01,
    units: "metric",
    defaults: [],
    ...changes,
  };
}

/** Every length of a profile multiplied by `by`. */
export function scaleProfile(profile: Profile, by: number): Profile {
  const scaled = Object.entries(profile).map(([key, value]) => {
    if (key === "teeth" || key.endsWith("Angle")) return [key, value];
    if (typeof value === "number") return [key, value * by];
    if (Array.isArray(value)) return [key, value.map((v) => v * by)];
    return [key, value];
  });
  return Object.fromEntries(scaled) as Profile;
}
