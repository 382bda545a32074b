import { describe, expect, test } from "vitest";
import { assessOverRun, type OverRun, ringOutcome, type Uncounted } from "../../src/strength/index.ts";

const rad = (degrees: number) => (degrees * Math.PI) / 180;

describe("what becomes of the ring", () => {
  const outcome = (
    degrees: number,
    torque: number,
    pins: number | null,
    root: number | null = null,
    uncounted: Partial<NonNullable<OverRun["root"]>> = {},
    rootMissed = false,
  ) =>
    ringOutcome(
      assessOverRun(
        {
          rampAngle: rad(degrees),
          meanRadius: 27.5,
          springForce: 160,
          friction: [0.08, 0.2],
          spline: { radius: 17, pressureAngle: rad(30) },
          torque,
        },
        pins === null ? null : { low: pins, high: 1.2 * pins },
        root === null
          ? null
          : { mode: "fatigue", torque: { low: root, high: 2 * root }, vouched: true, ...uncounted },
        { rootMissed },
      ),
    );

  // 160 N on a ramp of 32°, hand-worked: 11.9 N·m at μ 0.08, 1080 N·m at μ 0.20
  test("a ring whose pins or root give before it clicks over is not said to let go", () => {
    expect(outcome(32, 1_242_000, null)).toBe("lets go");
    expect(outcome(32, 1_242_000, 2_000_000)).toBe("lets go");
    expect(outcome(32, 1_242_000, 498_000)).toBe("pins first at high μ");
    expect(outcome(32, 1_242_000, 498_000, 400_000)).toBe("root first at high μ");
    expect(outcome(32, 1_242_000, 10_000)).toBe("pins first");
    expect(outcome(8, 1_242_000, 327_000)).toBe("self-holding");
    expect(outcome(31, 1_242_000, 327_000)).toBe("depends on μ");
  });

  test("nor one of whose root nothing is known, or of which something may break before it lets go", () => {
    const [torque, root] = [1_242_000, 2_000_000];
    expect(outcome(32, torque, null, null, {}, true)).toBe("lets go if root holds");
    expect(outcome(8, torque, null, null, {}, true)).toBe("self-holding");
    const some = (uncounted: readonly Uncounted[], allowedTwist?: number) =>
      outcome(32, torque, null, root, {
        vouched: false,
        uncounted,
        ...(allowedTwist !== undefined && { allowedTwist }),
      });
    expect(some(["root fatigue"])).toBe("lets go if root holds");
    // a shaft vouched for in twist beyond the 1080 N·m that lift the ring has lifted it
    expect(some(["twist"], 1_100_000)).toBe("lets go");
    expect(some(["twist"], 1_000_000)).toBe("lets go if root holds");
    expect(some(["twist"])).toBe("lets go if root holds");
    expect(some(["twist", "root"], 1_100_000)).toBe("lets go if root holds");
  });

  test("nor one that needs more torque than over-running brings", () => {
    expect(outcome(32, 500_000, null)).toBe("depends on μ");
    expect(outcome(32, 10_000, null)).toBe("not at its torque");
  });
});
