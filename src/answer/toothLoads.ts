import type { Design } from "../design/index.ts";
import type { Outline } from "../geometry/index.ts";
import type { Mesh } from "../mesh/index.ts";
import type { ProfileOutline } from "../profile/index.ts";
import { type EdgeLoad, integrateSides, type Support, type Traction } from "../solver/index.ts";
import { NumericalError } from "./numericalError.ts";

/** The model that is solved: one repeating sector, or the whole ring made of `copies` of it. */
export interface Model {
  readonly kind: "sector" | "whole ring";
  readonly outline: Outline;
  readonly mesh: Mesh;
  readonly copies: number;
}

/** Loads and supports of a model, and the torque they stand for (whole part, N·mm). */
export interface ToothLoads {
  readonly loads: readonly EdgeLoad[];
  readonly supports: readonly Support[];
  readonly shockTorque: number;
  /** Largest torque on one tooth. */
  readonly perTooth: number;
  /** Contact pressure on the tooth that carries it, MPa. */
  readonly pressure: number;
  /** Torque of the flank tractions of all teeth, and of the reaction traction on the rim (0 where it is held). */
  readonly appliedTorque: number;
  readonly reactionTorque: number;
  /** Net force of unequal teeth, N, that the rim takes as a uniform traction beside the shear; 0 where there is none. */
  readonly thrust: number;
}

/** Edge `name` of tooth `k`: copies of a repeated outline carry their number. */
export function edgeOfTooth(model: Model, name: string, k: number): string {
  return model.kind === "sector" ? name : `${name}#${k}`;
}

/** Torque of each tooth of the model, N·mm. */
export function toothTorques({ profile, load }: Design): Float64Array {
  const shock = load.torque * load.shockFactor;
  if (load.sharing.mode === "share") return Float64Array.of(shock / (profile.teeth * load.sharing.fraction));
  return Float64Array.from(load.sharing.weights, (w) => shock * w);
}

/**
 * Puts a design's torque on its model: a uniform pressure (with friction, if any) on the contact band of each
 * loaded tooth, of the size that gives that tooth its torque on the meshed boundary itself, and the reaction on
 * the rim that balances it. Supports take away what rigid motion is left; since the loads balance they carry nothing.
 */
export function toothLoads(design: Design, built: ProfileOutline, model: Model): ToothLoads {
  const { profile, load } = design;
  const spline = profile.kind !== "face tooth";
  const thickness = profile.faceWidth;
  const body = { outline: model.outline, mesh: model.mesh, thickness };
  const lever = spline ? 1 : profile.meanDiameter / 2;
  /** Torque of a resultant, N·mm: its moment about the axis, or its force along the pitch line times the mean radius. */
  const torqueOf = (r: { fx: number; moment: number }) => (spline ? r.moment : -r.fx * lever);

  const torques = toothTorques(design);
  const unit = flankTraction(spline, profile, load.friction);
  const loads: EdgeLoad[] = [];
  let applied = 0;
  let worstPressure = 0;
  let mostTorque = 0;
  let fx = 0;
  let fy = 0;
  for (let k = 0; k < torques.length; k++) {
    if (torques[k] === 0) continue;
    const edges = built.contactEdges.map((name) => edgeOfTooth(model, name, k));
    const one = integrateSides(body, edges, unit);
    const sense = !spline && profile.loadedFlank === "over-run" ? -1 : 1;
    const perPressure = sense * torqueOf(one);
    if (!(perPressure > 0)) {
      throw new NumericalError(
        `pressure on the contact band makes no torque with a friction of ${load.friction}`,
        "use a smaller friction, or a flank that stands steeper",
      );
    }
    const pressure = torques[k] / perPressure;
    loads.push({ edges, traction: scaled(unit, pressure) });
    applied += pressure * torqueOf(one);
    fx += pressure * one.fx;
    fy += pressure * one.fy;
    if (torques[k] > mostTorque) {
      mostTorque = torques[k];
      worstPressure = pressure;
    }
  }

  const rim = built.reactionEdges.flatMap((name) =>
    Array.from({ length: model.copies }, (_, k) => edgeOfTooth(model, name, k)),
  );
  const whole = model.kind === "sector" ? built.sectors : 1;
  const common = {
    shockTorque: load.torque * load.shockFactor,
    perTooth: mostTorque,
    pressure: worstPressure,
    appliedTorque: applied * whole,
    thrust: model.kind === "whole ring" && spline && load.reaction !== "held" ? Math.hypot(fx, fy) : 0,
  };
  if (load.reaction === "held") {
    return { ...common, loads, supports: [{ edges: rim, u: 0, v: 0 }], reactionTorque: 0 };
  }

  if (!spline) {
    const length = integrateSides(body, rim, zero).length;
    const tx = -fx / (length * thickness);
    const ty = -fy / (length * thickness);
    loads.push({ edges: rim, traction: [tx, ty] });
    const reaction = torqueOf({ fx: -fx, moment: 0 });
    const supports: Support[] = [{ point: [0, -profile.baseThickness], u: 0, v: 0 }];
    return { ...common, loads, supports, reactionTorque: reaction * whole };
  }

  // a whole ring with unequal teeth also needs a force to stand against; a sector's cut sides give it that
  let reaction = 0;
  if (model.kind === "whole ring") {
    const length = integrateSides(body, rim, zero).length;
    const tx = -fx / (length * thickness);
    const ty = -fy / (length * thickness);
    loads.push({ edges: rim, traction: [tx, ty] });
    reaction = tx === 0 && ty === 0 ? 0 : integrateSides(body, rim, constant(tx, ty)).moment;
  }
  const shear = integrateSides(body, rim, hoop).moment;
  const tau = -(applied + reaction) / shear;
  loads.push({ edges: rim, traction: scaled(hoop, tau) });
  reaction += tau * shear;
  const R = profile.backDiameter / 2;
  const supports: Support[] =
    model.kind === "sector"
      ? [{ point: [R, 0], v: 0, polar: true }]
      : [
          { point: [R, 0], u: 0, v: 0, polar: true },
          { point: [-R, 0], v: 0, polar: true },
        ];
  return { ...common, loads, supports, reactionTorque: reaction * whole };
}

/** Pressure of 1 MPa with friction along the flank, positive friction dragging it towards the tooth's tip. */
function flankTraction(spline: boolean, profile: Design["profile"], friction: number): Traction {
  const outward = profile.kind === "internal spline" ? -1 : 1;
  return (x, y, nx, ny, out) => {
    out[0] = -nx;
    out[1] = -ny;
    if (friction === 0) return;
    const towardsTip = spline ? outward * (-ny * x + nx * y) : nx;
    const f = towardsTip >= 0 ? friction : -friction;
    out[0] += f * -ny;
    out[1] += f * nx;
  };
}

/** Unit traction in the hoop direction, counter-clockwise. */
const hoop: Traction = (x, y, _nx, _ny, out) => {
  const r = Math.hypot(x, y);
  out[0] = -y / r;
  out[1] = x / r;
};

const zero: Traction = (_x, _y, _nx, _ny, out) => {
  out[0] = 0;
  out[1] = 0;
};

function constant(tx: number, ty: number): Traction {
  return (_x, _y, _nx, _ny, out) => {
    out[0] = tx;
    out[1] = ty;
  };
}

function scaled(traction: Traction, by: number): Traction {
  return (x, y, nx, ny, out) => {
    traction(x, y, nx, ny, out);
    out[0] *= by;
    out[1] *= by;
  };
}
