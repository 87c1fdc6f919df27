// What the player may ask for at any moment, from keys, a page-turning pedal, a sustain pedal or a control note.

import { beatAt, beatGrid, type GridBeat } from '../drills/beat-grid.ts';
import { placeClicksInRow } from '../drills/click-placement.ts';
import { landings, stepFromOnset } from '../drills/landings.ts';
import { type Every, fewerStops, moreStops, USUAL_EVERY } from '../drills/run-length.ts';
import { onsetsOfAll } from '../drills/step.ts';
import { clampBpm } from '../music/tempo.ts';
import { isSeveral } from './attendance.ts';
import { breakOff } from './break-off.ts';
import type { Effect } from './effect.ts';
import type { Control } from './event.ts';
import { finish } from './finish.ts';
import { giveNotice } from './give-notice.ts';
import { hear, replay } from './hear.ts';
import { followingIndex, nextStep, startAfresh } from './next-take.ts';
import { breakOffAndPause, resume } from './pause.ts';
import type { PlannedStep } from './plan.ts';
import type { Advance, Session, StepTally } from './session.ts';
import { isOffered } from './shift-offer.ts';
import { stepInForce } from './step-in-force.ts';

/** One press of slower or faster: at or just above the least change of tempo that is noticed (1.5 to 6 %: Drake & Botte 1993). */
const TEMPO_RATIO = 1.04;
/** Nearer to the step's own tempo than half a press, and it is the step's own tempo again. */
const AS_IT_WAS = 0.02;

export function runControl(session: Session, control: Control, at: number): Advance {
  switch (control) {
    case 'pause':
      return session.stage.kind === 'paused'
        ? resume(session, at)
        : breakOffAndPause(session, 'paused', { by: 'player' }, at);
    case 'help':
      return help(session, at);
    case 'skip':
      return skip(session, at);
    case 'back':
      return changeStep(nextStep(session, -1), session, at);
    case 'again':
      return startAfresh({ ...session, attempt: 0 }, 'retaken', at);
    case 'slower':
    case 'faster':
      return changeTempo(session, control === 'faster' ? TEMPO_RATIO : 1 / TEMPO_RATIO, at);
    case 'hear':
      return hear(session, at);
    case 'replay':
      return replay(session, at);
    case 'octave':
      return shiftOctave(session, at);
    case 'fewer-stops':
      return changeStops(session, fewerStops, at);
    case 'more-stops':
      return changeStops(session, moreStops, at);
    case 'quit': {
      const broken = breakOff(session, 'quit', at);
      const done = finish(broken.session, at);
      return { session: done.session, effects: [...broken.effects, ...done.effects] };
    }
  }
}

/** Pauses and says how the drill is practised; once more, when that has been said, goes on. */
function help(session: Session, at: number): Advance {
  const isPaused = session.stage.kind === 'paused';
  if (isPaused && session.notice?.kind === 'practice') return resume(session, at);
  const paused = isPaused
    ? { session, effects: [] }
    : breakOffAndPause(session, 'paused', { by: 'player' }, at);
  const told = giveNotice(
    paused.session,
    { kind: 'practice', drill: session.steps[session.index]!.drill },
    at,
  );
  return { session: told.session, effects: [...paused.effects, ...told.effects] };
}

function skip(session: Session, at: number): Advance {
  const broken = breakOff(session, 'skipped', at);
  const { name } = stepInForce(session).run;
  const tallies = broken.session.tallies.map((one, i) =>
    i === session.index && one.state === 'open' ? { ...one, state: 'skipped' as const } : one,
  );
  const news: Effect = { type: 'news', at, news: { kind: 'skipped', name } };
  const { shown: _, ...rest } = broken.session;
  const skipped = { ...rest, tallies };
  const index = followingIndex(skipped);
  const next =
    index >= session.steps.length
      ? finish(skipped, at)
      : startAfresh(nextStep(skipped, index - session.index), 'skipped', at);
  return { session: next.session, effects: [...broken.effects, news, ...next.effects] };
}

