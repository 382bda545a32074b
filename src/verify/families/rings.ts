import { arc, type Curve } from "../../geometry/index.ts";
import { firstPrincipal, vonMises } from "../../solver/index.ts";
import { type Case, type Family, within } from "../case.ts";
import {
  displacementAt,
  edgePeaks,
  heldFree,
  type Model,
  STEEL,
  solveQuestion,
  stressAt,
  toPolar,
} from "../model.ts";
import { ringSector } from "../outlines.ts";
import { referenceCases, referenceSection } from "../references.ts";

const SHARE = 0.002;
const FROM = "exact solution; 0.2 % is what this suite asks of its meshes (the reference allows 0.5 %)";

function lameCases(): Case[] {
  const { source } = referenceSection("elastic", "lame");
  return referenceCases("elastic", "lame").map(({ id, inputs, expected }) => {
    const { ri, ro, pi, po, r_mid } = inputs as Record<"ri" | "ro" | "pi" | "po" | "r_mid", number>;
    const peak = Math.max(Math.abs(expected["st_ri"]!), Math.abs(expected["sr_ri"]!));
    const q = (key: string, name: string, unit: string) => {
      const value = expected[key]!;
      return within(SHARE, name, unit, value, value === 0 ? peak : Math.abs(value));
    };
    return {
      id,
      title: `ring ${ri} to ${ro} mm, ${pi} MPa inside, ${po} MPa outside`,
      source,
      toleranceFrom: `${FROM}; zero radial stress is held against the peak`,
      expected: (["ri", "mid", "ro"] as const).flatMap((place) => {
        const r = place === "ri" ? ri : place === "ro" ? ro : r_mid;
        return [
          q(`sr_${place}`, `radial stress at r ${r}`, "MPa"),
          q(`st_${place}`, `hoop stress at r ${r}`, "MPa"),
          q(`u_${place}`, `radial displacement at r ${r}`, "mm"),
        ];
      }),
      run() {
        const model = solveQuestion({
          outline: ringSector(ri, ro, 0, Math.PI / 2),
          loads: [
            { edges: ["inner"], pressure: pi },
            { edges: ["outer"], pressure: po },
          ],
          supports: [
            { edges: ["start"], v: 0 },
            { edges: ["end"], u: 0 },
          ],
        });
        // a third of the way round, away from the symmetry cuts
        const a = Math.PI / 6;
        return {
          unknowns: model.unknowns,
          values: [ri, r_mid, ro].flatMap((r) => {
            const x = r * Math.cos(a);
            const y = r * Math.sin(a);
            const [sr, st] = toPolar(stressAt(model, x, y), x, y);
            const [u, v] = displacementAt(model, x, y);
            return [sr, st, u * Math.cos(a) + v * Math.sin(a)];
          }),
        };
      },
    };
  });
}

function torqueCases(): Case[] {
  const { source } = referenceSection("elastic", "ring-torque");
  return referenceCases("elastic", "ring-torque").map(({ id, inputs, expected }) => {
    const { ri, ro, t, T } = inputs as Record<"ri" | "ro" | "t" | "T", number>;
    const n = 8;
    return {
      id,
      title: `ring ${ri} to ${ro} mm, ${t} mm thick, ${T} N·mm, one of ${n} tied sectors, bore held`,
      source,
      toleranceFrom: FROM,
      expected: [
        within(SHARE, "shear at the bore", "MPa", expected["tau_ri"]!),
        within(SHARE, "shear at the rim", "MPa", expected["tau_ro"]!),
        within(SHARE, "von Mises at the bore", "MPa", expected["vonMises_ri"]!),
        within(SHARE, "first principal at the bore", "MPa", expected["tau_ri"]!),
        within(SHARE, "tangential displacement of the rim", "mm", expected["u_t_ro"]!),
        within(SHARE, "twist", "rad", expected["twist_rad"]!),
      ],
      run() {
        const angle = (2 * Math.PI) / n;
        const outline = {
          ...ringSector(ri, ro, 0, angle),
          ties: [{ leader: ["start"], follower: ["end"], motion: { angle, dx: 0, dy: 0 } }],
        };
        const shear = T / (2 * Math.PI * ro * ro * t);
        const model = solveQuestion({
          outline,
          thickness: t,
          loads: [
            {
              edges: ["outer"],
              traction: (_x, _y, nx, ny, out) => {
                out[0] = -shear * ny;
                out[1] = shear * nx;
              },
            },
          ],
          supports: [{ edges: ["inner"], u: 0, v: 0 }],
        });
        const a = angle / 3;
        const at = (r: number) => {
          const x = r * Math.cos(a);
          const y = r * Math.sin(a);
          const s = stressAt(model, x, y);
          const [u, v] = displacementAt(model, x, y);
          return { s, shear: toPolar(s, x, y)[2], ut: v * Math.cos(a) - u * Math.sin(a) };
        };
        const bore = at(ri);
        const rim = at(ro);
        return {
          unknowns: model.unknowns,
          values: [
            bore.shear,
            rim.shear,
            vonMises(...bore.s, STEEL),
            firstPrincipal(...bore.s),
            rim.ut,
            rim.ut / ro,
          ],
        };
      },
    };
  });
}

