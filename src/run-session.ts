// The one loop where a session and its ports meet. Events come in from the players, the keys and the clock; effects go
// out to the click, the record and the screen. No musical decision is made here.

import { localDate } from './local-date.ts';
import type { Passage } from './music/passage.ts';
import type { ClickPort } from './ports/click.ts';
import type { Clock } from './ports/clock.ts';
import type { PlayerSource } from './ports/player-source.ts';
import type { PracticeRecord } from './ports/practice-record.ts';
import type { PulsePort, PulseSource } from './ports/pulse.ts';
import type { Terminal } from './ports/terminal.ts';
import type { Entry } from './record/entry.ts';
import { draw } from './screen/draw.ts';
import { controlForKey, seatAskForKey } from './screen/keymap.ts';
import { advance, nextWakeUp } from './session/advance.ts';
import type { Effect } from './session/effect.ts';
import type { Control, PlayerId, SessionEvent } from './session/event.ts';
import type { News } from './session/news.ts';
import type { SessionPlan } from './session/plan.ts';
import { newSession, type Session } from './session/session.ts';
import { workAhead } from './session/work-ahead.ts';
import type { KeptPlaying } from './take/fold.ts';
import { plainLine } from './wording/plain-lines.ts';
import { brokenOffSentence, takeSentence } from './wording/sentence.ts';

/** A screen is drawn at most this often; a verdict waits no longer than this for it. */
const DRAW_MICROS = 33_000;
/** A wake-up is handled this long after its time, so that input stamped before it comes first. */
export const INPUT_GRACE_MICROS = 5_000;
/** A wake-up this late was held up by a busy screen or disk, and input with it. */
const STALLED_MICROS = 25_000;

export interface SessionPorts {
  readonly clock: Clock;
  readonly sources: ReadonlyMap<PlayerId, PlayerSource>;
  readonly click: ClickPort;
  /** A pulse shared with other machines. */
  readonly pulse?: PulsePort;
  /** Another machine's pulse that is followed. */
  readonly followed?: PulseSource;
  readonly record: PracticeRecord;
  /** Without one, `tell` gets plain lines. */
  readonly terminal?: Terminal;
  readonly tell?: (line: string) => void;
  /** Sees every piece of news (measuring, transcripts). */
  readonly onNews?: (news: News, at: number) => void;
}

export interface RunOptions {
  readonly sitting: string;
  /** On a screen: leave without waiting for a key when the session is over. */
  readonly leavesAlone: boolean;
  readonly unicode: boolean;
  /** On a screen where letters are notes, not controls: the letter of each sounding pitch. */
  readonly letters?: ReadonlyMap<number, string>;
  /** Given a function by which the outside (a signal) can end the session. */
  readonly onStart?: (control: (control: Control) => void) => void;
}

