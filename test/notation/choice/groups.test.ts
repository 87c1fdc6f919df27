import { describe, expect, it } from 'vitest';
import { meterText } from '../../../src/music/meter.ts';
import { withGroups } from '../../../src/notation/choice/groups.ts';
import { line } from '../../drills/line.ts';

const seven = line('C4 D4 E4 F4 G4 A4 B4 C5', { meter: { count: 7, unit: 8 } });

describe('groups that the player chose', () => {
  it('are those of the bars with as many units', () => {
    const [bar] = seven.bars;
    const five = {
      ...bar!,
      number: 3,
      startTick: 70_560,
      durationTicks: 25_200,
      meter: { count: 5, unit: 8 },
    };
    const mixed = { ...seven, bars: [...seven.bars, five] };
    expect(meters(mixed, '3+2+2')).toEqual(['3+2+2/8', '3+2+2/8', '5/8']);
    expect(meters(mixed, '3+2+2, 3+2')).toEqual(['3+2+2/8', '3+2+2/8', '3+2/8']);
  });

  it('leave the passage as it is where its beats are these anyway', () => {
    const chosen = withGroups(seven, '2+2+3');
    expect(chosen.ok && chosen.value).toEqual(seven);
  });

  it.each(['', '7', '2+', '0+7', '2+2+3,', 'two+five', '2,5'])('are refused as "%s"', (text) => {
    expect(withGroups(seven, text)).toMatchObject({
      ok: false,
      problem: { code: 'option.groups', exitStatus: 2 },
    });
  });

  it('are taken for quarters too, where each is a beat of its own', () => {
    const quarters = line('C4 D4 E4 F4', { meter: { count: 5, unit: 4 } });
    expect(meters(quarters, '3+2')).toEqual(['3+2/4']);
  });

  it('are refused where no bar has as many beats or eighths', () => {
    expect(withGroups(seven, '2+3')).toMatchObject({ ok: false });
  });
});

function meters(passage: typeof seven, text: string): string[] {
  const chosen = withGroups(passage, text);
  return chosen.ok ? chosen.value.bars.map(({ meter }) => meterText(meter)) : [];
}
