// Active sensing's 300 ms: MIDI 1.0 Detailed Specification, Active Sensing.
import { beforeEach, describe, expect, it } from 'vitest';
import { InputKeeper, type InputReport, LOOK_MICROS } from '../../src/devices/input-keeper.ts';
import { SimulatedDriver } from './simulated-driver.ts';

const KEYS = 'Tidewrack keys:Tidewrack keys 20:0';

let driver: SimulatedDriver;
let reports: InputReport[];
let now: number;
let calendar: number;

function keep(raw = KEYS, isTaken: (raw: string) => boolean = () => false): InputKeeper {
  return new InputKeeper(raw, {
    driver,
    time: { monotonicMicros: () => now, calendarMicros: () => calendar },
    report: (report) => reports.push(report),
    isTaken,
  });
}

/** Lets time pass with a look every LOOK_MICROS. */
function pass(keeper: InputKeeper, micros: number): void {
  for (let left = micros; left > 0; left -= LOOK_MICROS) {
    now += LOOK_MICROS;
    calendar += LOOK_MICROS;
    keeper.look();
  }
}

const kinds = () => reports.map((report) => report.type);

beforeEach(() => {
  driver = new SimulatedDriver([KEYS, 'Harbour reed:wind 24:0']);
  reports = [];
  now = 7_000_000;
  calendar = 1_800_000_000_000_000;
});

describe('an input', () => {
  it('reports what is played with the driver’s intervals', () => {
    const keeper = keep();
    expect(keeper.open().ok).toBe(true);
    driver.play(KEYS, 3, [0x90, 60, 64]);
    now += 500_000;
    driver.play(KEYS, 0.25, [0x80, 60, 64]);
    expect(kinds()).toEqual(['message', 'message']);
    expect(reports[0]).toEqual({ type: 'message', at: 7_000_000, bytes: [0x90, 60, 64] });
    // The callback came 250 ms late; the anchor may have crept by 0.02 %.
    expect(Math.abs(reports[1]!.at - 7_250_000)).toBeLessThanOrEqual(50);
  });

  it('is lost within 2 s of being unplugged and taken up again when it returns under other numbers', () => {
    const keeper = keep();
    keeper.open();
    driver.unplug(KEYS);
    pass(keeper, 1_000_000);
    expect(reports).toEqual([
      { type: 'lost', at: expect.any(Number), reason: 'the instrument was unplugged' },
    ]);
    pass(keeper, 5_000_000);
    expect(kinds()).toEqual(['lost']);
    driver.plug('Tidewrack keys:Tidewrack keys 28:0');
    pass(keeper, 1_000_000);
    expect(kinds()).toEqual(['lost', 'found']);
    driver.play('Tidewrack keys:Tidewrack keys 28:0', -0.9, [0x90, 62, 64]);
    expect(reports.at(-1)).toEqual({ type: 'message', at: now, bytes: [0x90, 62, 64] });
    expect(driver.opened).toBe(2);
  });

  it('leaves the other of two equal devices to whom it belongs', () => {
    const other = 'Tidewrack keys:Tidewrack keys 24:0';
    driver.plug(other);
    const keeper = keep(KEYS, (raw) => raw === other);
    keeper.open();
    driver.unplug(KEYS);
    pass(keeper, 3_000_000);
    expect(kinds()).toEqual(['lost']);
  });

  it('is lost when active sensing has been heard and stops, and found with the next message', () => {
    const keeper = keep();
    keeper.open();
    for (let i = 0; i < 10; i += 1) {
      driver.play(KEYS, 0.3, [0xfe]);
      pass(keeper, 300_000);
    }
    expect(kinds()).toEqual([]);
    pass(keeper, 200_000);
    expect(kinds()).toEqual(['lost']);
    pass(keeper, 2_000_000);
    driver.play(KEYS, 2.2, [0x90, 60, 64]);
    expect(kinds()).toEqual(['lost', 'found', 'message']);
  });

  it('may be silent for as long as it likes when it never sent active sensing', () => {
    const keeper = keep();
    keeper.open();
    driver.play(KEYS, 0, [0x90, 60, 64]);
    pass(keeper, 60_000_000);
    expect(kinds()).toEqual(['message']);
  });

  it.each([
    ['the clock stood still while the calendar went on', 0],
    ['the process was stopped', 30_000_000],
  ])('is lost and taken up anew when %s', (_, monotonicMicros) => {
    const keeper = keep();
    keeper.open();
    now += monotonicMicros;
    calendar += 30_000_000;
    keeper.look();
    expect(reports).toEqual([{ type: 'lost', at: now, reason: expect.stringContaining('asleep') }]);
    pass(keeper, 1_000_000);
    expect(kinds()).toEqual(['lost', 'found']);
    expect(driver.opened).toBe(2);
  });

  it('does not mistake a busy second for sleep', () => {
    const keeper = keep();
    keeper.open();
    now += 1_500_000;
    calendar += 1_500_000;
    keeper.look();
    pass(keeper, 1_000_000);
    expect(kinds()).toEqual([]);
  });
});
