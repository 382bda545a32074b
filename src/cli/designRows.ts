import {
  type Design,
  formatAngle,
  formatForce,
  formatLength,
  formatModulus,
  formatPercent,
  formatStress,
  formatTorque,
  significant,
} from "../design/index.ts";

/** A design as words of the part file with their resolved values, in the order a part file has them. */
export function designRows({
  profile,
  load,
  steel,
  strength,
  material,
  overRun,
  pins,
  units,
}: Design): [key: string, value: string][] {
  const length = (mm: number) => formatLength(mm, units);
  const radius = (r: number | "full") => (r === "full" ? "full" : r === 0 ? "0, sharp" : length(r));
  const rows: [string, string][] = [["teeth", String(profile.teeth)]];
  if (profile.kind === "face tooth") {
    rows.push(
      ["mean diameter", length(profile.meanDiameter)],
      ["height", length(profile.height)],
      ["drive flank angle", formatAngle(profile.driveAngle)],
      ["over-run flank angle", formatAngle(profile.overrunAngle)],
      ["tip land", length(profile.tipLand)],
      ["drive root radius", radius(profile.driveRootRadius)],
      ["over-run root radius", radius(profile.overrunRootRadius)],
      ["base thickness", length(profile.baseThickness)],
      ["ring", profile.keptFlat ? "kept flat" : "free to dish"],
      ["loaded flank", profile.loadedFlank],
    );
  } else {
    rows.push(
      ["flank", profile.flank.form],
      ...(profile.flank.form === "involute"
        ? ([
            ["pressure angle", formatAngle(profile.flank.pressureAngle)],
            ["module", length(profile.module)],
          ] as [string, string][])
        : ([["flank angle", formatAngle(profile.flank.angle)]] as [string, string][])),
      ["pitch diameter", length(profile.pitchDiameter)],
      ["tooth thickness", length(profile.toothThickness)],
      ["tip diameter", length(profile.tipDiameter)],
      ["root diameter", length(profile.rootDiameter)],
      [profile.kind === "internal spline" ? "rim diameter" : "bore diameter", length(profile.backDiameter)],
      ["root radius", radius(profile.rootRadius)],
    );
  }
  if (overRun && profile.kind !== "face tooth") rows.push(["ramp angle", formatAngle(overRun.rampAngle)]);
  rows.push(
    ["tip chamfer", profile.tipChamfer === 0 ? "none" : length(profile.tipChamfer)],
    ["face width", length(profile.faceWidth)],
    ["contact", `${length(profile.contact[0])} to ${length(profile.contact[1])}`],
    ["torque", formatTorque(load.torque, units)],
    ["shock factor", significant(load.shockFactor)],
    load.sharing.mode === "share"
      ? ["teeth sharing", formatPercent(load.sharing.fraction)]
      : load.sharing.worstOf !== undefined
        ? ["teeth sharing", `${formatPercent(load.sharing.worstOf)}, the worst choice`]
        : ["tooth loads", toothLoads(load.sharing.weights)],
    [
      "friction",
      [...(load.frictionLow === undefined ? [] : [load.frictionLow]), load.friction]
        .map(significant)
        .join(" and "),
    ],
    ["reaction", load.reaction],
    ["steel", steel ? `${steel.grade}, ${steel.hardnessText}` : "none named"],
    ...(steel?.core
      ? ([
          ["core hardness", steel.core.hardnessText],
          ["case depth", steel.core.caseDepthText || "not given"],
        ] as [string, string][])
      : []),
    ...(strength
      ? ([
          ["required torque", formatTorque(strength.requiredTorque, units)],
          ["margin", significant(strength.margin)],
          ["shocks", significant(strength.shocks)],
          ["torque ratio", significant(strength.torqueRatio)],
          ["finish", strength.finish],
          ["peened", strength.peened ? "yes" : "no"],
          ["flaw depth", strength.flawDepth === 0 ? "none" : length(strength.flawDepth)],
          ["tolerance", `± ${significant(strength.tolerance)} HRC`],
          ["distribution factor", significant(strength.distributionFactor)],
        ] as [string, string][])
      : []),
    ["modulus", formatModulus(material.E, units)],
    ["poisson", significant(material.nu)],
    ["state", material.state],
  );
  if (overRun) {
    const { friction, meanRadius, spline, springForce, torque } = overRun;
    const band = friction[0] === friction[1] ? [friction[0]] : friction;
    rows.push(
      ["mean radius of the ramps", length(meanRadius)],
      ["spring force", formatForce(springForce, units)],
      ["over-run friction", band.map((mu) => significant(mu, 2)).join("..")],
      [
        "sliding spline",
        spline ? `R ${length(spline.radius)}, ${formatAngle(spline.pressureAngle)}` : "none",
      ],
      ["over-run torque", formatTorque(torque, units)],
    );
  }
  if (pins) {
    const [low, high] = pins.shearStrength;
    const strength = low === high ? "" : `${formatStress(low, units)} to `;
    rows.push(
      ["pins", `${pins.count} × Ø ${length(pins.diameter)} on R ${length(pins.radius)}`],
      ["shear planes", String(pins.planes)],
      ["shear strength of pins", strength + formatStress(high, units)],
    );
  }
  return rows;
}

/** "3 of 17 teeth: 1: 50 %, 2: 30 %, 9: 20 %" */
function toothLoads(weights: readonly number[]): string {
  const loaded = weights.flatMap((w, k) => (w === 0 ? [] : [`${k + 1}: ${formatPercent(w)}`]));
  const shown = loaded.length > 6 ? [...loaded.slice(0, 5), "…"] : loaded;
  return `${loaded.length} of ${weights.length} teeth: ${shown.join(", ")}`;
}
