// The driver's names are as measured with RtMidi 6 over ALSA; the instruments are invented.
import { describe, expect, it } from 'vitest';
import { bareName, findPort, namePorts } from '../../src/devices/port-name.ts';

const RAW = [
  'Midi Through:Midi Through Port-0 14:0',
  'Tidewrack keys:Tidewrack keys MIDI 1 24:0',
  'Tidewrack keys:Tidewrack keys MIDI 1 20:0',
  'Harbour reed:wind 28:0',
  'RtMidi Output Client:RtMidi Output 129:0',
];

describe('port names', () => {
  it('last: the numbers that change with every plug are left out', () => {
    expect(bareName('Tidewrack keys:Tidewrack keys MIDI 1 20:0')).toBe('Tidewrack keys MIDI 1');
    expect(bareName('Harbour reed:wind 28:0')).toBe('Harbour reed wind');
    expect(bareName('Harbour reed')).toBe('Harbour reed');
  });

  it('tell equal devices apart, in the order of their numbers, and leave our own ports out', () => {
    expect(namePorts(RAW).map((port) => port.name)).toEqual([
      'Midi Through Port-0',
      'Tidewrack keys MIDI 1 (2)',
      'Tidewrack keys MIDI 1',
      'Harbour reed wind',
    ]);
  });

  it('are found by a part of the name, whatever the capitals', () => {
    expect(findPort(namePorts(RAW), 'REED', 'input')).toMatchObject({ ok: true, value: { raw: RAW[3] } });
  });

  it('are found by the whole name even when it is a part of another', () => {
    expect(findPort(namePorts(RAW), 'tidewrack keys midi 1', 'input')).toMatchObject({
      ok: true,
      value: { raw: RAW[2] },
    });
  });

  it('are listed when the name fits several, none, or nothing is plugged in', () => {
    const several = findPort(namePorts(RAW), 'keys', 'input');
    expect(several).toMatchObject({ ok: false, problem: { code: 'port.ambiguous', exitStatus: 4 } });
    expect(!several.ok && several.problem.hint).toContain('"Tidewrack keys MIDI 1 (2)"');
    const none = findPort(namePorts(RAW), 'tuba', 'output');
    expect(none).toMatchObject({ ok: false, problem: { code: 'port.unknown' } });
    expect(!none.ok && none.problem.hint).toContain('"Harbour reed wind"');
    expect(findPort([], 'tuba', 'input')).toMatchObject({ ok: false, problem: { code: 'port.none' } });
  });
});
