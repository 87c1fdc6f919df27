// --click-to: where the click sounds. `auto` is sound where there is a sound device, else the click is seen only.

import type { ClickPort } from '../ports/click.ts';
import { need, usage } from './passage-argument.ts';

export interface OutletOptions {
  readonly clickTo?: string;
}

/** Outlets joined by `+`: "sound", "midi", "midi:PORT", "sound+midi:PORT"; alone: "off", "auto". */
export async function openClick(options: OutletOptions): Promise<ClickPort> {
  const { openWorkerClick, SilentClick } = await import('../devices/worker-click.ts');
  const wanted = options.clickTo ?? 'auto';
  if (wanted === 'off') return new SilentClick();
  if (wanted === 'auto') {
    const opened = await openWorkerClick({ sound: 'default' });
    return opened.ok ? opened.value : new SilentClick();
  }
  let sound = false;
  let midi: string | undefined;
  for (const outlet of wanted.split('+')) {
    const [kind, port] = /^(midi):(.*)$/.exec(outlet)?.slice(1) ?? [outlet];
    if (kind === 'sound') sound = true;
    else if (kind === 'midi') midi = port ?? (await onlyOutput());
    else
      throw usage(
        'option.click',
        `Cannot sound the click to "${outlet}": it goes to sound, midi:PORT, both with a +, or off`,
      );
  }
  return need(
    await openWorkerClick({
      ...(sound ? { sound: 'default' as const } : {}),
      ...(midi === undefined ? {} : { midi }),
    }),
  );
}

async function onlyOutput(): Promise<string> {
  const { listOutputs } = await import('../devices/midi-ports.ts');
  const names = need(await listOutputs());
  if (names.length === 1) return names[0]!;
  const there = names.length === 0 ? 'there is none' : `there are ${names.join(', ')}`;
  throw usage(
    'option.click',
    `Cannot choose a MIDI output for the click: ${there}`,
    names.length > 0 ? 'Name one: --click-to "midi:part of its name".' : undefined,
  );
}
