// The runner's last line in plain words, `N passed, N failed, N skipped`: what a gate in any language can read.

import type { Reporter, TestModule } from 'vitest/node';

export default class ClosingLine implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const count = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const { state } = test.result();
        if (state !== 'pending') count[state]++;
      }
      // A file that could not be run at all is a failure of its own.
      if (module.state() === 'failed' && [...module.children.allTests()].length === 0) count.failed++;
    }
    const skipped = count.skipped > 0 ? `, ${count.skipped} skipped` : '';
    process.stdout.write(`\n${count.passed} passed, ${count.failed} failed${skipped}\n`);
  }
}
