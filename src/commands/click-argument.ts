// --click-to: where the click sounds. `auto` is sound where there is a sound device, else the click is seen only.

import type { ClickPort } from '../ports/click.ts';
import type { Problem } from '../problem.ts';
import { need, usage } from './usage-problem.ts';

export interface OutletOptions {
  readonly clickTo?: string;
  /** False where only lines are printed: nobody sees a click in them. */
  readonly isSeen?: boolean;
}

/** Outlets joined by `+`: "sound", "midi", "midi:PORT", "sound+midi:PORT"; alone: "off", "auto". */
export async function openClick(options: OutletOptions): Promise<ClickPort> {
  const { openWorkerClick, SilentClick } = await import('../devices/worker-click.ts');
  const wanted = options.clickTo ?? 'auto';
  if (wanted === 'off') {
    return unheard(
      new SilentClick(),
      'the click is off: start again with --click-to sound or --click-to midi:PORT',
    );
  }
  if (wanted === 'auto') {
    const opened = await openWorkerClick({ sound: 'default' });
    if (opened.ok) return opened.value;
    const why = whyUnheard(opened.problem);
    return Object.assign(unheard(new SilentClick(), why), {
      silence:
        options.isSeen === false
          ? `The click can neither be heard nor be seen in lines: ${why}.`
          : `The click is seen, not heard: ${why}.`,
    });
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

function unheard(click: ClickPort, why: string): ClickPort {
  return Object.assign(click, { unheard: `There is nothing to hear it with, ${why}.` });
}

function whyUnheard({ code }: Problem): string {
  const todo = 'start again with --click-to midi:PORT';
  return code === 'sound.missing'
    ? `the sound library is not installed: npm install --no-save node-web-audio-api@1, or ${todo}`
    : `no sound device was found: plug one in, or ${todo}`;
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
