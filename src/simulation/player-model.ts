// The simulated player behind the same port as an instrument: told what to play, it plans its notes and strikes them
// through the clock, stops when told, and gets a little better with each try.

import type { Run, StepOnset } from '../drills/step.ts';
import type { PlayerEvent } from '../music/player-event.ts';
import { microsPerTick } from '../music/tempo.ts';
import { microsAt } from '../music/timing.ts';
import type { Clock } from '../ports/clock.ts';
import type { PlayerSource, Prompt } from '../ports/player-source.ts';
import type { Ensemble } from './ensemble.ts';
import { type ModelTake, playTake } from './play-take.ts';
import { Random } from './random.ts';
import type { ModelSettings } from './read-profile.ts';

export class PlayerModel implements PlayerSource {
  readonly name: string;
  readonly #clock: Clock;
  readonly #settings: ModelSettings;
  readonly #channel: number;
  #report: ((event: PlayerEvent) => void) | undefined;
  /** How often each of the passage's onsets was played. */
  readonly #played = new Map<number, number>();
  #prompts = 0;
  /** What is still to be struck, and what to let go: pitch to the cancelling of its release. */
  #toStrike: (() => void)[] = [];
  readonly #sounding = new Map<number, () => void>();

  readonly #ensemble: Ensemble | undefined;

  /** A player with a coupling listens to the others of the ensemble. */
  constructor(
    clock: Clock,
    settings: ModelSettings,
    options: { readonly channel?: number; readonly ensemble?: Ensemble } = {},
  ) {
    this.#clock = clock;
    this.#settings = settings;
    this.#channel = options.channel ?? 1;
    this.#ensemble = settings.coupling ? options.ensemble : undefined;
    this.#ensemble?.enter();
    const { profile, seed } = settings;
    this.name = `model of ${/^[aeiou]/.test(profile.name) ? 'an' : 'a'} ${profile.name} player, seed ${seed}`;
  }

  start(report: (event: PlayerEvent) => void): void {
    this.#report = report;
  }

  prompt(prompt: Prompt): void {
    this.#stopStriking();
    const { profile, seed, snags } = this.#settings;
    const { run, line } = prompt;
    // A stream of its own for each take: what one take used up does not change the next.
    const random = new Random(seed, this.#prompts++);
    const take: ModelTake =
      line.onsets.length === 0
        ? { notes: [], truth: { notes: [], slips: [], bent: [] } }
        : playTake(evenOnsets(run, line.onsets), run.tempo, profile, random, {
            zeroMicros: prompt.zeroMicros,
            click: run.pulse === 'click',
            snags,
            timesPlayed: (number) => this.#played.get(number) ?? 0,
          });
    for (const onset of new Set(line.onsets.map((o) => o.number))) {
      this.#played.set(onset, (this.#played.get(onset) ?? 0) + 1);
    }
    const { coupling } = this.#settings;
    const ticks = line.onsets.map(({ tick }) => tick);
    if (this.#ensemble && coupling)
      this.#ensemble.join({ coupling, ticks, take }, (notes) => this.#plan(notes, run));
    else this.#plan(take.notes, run);
  }

  #plan(notes: ModelTake['notes'], run: Run): void {
    const lastMicros = notes.at(-1)?.onMicros ?? 0;
    // A landing is held until shortly before its hold is over.
    const heldMicros = run.landing ? (run.holdBeats - 0.5) * (60_000_000 / run.tempo.bpm) : 0;
    this.#toStrike = notes.map((note) => {
      const last = note.onMicros === lastMicros;
      const offMicros = last
        ? Math.max(note.offMicros, Math.round(note.onMicros + heldMicros))
        : note.offMicros;
      return this.#clock.wakeAt(note.onMicros, () =>
        this.#strike(note.pitch, note.velocity, note.onMicros, offMicros),
      );
    });
  }

  hush(atMicros: number): void {
    if (atMicros <= this.#clock.nowMicros()) this.#stopStriking();
    else this.#toStrike.push(this.#clock.wakeAt(atMicros, () => this.#stopStriking()));
  }

  async close(): Promise<void> {
    this.#stopStriking();
    for (const [pitch, cancel] of [...this.#sounding]) {
      cancel();
      this.#letGo(pitch, this.#clock.nowMicros());
    }
    this.#report = undefined;
  }

  /** What sounds is let go at its own time all the same. */
  #stopStriking(): void {
    for (const cancel of this.#toStrike) cancel();
    this.#toStrike = [];
  }

  #strike(pitch: number, velocity: number, atMicros: number, offMicros: number): void {
    const cancel = this.#sounding.get(pitch);
    if (cancel) {
      cancel();
      this.#letGo(pitch, atMicros);
    }
    this.#report?.({ type: 'note-on', at: atMicros, pitch, velocity, channel: this.#channel });
    this.#sounding.set(
      pitch,
      this.#clock.wakeAt(offMicros, () => this.#letGo(pitch, offMicros)),
    );
  }

  #letGo(pitch: number, at: number): void {
    this.#sounding.delete(pitch);
    this.#report?.({ type: 'note-off', at, pitch, channel: this.#channel });
  }
}

/** The onsets on the ticks of one even tempo at which they come when they should: the model knows no other. */
function evenOnsets(run: Run, onsets: readonly StepOnset[]): readonly StepOnset[] {
  if (!run.paces) return onsets;
  const even = (tick: number) => microsAt(run, tick) / microsPerTick(run.tempo);
  return onsets.map((onset) => {
    const lasting = (ticks: number) => even(onset.tick + ticks) - even(onset.tick);
    return {
      ...onset,
      tick: even(onset.tick),
      durationTicks: lasting(onset.durationTicks),
      notes: onset.notes.map((note) => ({ ...note, durationTicks: lasting(note.durationTicks) })),
    };
  });
}
