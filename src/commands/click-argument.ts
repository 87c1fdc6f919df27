// --click-to: where the click sounds.

import type { ClickPort } from '../ports/click.ts';
import type { Clock } from '../ports/clock.ts';

export interface OutletOptions {
  readonly clickTo?: string;
}

export async function openClick(options: OutletOptions, clock: Clock): Promise<ClickPort> {
  const { openClickOutlet } = await import('../devices/click-outlet.ts');
  return openClickOutlet(options.clickTo ?? 'auto', clock);
}
