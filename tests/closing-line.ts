import type { Reporter, TestModule } from 'vitest/node';

/** Prints one plain line at the end, `tests: N passed, N failed, N skipped`, which scripts can read without knowing the runner. */
export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const counts = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const state = test.result().state;
        if (state === 'passed') counts.passed++;
        else if (state === 'failed') counts.failed++;
        else counts.skipped++;
      }
      if (module.state() === 'failed' && module.children.size === 0) counts.failed++;
    }
    console.log(`tests: ${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
  }
}
