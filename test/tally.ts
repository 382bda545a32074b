import type { Reporter, TestModule } from "vitest/node";

/** Ends a test run with one plain line, "N passed, N failed", that any script can read. */
export default class Tally implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    let passed = 0;
    let failed = 0;
    for (const module of modules) {
      if (module.state() === "failed" && module.errors().length > 0) failed++;
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state === "passed") passed++;
        else if (state === "failed") failed++;
      }
    }
    process.on("exit", () => console.log(`${passed} passed, ${failed} failed`));
  }
}
