// Sounding a step as it should be, one part of it, or a take as it was played, with its click; then the count-in.

import { onsetsOfAll, type Run, type StepOnset } from '../drills/step.ts';
import { requiredNotes } from '../music/onset.ts';
import { microsBetween } from '../music/timing.ts';
import type { Click, SoundedNote } from '../ports/click.ts';
import { playedIn } from '../take/take.ts';
import { endMicros, tickMicros } from '../take/take-times.ts';
import { breakOff } from './break-off.ts';
import { giveNotice } from './give-notice.ts';
import { AFTER_CONTROL_MICROS, planNext } from './next-take.ts';
import type { Advance, Session } from './session.ts';
import { stepInForce } from './step-in-force.ts';

const SHORTEST_HEARD_MICROS = 50_000;

/** Sounds the step with its click, then counts in. Where nothing can be heard it says so, and all goes on as it was. */
export function hear(session: Session, at: number): Advance {
  const step = stepInForce(session);
  return hearOnsets(session, step.run, onsetsOfAll(step), at);
}

/** One player's line of it. */
export function hearLine(session: Session, player: number, at: number): Advance {
  const { run, lines } = stepInForce(session);
  const { onsets } = lines[player]!;
  if (onsets.length > 0) return hearOnsets(session, run, onsets, at);
  return giveNotice(session, { kind: 'rests', player: session.plan.players[player]!.name }, at);
}

function hearOnsets(session: Session, run: Run, onsets: readonly StepOnset[], at: number): Advance {
  const micros = (tick: number) => microsBetween(run, run.startTick, tick);
  const notes: SoundedNote[] = onsets.flatMap((onset) =>
    requiredNotes(onset).map((note) => ({
      atMicros: micros(onset.tick),
      durationMicros: microsBetween(run, onset.tick, onset.tick + note.durationTicks) - 10_000,
      pitch: note.pitch,
      velocity: 64,
    })),
  );
  const clicks = run.clicks
    .filter((click) => click.tick >= run.startTick && click.tick <= run.stopTick)
    .map((click) => ({ atMicros: micros(click.tick), accent: click.accent }));
  return sound(session, { notes, clicks }, at);
}

/** Sounds the last take as it was played, at its tempo with its click, then counts in. */
export function replay(session: Session, at: number): Advance {
  const take = session.shown?.take;
  const played = take?.lines.flatMap((line) => playedIn(line)) ?? [];
  if (!take || played.length === 0) return giveNotice(session, { kind: 'nothing-to-replay' }, at);
  const { run } = take;
  const end = endMicros(take) ?? at;
  const first = Math.min(...played.map((note) => note.onMicros));
  const origin = run.pulse === 'free' ? first : Math.min(first, tickMicros(take, run.startTick));
  const notes: SoundedNote[] = played
    .filter((note) => note.onMicros < end)
    .map((note) => ({
      atMicros: note.onMicros - origin,
      durationMicros: Math.min(note.offMicros ?? end, end) - note.onMicros,
      pitch: note.pitch,
      velocity: note.velocity,
    }));
  const clicks = run.clicks
    .filter((click) => click.tick >= run.startTick && click.tick <= (take.cutTick ?? run.stopTick))
    .map((click) => ({ atMicros: tickMicros(take, click.tick) - origin, accent: click.accent }));
  return sound(session, { notes, clicks }, at);
}

/** `heard` has times from its own beginning. */
function sound(
  session: Session,
  heard: { readonly notes: readonly SoundedNote[]; readonly clicks: readonly Click[] },
  at: number,
): Advance {
  const { unheard } = session.plan;
  if (unheard !== undefined) return giveNotice(session, { kind: 'passed-on', text: unheard }, at);
  const from = at + 300_000;
  const notes = heard.notes.map((note) => ({
    ...note,
    atMicros: from + note.atMicros,
    durationMicros: Math.max(SHORTEST_HEARD_MICROS, note.durationMicros),
  }));
  const clicks = heard.clicks.map((click) => ({ ...click, atMicros: from + click.atMicros }));
  const end = Math.max(...notes.map((note) => note.atMicros + note.durationMicros));
  const broken = breakOff(session, 'retaken', at);
  const fresh: Session = { ...broken.session, attempt: 0 };
  const planned = planNext(fresh, { kind: 'lead-in', fromMicros: end + AFTER_CONTROL_MICROS }, at, end);
  return {
    session: planned.session,
    effects: [...broken.effects, { type: 'sound', notes }, { type: 'clicks', clicks }, ...planned.effects],
  };
}
