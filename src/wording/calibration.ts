// What calibration found, in sentences.

import { type Jitter, type Lag, type LagTrouble, lagSide } from '../coaching/calibration.ts';
import type { Tolerance } from '../take/tolerance.ts';

export function lagSentence(lag: Lag): string {
  const { lagMicros, spreadMicros, sureMicros } = lag;
  const side = lagSide(lag);
  const place =
    side === 'on'
      ? 'Your notes arrive on the click'
      : `Your notes arrive ${ms(Math.abs(lagMicros))} ms ${side} the click`;
  const meaning =
    side === 'before'
      ? 'most players anticipate a little; it is taken off before judging'
      : 'instrument, sound and habit together; it is taken off before judging';
  return `${place} (give or take ${ms(2 * sureMicros)} ms, single notes ${ms(spreadMicros)} ms): ${meaning}.`;
}

export function lagTroubleSentence(trouble: LagTrouble): string {
  return trouble.reason === 'too-few'
    ? `Cannot calibrate: only ${trouble.answered} of ${trouble.clicks} clicks were answered. Play one note on every click, from the first to the last.`
    : `Cannot calibrate: the notes came ${ms(trouble.spreadMicros)} ms apart from each other's place. Try again with a slower click, one note on every click.`;
}

/** `judgeable`: at the tolerance. */
export function jitterSentence(jitter: Jitter, tolerance: Tolerance, judgeable: boolean): string {
  const moves = `This set-up moves notes by ${ms(jitter.onsetMicros)} ms by itself`;
  return judgeable
    ? `${moves}: good enough for the tolerance "${tolerance.name}".`
    : `${moves}: too unsteady to be judged at the tolerance "${tolerance.name}" (${ms(tolerance.floorMicros)} ms). Use a cable in place of a wireless link, close other programs, or take a wider tolerance.`;
}

/** Milliseconds for people: whole ones, and tenths below ten. */
function ms(micros: number): string {
  const value = micros / 1000;
  return Math.abs(value) < 9.95 ? value.toFixed(1).replace(/\.0$/, '') : value.toFixed(0);
}
