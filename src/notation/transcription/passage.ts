// From quantised onsets to a passage: what `fettle capture` shows and saves. Bars of rest before the first note are
// dropped; a beginning past the middle of its bar is a pickup, one before its first downbeat always.

import { INSTRUMENTS, type InstrumentName, playsChords } from '../../music/instrument.ts';
import { barTicks, beatTicks, type Meter } from '../../music/meter.ts';
import type { Mode, Passage } from '../../music/passage.ts';
import type { Tempo } from '../../music/tempo.ts';
import { EXIT, fail, ok, type Result } from '../../problem.ts';
import { barsOf, MOST_BARS } from '../draft/meter-bars.ts';
import { buildPassage } from '../draft/passage-builder.ts';
import { draftOf, type SoundingNote } from '../draft/sounding-score.ts';
import { IssueList } from '../reading.ts';
import type { QuantisedOnset } from './quantise.ts';

export interface CaptureHeading {
  readonly name: string;
  readonly title: string;
  readonly tempo: Tempo;
  readonly meter: Meter;
  readonly instrument: InstrumentName;
  /** The key signature as the player reads it. */
  readonly key?: { readonly fifths: number; readonly mode: Mode };
}

/** Pitches are sounding; names are as the player of the instrument reads them. No notes are a problem. */
export function passageFromCapture(
  onsets: readonly QuantisedOnset[],
  heading: CaptureHeading,
): Result<Passage> {
  const { meter, instrument, tempo, name, title } = heading;
  const first = onsets[0]?.tick;
  if (first === undefined) {
    return fail({
      code: 'capture.silent',
      message: 'Cannot make a passage: nothing was played',
      hint: 'Check that the instrument is the input that is listened to: fettle ports.',
      exitStatus: EXIT.usage,
    });
  }
  const whole = barTicks(meter);
  const beat = beatTicks(meter);
  // The bar in which it begins, and where in it.
  const barStart = Math.floor(first / whole) * whole;
  const inBar = Math.floor((first - barStart) / beat) * beat;
  const isPickup = inBar > 0 && (2 * inBar >= whole || barStart < 0);
  const start = isPickup ? barStart + inBar : barStart;
  const pickupTicks = isPickup ? whole - inBar : 0;
  const monophonic = !playsChords(instrument);
  const notes: SoundingNote[] = onsets.flatMap(({ tick, notes: own }, i) =>
    own.map(({ pitch, durationTicks }) => {
      const next = onsets[i + 1]?.tick ?? Number.POSITIVE_INFINITY;
      return {
        tick: tick - start,
        pitch,
        durationTicks: monophonic ? Math.min(durationTicks, next - tick) : durationTicks,
      };
    }),
  );
  const endTick = notes.reduce((end, n) => Math.max(end, n.tick + n.durationTicks), 0);
  const wholeBars = barsOf([{ tick: 0, meter }], Math.max(1, endTick - pickupTicks), new IssueList());
  if (wholeBars.length > MOST_BARS) {
    return fail({
      code: 'capture.too-long',
      message: `Cannot make a passage: it would last more than ${MOST_BARS} bars`,
      hint: 'Is there a very long rest or held note in it? Play it in again without.',
      exitStatus: EXIT.usage,
    });
  }
  const bars = [
    ...(pickupTicks > 0
      ? [{ number: 0, startTick: 0, durationTicks: pickupTicks, meter, pickup: true }]
      : []),
    ...wholeBars.map((bar) => ({ ...bar, startTick: bar.startTick + pickupTicks })),
  ];
  const key = { tick: 0, ...(heading.key ?? { fifths: 0, mode: 'major' as const }) };
  const parts = [{ name: INSTRUMENTS[instrument].name, instrument }];
  const lines = [{ part: 0, staff: 1, handKnown: false, notes }];
  const marks = { keys: [key], tempo, tempoChanges: [], rehearsalMarks: [] };
  const issues = new IssueList();
  const { passage } = buildPassage(draftOf({ title, parts, lines, bars, ...marks }, issues), name, issues);
  if (passage) return ok(passage);
  const message = issues.list().find(({ severity }) => severity === 'error')!.message;
  return fail({ code: 'capture.unreadable', message, exitStatus: EXIT.unreadable });
}