/**
 * Goes to the step that `to` stands at. What was being played in `from` is kept under its own step, and the verdict on the
 * screen is taken away.
 */
function changeStep(to: Session, from: Session, at: number): Advance {
  const broken = breakOff(from, 'retaken', at);
  const { kept, playedMicros, stage } = broken.session;
  const { shown: _, ...moved } = { ...to, kept, playedMicros, stage };
  const planned = startAfresh(moved, 'retaken', at);
  return { session: planned.session, effects: [...broken.effects, ...planned.effects] };
}

function changeTempo(session: Session, ratio: number, at: number): Advance {
  const now = stepInForce(session).run.tempo.bpm;
  const bpm = clampBpm(Math.round(now * ratio));
  const scale = (session.tempoScale * bpm) / now;
  // Back at the step's own tempo, as nearly as rounded tempi allow: the player no longer has a tempo of their own.
  const changed = { ...session, tempoScale: Math.abs(scale - 1) < AS_IT_WAS ? 1 : scale };
  const { bpm: tempoBpm } = stepInForce(changed).run.tempo;
  const fresh = startAfresh({ ...changed, attempt: 0 }, 'retaken', at);
  return {
    session: fresh.session,
    effects: [{ type: 'news', at, news: { kind: 'tempo', tempoBpm } }, ...fresh.effects],
  };
}

/** Takes the octaves in which players have been sounding as the right ones. */
function shiftOctave(session: Session, at: number): Advance {
  const shifts = session.players.flatMap(({ shiftSeen }, i) =>
    isOffered(shiftSeen)
      ? [{ shift: shiftSeen, ...(isSeveral(session) ? { player: session.plan.players[i]!.name } : {}) }]
      : [],
  );
  if (shifts.length === 0) return { session, effects: [] };
  const players = session.players.map(({ shiftSeen, ...player }) => ({
    ...player,
    shiftSemitones: player.shiftSemitones - (isOffered(shiftSeen) ? shiftSeen.semitones : 0),
  }));
  const { shown: _, notice: __, ...rest } = session;
  const fresh = startAfresh({ ...rest, players, attempt: 0 }, 'retaken', at);
  const told = giveNotice(fresh.session, { kind: 'shift-taken', shifts }, at);
  return { session: told.session, effects: [...fresh.effects, ...told.effects] };
}

/** Landings with longer or shorter runs, from the place in the music that is being worked. */
function changeStops(session: Session, change: (every: Every, beat: GridBeat) => Every, at: number): Advance {
  const planned = session.steps[session.index]!;
  if (planned.drill !== landings.name) return { session, effects: [] };
  const { span } = session.plan;
  const before = planned.settings.every ?? USUAL_EVERY;
  const every = change(before, beatAt(beatGrid(span.passage), planned.step.run.startTick));
  const settings = { ...planned.settings, every };
  const made = landings.makeSteps(span, settings);
  if (every === before || !made.ok) return { session, effects: [] };
  // The steps of this run of the drill are replaced, the others stay.
  const mine = (one: PlannedStep) => one.drillRun === planned.drillRun;
  const from = session.steps.findIndex(mine);
  const after = session.steps.findLastIndex(mine) + 1;
  const steps = [
    ...session.steps.slice(0, from),
    ...placeClicksInRow(made.value, planned.click ?? 'beat').map((step) => ({ ...planned, step, settings })),
    ...session.steps.slice(after),
  ];
  const fresh: StepTally[] = made.value.map(() => ({ takes: 0, cleanTakes: 0, state: 'open' }));
  const tallies = [...session.tallies.slice(0, from), ...fresh, ...session.tallies.slice(after)];
  const index = from + stepFromOnset(made.value, onsetsOfAll(planned.step)[0]!.number);
  return changeStep(nextStep({ ...session, steps, tallies, index }, 0), session, at);
}
