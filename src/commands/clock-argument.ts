// --clock on the command line: a pulse shared with other machines over MIDI clock.

import { ClockSender } from '../devices/clock-sender.ts';
import type { PulsePort, PulseSource } from '../ports/pulse.ts';
import { need, usage } from './usage-problem.ts';

export type ClockChoice =
  | { readonly kind: 'send'; readonly port: string }
  | { readonly kind: 'follow'; readonly port: string };

/** @example readClock('send:drum') // { kind: 'send', port: 'drum' } */
export function readClock(text: string): ClockChoice {
  const [, kind, port] = /^(send|follow):(.+)$/.exec(text) ?? [];
  if (port === undefined || (kind !== 'send' && kind !== 'follow')) {
    throw usage(
      'option.clock',
      `Cannot use the clock "${text}": send:PORT or follow:PORT is needed`,
      'fettle ports lists the ports; a part of the name is enough.',
    );
  }
  return { kind, port };
}

/** Sends our clock to an output, by an outlet of its own: clicks and clocks may go to the same port or to two. */
export async function openClockSender(port: string): Promise<PulsePort> {
  const { openWorkerClick } = await import('../devices/worker-click.ts');
  return new ClockSender(need(await openWorkerClick({ midi: port })));
}

/** Another machine's clock. */
export async function openFollowedClock(port: string): Promise<PulseSource> {
  const { openClockSource } = await import('../devices/clock-source.ts');
  return need(await openClockSource(port));
}