/** Runs a session to its end and returns it. Closes the sources and the click, not the record and the terminal. */
export async function runSession(
  plan: SessionPlan,
  ports: SessionPorts,
  options: RunOptions,
): Promise<Session> {
  const { clock } = ports;
  const began = clock.nowMicros();
  const fingerprint = ports.record.keepPassage(plan.span.passage);
  let session = newSession(plan);
  let cancelWake: (() => void) | undefined;
  let cancelDraw: (() => void) | undefined;
  let cancelAhead: (() => void) | undefined;
  let lastDraw = Number.NEGATIVE_INFINITY;
  let ended = false;
  let over = false;

  try {
    await new Promise<void>((resolve, reject) => {
      const finish = () => {
        over = true;
        cancelWake?.();
        cancelDraw?.();
        cancelAhead?.();
        resolve();
      };
      const guarded =
        <A extends unknown[]>(work: (...args: A) => void) =>
        (...args: A) => {
          if (over) return;
          try {
            work(...args);
          } catch (error) {
            over = true;
            reject(error);
          }
        };
      const paint = guarded(() => {
        cancelDraw = undefined;
        lastDraw = clock.nowMicros();
        const { terminal } = ports;
        const source = [...new Set([...ports.sources.values()].map(({ name }) => name))].join(', ');
        terminal?.draw(draw(session, terminal.size(), { ...options, source }));
      });
      const repaint = () => {
        if (!ports.terminal || cancelDraw) return;
        const due = lastDraw + DRAW_MICROS;
        if (clock.nowMicros() >= due) paint();
        else cancelDraw = clock.wakeAt(due, paint);
      };
      const dispatch = guarded((event: SessionEvent) => {
        const result = advance(session, event);
        session = result.session;
        const { passage } = plan.span;
        const context = { sitting: options.sitting, passage, fingerprint, began };
        const told = result.effects.filter(({ type }) => type !== 'keep');
        // The disk is not waited for by what is seen and heard; the take is in the record before anything else comes.
        try {
          for (const effect of told) perform(effect, ports, context);
          if (told.some(({ type }) => type === 'end')) ended = true;
          repaint();
        } finally {
          for (const effect of result.effects) if (effect.type === 'keep') perform(effect, ports, context);
        }
        cancelWake?.();
        const next = nextWakeUp(session);
        cancelWake =
          next === undefined
            ? undefined
            : clock.wakeAt(next + INPUT_GRACE_MICROS, () => {
                const wake = () => dispatch({ type: 'wake', at: next });
                // Something has held up all of us, and what was played meanwhile still waits to be told: it comes first.
                const isLate = clock.nowMicros() - next > STALLED_MICROS;
                if (isLate) cancelWake = clock.wakeAt(clock.nowMicros() + INPUT_GRACE_MICROS, wake);
                else wake();
              });
        if (ended && (!ports.terminal || options.leavesAlone)) finish();
        cancelAhead?.();
        cancelAhead = clock.wakeAt(clock.nowMicros(), ahead);
      });
      /** While nothing else is to do; a piece at a time, so that a note that comes does not wait. */
      const ahead = guarded(() => {
        cancelAhead = workAhead(session) ? clock.wakeAt(clock.nowMicros(), ahead) : undefined;
      });

      for (const [player, source] of ports.sources)
        source.start((event) => dispatch({ type: 'played', at: event.at, player, event }));
      const tellTrouble = (text: string) => dispatch({ type: 'trouble', at: clock.nowMicros(), text });
      let leaving = false;
      ports.terminal?.onKey((key) => {
        if (ended) return finish();
        if ([...ports.sources.values()].some((source) => source.press?.(key))) {
          leaving = false;
          return;
        }
        const { players } = session.plan;
        const seat =
          players.length > 1 && options.letters === undefined
            ? seatAskForKey(key.name, session.pointed, players.length)
            : undefined;
        if (seat) {
          const player = players[seat.player]!.id;
          return dispatch({ type: 'seat', at: clock.nowMicros(), player, ask: seat.ask });
        }
        const control = controlForKey(key.name);
        // Among the keys that are notes a q is easily struck by mistake.
        const unsure = options.letters !== undefined && key.name === 'q' && !leaving;
        leaving = unsure;
        if (unsure) return tellTrouble('Leave? Press q once more.');
        if (!control) return;
        dispatch({ type: 'control', at: clock.nowMicros(), control });
        if (control === 'quit') finish();
      });
      ports.terminal?.onResize(repaint);
      options.onStart?.((control) => {
        dispatch({ type: 'control', at: clock.nowMicros(), control });
        if (control === 'quit') finish();
      });
      ports.click.onSoundNews?.(tellTrouble);
      for (const source of ports.sources.values()) source.onNews?.(tellTrouble);
      ports.record.onTrouble?.(tellTrouble);
      dispatch({ type: 'begin', at: clock.nowMicros() });
      ports.followed?.start((pulse, at) => dispatch({ type: 'pulse', at, pulse }));
    });
  } finally {
    await Promise.allSettled([
      ports.click.close(),
      ports.pulse?.close(),
      ports.followed?.close(),
      ...[...ports.sources.values()].map((source) => source.close()),
    ]);
  }
  return session;
}

function perform(
  effect: Effect,
  ports: SessionPorts,
  context: {
    readonly sitting: string;
    readonly passage: Passage;
    readonly fingerprint: string;
    readonly began: number;
  },
): void {
  switch (effect.type) {
    case 'clicks':
      ports.click.schedule(effect.clicks);
      break;
    case 'silence':
      ports.click.silenceFrom(effect.from);
      ports.pulse?.silenceFrom(effect.from);
      break;
    case 'signal':
      ports.click.scheduleSignal(effect.kind, effect.at);
      break;
    case 'sound':
      ports.click.scheduleNotes(effect.notes);
      break;
    case 'prompt':
      ports.sources.get(effect.player)?.prompt(effect.prompt);
      ports.pulse?.lead(effect.prompt);
      break;
    case 'hush':
      for (const source of ports.sources.values()) source.hush(effect.at);
      break;
    case 'keep': {
      const source = ports.sources.get(effect.take.player);
      const entry: Entry = {
        ...effect.take,
        sentence: effect.report
          ? takeSentence(effect.report, context.passage)
          : brokenOffSentence(effect.take.end),
        playing: asSent(effect.playing, source?.shiftSemitones ?? 0),
        sitting: context.sitting,
        date: localDate(ports.clock.date()),
        source: source?.name ?? '',
        fingerprint: context.fingerprint,
      };
      ports.record.append(entry);
      break;
    }
    case 'news': {
      ports.onNews?.(effect.news, effect.at);
      const line = plainLine(effect.news, context.passage, effect.at - context.began);
      if (line !== undefined) ports.tell?.(line);
      break;
    }
    case 'end':
      break;
  }
}

/** With its pitches as the instrument sent them, and what the source had added to them. */
function asSent(playing: KeptPlaying, shift: number): KeptPlaying {
  if (shift === 0) return playing;
  const { terms, events } = playing;
  return {
    ...playing,
    terms: { ...terms, shiftSemitones: terms.shiftSemitones + shift },
    events: events.map((event) =>
      event.type === 'note-on' || event.type === 'note-off'
        ? { ...event, pitch: event.pitch - shift }
        : event,
    ),
  };
}
