// What changes in the click when the beats are slow: it falls inside the beats as well, and two beats of lead-in are
// enough. Nobody can keep to clicks that are 1.8 s apart ([Repp2006] Adv Cogn Psychol 2:163), and a click inside the beat
// helps ([Repp2003] J Mot Behav 35:355). That it begins below 40 a minute is common practice, no source.

import { bpmAt } from '../music/timing.ts';
import { type ClickPlacement, withDivisions } from './click-placement.ts';
import type { Run } from './step.ts';

/** A beat that lasts longer is slow. */
const SLOW_BEAT_MICROS = 1_500_000;
const SLOW_LEAD_IN_BEATS = 2;

/** The run at its tempo. `placement`: where the player wants the click; clicks inside the beat come only where it is absent. */
export function clickedSlowly(run: Run, placement: ClickPlacement | undefined): Run {
  const isSlow = slowPlaces(run);
  const places = [run.startTick, ...(run.paces ?? []).map(({ fromTick }) => fromTick)];
  if (!places.some(isSlow)) return run;
  const entered = isSlow(run.startTick) ? withShortLeadIn(run) : run;
  return placement === undefined ? withDivisions(entered, isSlow) : entered;
}

/** Where the tempo makes beats slow, told from the longest of those that are counted in. */
function slowPlaces(run: Run): (tick: number) => boolean {
  const counted = beatsOfLeadIn(run);
  const longest = Math.max(0, ...counted.map((tick, i) => (counted[i + 1] ?? run.startTick) - tick));
  const beats = longest / run.tempo.beatTicks;
  return (tick) => (beats * 60_000_000) / bpmAt(run, tick) > SLOW_BEAT_MICROS;
}

function withShortLeadIn(run: Run): Run {
  const from = beatsOfLeadIn(run).at(-SLOW_LEAD_IN_BEATS);
  if (from === undefined) return run;
  return {
    ...run,
    leadInBeats: SLOW_LEAD_IN_BEATS,
    clicks: run.clicks.filter(({ tick }) => tick >= from),
  };
}

/** Ticks of the beats that are counted before the run. */
function beatsOfLeadIn({ clicks, startTick }: Run): number[] {
  return clicks
    .filter(({ tick, accent }) => tick < startTick && accent !== 'division')
    .map(({ tick }) => tick);
}
