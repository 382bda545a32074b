import { fromPolar, type StressField } from "../model.ts";

/** Thick ring, inner pressure pi, outer po, MPa: Lamé 1852; Timoshenko & Goodier art. 28. */
export function lame(ri: number, ro: number, pi: number, po: number): StressField {
  const d = ro * ro - ri * ri;
  const A = (pi * ri * ri - po * ro * ro) / d;
  const B = ((pi - po) * ri * ri * ro * ro) / d;
  return (x, y, out) => {
    const r2 = x * x + y * y;
    fromPolar(A - B / r2, A + B / r2, 0, x, y, out);
  };
}

/** Curved bar a < r < b bent by couples M, N·mm a mm of thickness: Golovin 1881; Timoshenko & Goodier art. 29. */
export function curvedBarMoment(a: number, b: number, M: number): StressField {
  const a2 = a * a;
  const b2 = b * b;
  const log = Math.log(b / a);
  const N = (b2 - a2) ** 2 - 4 * a2 * b2 * log * log;
  return (x, y, out) => {
    const r = Math.hypot(x, y);
    const bent = ((a2 * b2) / (r * r)) * log;
    const rest = b2 * Math.log(r / b) + a2 * Math.log(a / r);
    fromPolar(((-4 * M) / N) * (bent + rest), ((-4 * M) / N) * (-bent + rest + b2 - a2), 0, x, y, out);
  };
}

/** Curved bar with a radial force P on the face θ = 0, N a mm of thickness: Timoshenko & Goodier art. 33. */
export function curvedBarShear(a: number, b: number, P: number): StressField {
  const a2 = a * a;
  const b2 = b * b;
  const N = a2 - b2 + (a2 + b2) * Math.log(b / a);
  return (x, y, out) => {
    const r = Math.hypot(x, y);
    const far = (a2 * b2) / r ** 3;
    const near = (a2 + b2) / r;
    fromPolar(
      (P / N) * (r + far - near) * (y / r),
      (P / N) * (3 * r - far - near) * (y / r),
      (-P / N) * (r + far - near) * (x / r),
      x,
      y,
      out,
    );
  };
}

/** Strip −c ≤ y ≤ c with parabolic end shear P at x = 0: Timoshenko & Goodier art. 21. */
export function cantilever(c: number, t: number, P: number): StressField {
  const I = (2 * c ** 3 * t) / 3;
  return (x, y, out) => {
    out[0] = (-P * x * y) / I;
    out[1] = 0;
    out[2] = (-P * (c * c - y * y)) / (2 * I);
  };
}

/** Half-plane y < 0 under pressure p on |x| ≤ a: Michell; Timoshenko & Goodier art. 37. */
export function stripLoad(p: number, a: number): StressField {
  return (x, y, out) => {
    const t1 = Math.atan2(x + a, -y);
    const t2 = Math.atan2(x - a, -y);
    const wide = t1 - t2;
    const s = (Math.sin(2 * t1) - Math.sin(2 * t2)) / 2;
    out[0] = (-p / Math.PI) * (wide - s);
    out[1] = (-p / Math.PI) * (wide + s);
    out[2] = (p / (2 * Math.PI)) * (Math.cos(2 * t2) - Math.cos(2 * t1));
  };
}

/**
 * Wedge |θ| ≤ half about +x, its apex at the origin under a force P (N a mm of thickness) along −x … +x: `along` for a force
 * towards +x (pushing into the wedge), else across it, towards +y. Flamant 1892; Timoshenko & Goodier arts. 36, 38.
 */
export function wedgeForce(P: number, half: number, direction: "along" | "across"): StressField {
  const k = direction === "along" ? P / (half + Math.sin(2 * half) / 2) : P / (half - Math.sin(2 * half) / 2);
  return (x, y, out) => {
    const r2 = x * x + y * y;
    // cos of the angle from the force's line, over r
    const sr = (-k * (direction === "along" ? x : y)) / r2;
    fromPolar(sr, 0, 0, x, y, out);
  };
}

/** Disc of diameter D and thickness t squeezed by forces P at (0, ±D/2): Hertz, Michell; Timoshenko & Goodier art. 41. */
export function disc(D: number, t: number, P: number): StressField {
  const R = D / 2;
  const k = (2 * P) / (Math.PI * t);
  return (x, y, out) => {
    out[0] = k / D;
    out[1] = k / D;
    out[2] = 0;
    for (const side of [1, -1]) {
      const dy = y - side * R;
      const r2 = x * x + dy * dy;
      // σr = −k cos θ / r, θ from the line of the force
      const sr = (-k * (-side * dy)) / r2 / r2;
      out[0] += sr * x * x;
      out[1] += sr * dy * dy;
      out[2] += sr * x * dy;
    }
  };
}
