import type { ProfileKind } from "./keys.ts";

/** A part file to begin with, for each kind of profile: it runs as it is, and says what to change. */
export function starterPart(kind: ProfileKind): string {
  return STARTERS[kind];
}

const HEAD = `# A part file: what the part is, what loads it, and the variants to compare.
# Quantities carry their unit: mm or in, deg, N m or lbf ft, HRC. docs/part-file.md lists every key.
`;

const TAIL = `
load:
  torque: 690 N m            # working torque of the whole part; lbf ft works as well
  shock factor: 1.8          # 1 when the torque already holds the shock
  teeth sharing: 50 %        # how many of the teeth carry; or "one tooth", or loaded teeth: [1, 2, 9]

steel:                       # leave the section out to see stresses alone
  grade: 4340                # 4140, 4340, 300M, alloy steel, 8620 case …
  hardness: 38..42 HRC

strength:                    # what the part must stand; the required torque is torque × shock factor
  margin: 1.5                # wanted over it
  shocks: 10000
  # flaw depth: 0.05 mm      # a tool mark or quench crack in the root

`;

const OVER_RUN_SPLINE = `# over-run:                  # a ring that must let go when its shaft over-runs: docs/strength.md
#   ramp angle: 31 deg       # of the ramps that lift it off, from the axis
#   mean radius: 27.5 mm
#   spring force: 160 N      # all springs together
#   friction: 0.08..0.20     # a band; a verdict must hold at both its ends
# pins: { count: 3, diameter: 4 mm, radius: 22 mm, tensile strength: 1000..1200 MPa }

`;

const STARTERS: Readonly<Record<ProfileKind, string>> = {
  "internal spline": `${HEAD}part: Sliding ring, bore spline

profile:
  kind: internal spline
  teeth: 17
  module: 2 mm               # or pitch diameter: 34 mm, or diametral pitch: 12 /in
  pressure angle: 30 deg
  root form: flat            # which published root the diameters left out here are taken from
  # tip diameter: 32.272 mm  # left out, these two come from ISO 4156 (or ANSI B92.1)
  # root diameter: 37 mm
  rim diameter: 56 mm        # outside of the ring behind the teeth
  root radius: 0.1 mm        # what the cutter leaves; 0 is sharp, full is one arc across the root
  face width: 16 mm
${TAIL}${OVER_RUN_SPLINE}variants:                    # each changes only what it names
  - name: as cut
    note: Corner of a used square cutter.
  - name: sharp
    profile: { root radius: 0 }
  - name: fillet 0.4
    profile: { root radius: 0.4 mm }
  - name: fillet 0.8
    profile: { root form: fillet, root radius: 0.8 mm }

# Instead of variants, or beside them, a grid over the part above:
# sweep:
#   "profile.root radius": [0.2 mm, 0.4 mm, 0.6 mm]
#   "load.torque": [500 N m, 690 N m]
`,
  "external spline": `${HEAD}part: Axle stub

profile:
  kind: external spline
  teeth: 17
  module: 2 mm               # or pitch diameter: 34 mm, or diametral pitch: 12 /in
  pressure angle: 30 deg
  root form: flat            # which published root the diameters left out here are taken from
  # tip diameter: 36 mm      # left out, these two come from ISO 4156 (or ANSI B92.1)
  # root diameter: 31 mm
  bore diameter: 10 mm       # hole through the shaft
  root radius: 0.1 mm        # what the cutter leaves; 0 is sharp, full is one arc across the root
  face width: 16 mm
${TAIL}variants:                    # each changes only what it names
  - name: as cut
    note: Corner of a used square cutter.
  - name: sharp
    profile: { root radius: 0 }
  - name: fillet 0.4
    profile: { root radius: 0.4 mm }
  - name: fillet 0.8
    profile: { root form: fillet, root radius: 0.8 mm }

# Instead of variants, or beside them, a grid over the part above:
# sweep:
#   "profile.root radius": [0.2 mm, 0.4 mm, 0.6 mm]
#   "load.torque": [500 N m, 690 N m]
`,
  "face tooth": `${HEAD}part: Sliding ring, ramp teeth

profile:
  kind: face tooth
  teeth: 11
  outside diameter: 64 mm    # the tooth is unrolled halfway between the two
  inside diameter: 46 mm
  height: 4.5 mm
  back-cut: 2 deg            # drive flank leaning so as to hold in; from the part's axis
  ramp angle: 31 deg         # over-run flank, from the part's axis; 0 is square
  # tip land: 6.58 mm        # left out, the tooth is half the pitch wide at half its height
  tip chamfer: 0.3 mm
  # ring: kept flat          # where a hub, flange or seat does that; left out, it may dish like a cone spring
  root radius: 0.1 mm        # both sides; or drive root radius and over-run root radius
  loaded flank: drive        # or over-run
${TAIL}over-run:                    # does it let go? The ramp is the tooth's own over-run flank
  spring force: 160 N        # all springs together
  friction: 0.08..0.20       # a band; a verdict must hold at both its ends
  spline radius: 17 mm       # spline on which the ring slides; leave both out where it slides on none
  spline pressure angle: 30 deg

pins:                        # carry the torque while the ring does not let go; leave the section out without any
  count: 3
  diameter: 4 mm
  radius: 22 mm              # of the circle they stand on
  tensile strength: 1000..1200 MPa   # or shear strength

variants:                    # each changes only what it names
  - name: as cut
    note: Corner of a used square cutter.
  - name: sharp
    profile: { root radius: 0 }
  - name: fillet 0.5
    profile: { root radius: 0.5 mm }
  - name: fillet 1.0
    profile: { root radius: 1.0 mm }

# Instead of variants, or beside them, a grid over the part above:
# sweep:
#   "profile.root radius": [0.3 mm, 0.5 mm, 1.0 mm]
#   "profile.ramp angle": [23 deg, 31 deg]
`,
};
