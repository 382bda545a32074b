import type { VariantField } from "../../src/answer/result.ts";
import type { Design } from "../../src/design/index.ts";
import { outlineDiagonal } from "../../src/geometry/index.ts";
import { meshOutline, outlineSize } from "../../src/mesh/index.ts";
import { buildProfile, type ProfileOutline } from "../../src/profile/index.ts";

/**
 * A real sector outline and mesh carrying a made-up field that peaks at the loaded root: for tests of drawing,
 * which need true shapes but no solver. At a corner of radius R it grows like 1/√(distance + R).
 */
export function realSector(design: Design): {
  field: VariantField;
  profile: ProfileOutline;
  peak: [number, number];
} {
  const profile = buildProfile(design.profile);
  const { outline } = profile;
  const size = outlineDiagonal(outline);
  const corner = profile.corners.find((c) => c.side === "loaded")!;
  const mesh = meshOutline(outline, {
    size: outlineSize(outline, {
      base: size / 25,
      sources: corner.radius === 0 ? [{ x: corner.x, y: corner.y, size: 1e-3 }] : [],
    }),
  });
  const stress = new Float64Array((mesh.xy.length / 2) * 3);
  const cx = corner.x;
  const cy = corner.y;
  const names = outline.loops.flat().map((edge) => edge.name);
  const onFillet = new Set<number>();
  for (let b = 0; b < mesh.sideElement.length; b++) {
    if (!corner.edges.includes(names[mesh.sideEdge[b]!]!)) continue;
    const e = 6 * mesh.sideElement[b]!;
    const local = mesh.sideLocal[b]!;
    for (const a of [local, 3 + local, (local + 1) % 3]) onFillet.add(mesh.elements[e + a]!);
  }
  let peak: [number, number] = [corner.x, corner.y];
  let most = -1;
  for (let i = 0; 2 * i < mesh.xy.length; i++) {
    const x = mesh.xy[2 * i]!;
    const y = mesh.xy[2 * i + 1]!;
    const d = Math.hypot(x - cx, y - cy);
    const s =
      520 *
      Math.sqrt((0.12 * size) / (d + 0.2 * corner.radius + 1e-6)) *
      (1 + 0.3 * Math.cos(3 * Math.atan2(y - cy, x - cx)));
    stress[3 * i] = s;
    stress[3 * i + 1] = 0.1 * s;
    if (s > most && corner.radius > 0 && onFillet.has(i)) {
      most = s;
      peak = [x, y];
    }
  }
  return { field: { outline, mesh, stress }, profile, peak };
}