/** A ring with one groove on its bore: the nearest published relative of a spline root. */
function grooveCases(): Case[] {
  const { source } = referenceSection("notch", "ring-groove");
  return referenceCases("notch", "ring-groove").map(({ id, inputs, expected }) => {
    const { ri, ro, rg } = inputs as Record<"ri" | "ro" | "rg", number>;
    const torque = inputs["T_per_mm"];
    return {
      id,
      title:
        torque === undefined
          ? `ring ${ri} to ${ro} mm with one groove of radius ${rg} mm on the bore, ${inputs["q"]} MPa pulling the rim outward`
          : `the same ring under a torque of ${torque} N·mm a mm of thickness between rim and bore`,
      source: `${source} (three meshes, change below 0.01 %)`,
      toleranceFrom:
        "computed value good to 0.05 %; 1 % by the reference, 0.3 % asked here" +
        (torque === undefined
          ? ""
          : ". The shear on the bore, which skips the groove, leaves a force of 164 N a mm; the reference does not say what " +
            "takes it. Spread evenly over the rim, as here, it gives the reference's value; held at a point it does not"),
      expected: [
        within(0.003, "largest principal stress in the groove", "MPa", expected["peak"]!),
        ...(torque === undefined ? [] : [within(0.003, "smallest", "MPa", expected["min"]!)]),
      ],
      run() {
        const model = grooveModel(ri, ro, rg, inputs["q"] ?? 0, torque ?? 0);
        const { max, min } = edgePeaks(model, (e) => e.name === "groove");
        return {
          unknowns: model.unknowns,
          values: torque === undefined ? [max.stress] : [max.stress, min.stress],
        };
      },
    };
  });
}

function grooveModel(ri: number, ro: number, rg: number, q: number, torque: number): Model {
  const arcOf = (cx: number, radius: number, start: number, end: number): Curve =>
    arc(cx, 0, radius, start, end);
  const edge = (name: string, curve: Curve) => ({ name, zone: name, curve });
  const half = 2 * Math.asin(rg / (2 * ri));
  const x = ri * Math.cos(half);
  const y = ri * Math.sin(half);
  const turn = Math.atan2(y, x - ri);
  const outline = {
    loops: [
      [edge("outer", arcOf(0, ro, 0, 2 * Math.PI))],
      [edge("bore", arcOf(0, ri, 2 * Math.PI - half, half)), edge("groove", arcOf(ri, rg, turn, -turn))],
    ],
  };
  const outer = torque / (2 * Math.PI * ro * ro);
  const inner = torque / (ri * ri * (2 * Math.PI - 2 * half));
  // shear along an arc with a gap adds up to a force across the gap; the rim takes it, spread evenly
  const across = (-inner * 2 * y) / (2 * Math.PI * ro);
  return solveQuestion({
    outline,
    loads: [
      {
        edges: ["outer"],
        traction: (_x, _y, nx, ny, out) => {
          out[0] = q * nx - outer * ny;
          out[1] = q * ny + outer * nx + across;
        },
      },
      {
        // the bore's normal points at the axis: the tangent that turns the other way is +n turned a quarter
        edges: ["bore"],
        traction: (_x, _y, nx, ny, out) => {
          out[0] = -inner * ny;
          out[1] = inner * nx;
        },
      },
    ],
    supports: heldFree(outline),
    sources: [
      { x, y, size: rg / 200 },
      { x, y: -y, size: rg / 200 },
    ],
  });
}

export function rings(): Family {
  return {
    name: "rings",
    title: "Rings under pressure and torque",
    about:
      "Thick rings by Lamé on a quarter with two symmetry cuts; rings under torque on one of eight tied sectors with the bore " +
      "held; one whole ring with a groove on its bore, which is as near to a spline root as published values come.",
    cases: [...lameCases(), ...torqueCases(), ...grooveCases()],
  };
}
