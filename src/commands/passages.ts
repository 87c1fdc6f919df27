// `fettle passages`: the bundled ones.

import { beatTicks } from '../music/meter.ts';
import { bundledNames } from './bundled-passages.ts';
import { loadPassage } from './passage-argument.ts';
import { print } from './print.ts';

export async function passages(): Promise<void> {
  for (const name of bundledNames()) {
    const passage = await loadPassage(name, {});
    const bar = passage.bars.find((one) => !one.pickup) ?? passage.bars[0]!;
    const beat = beatTicks(bar.meter) === passage.tempo.beatTicks ? '' : ' (another beat)';
    print(
      `${name.padEnd(12)} ${passage.title}: ${passage.parts.map((part) => part.instrument).join(', ')}, ${bar.meter.count}/${bar.meter.unit}, ${passage.bars.length} bars, ${passage.onsets.length} onsets, goal ${passage.tempo.bpm} a minute${beat}`,
    );
  }
  print(
    '\nfettle show NAME draws one; fettle work NAME works on it. passages/README.md tells what is hard in each.',
  );
}
