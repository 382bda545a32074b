import { describe, expect, test } from "vitest";
import { assessOverRun, ringOutcome } from "../../src/strength/index.ts";

const rad = (degrees: number) => (degrees * Math.PI) / 180;

describe("what becomes of the ring", () => {
  const outcome = (degrees: number, torque: number, pins: number | null, root: number | null = null) =>
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
        root === null ? null : { mode: "fatigue", torque: { low: root, high: 2 * root }, vouched: true },
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

  test("nor one that needs more torque than over-running brings", () => {
    expect(outcome(32, 500_000, null)).toBe("depends on μ");
    expect(outcome(32, 10_000, null)).toBe("not at its torque");
  });
});
