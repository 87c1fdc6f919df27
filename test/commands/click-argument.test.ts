import { describe, expect, it, vi } from 'vitest';
import { openClick } from '../../src/commands/click-argument.ts';
import { EXIT, fail } from '../../src/problem.ts';

// A machine without a sound device.
vi.mock('../../src/devices/worker-click.ts', () => ({
  openWorkerClick: async () =>
    fail({ code: 'sound.device', message: 'Cannot sound the click', exitStatus: EXIT.device }),
  SilentClick: class {},
}));

describe('a click that cannot be heard', () => {
  it('is seen on the screen', async () => {
    expect((await openClick({ isSeen: true })).silence).toMatch(/^The click is seen, not heard: no sound/);
  });

  it('is not said to be seen where only lines are printed', async () => {
    expect((await openClick({ isSeen: false })).silence).toMatch(
      /^The click can neither be heard nor be seen in lines: no sound device was found: plug one in, or/,
    );
  });
});
