// Simulated players who listen to one another while each follows the click: first-order linear phase correction
// ([Wing2014], see coupled-section.ts) laid over what each of them would have played alone, onset by onset. Two onsets
// belong together where they stand on the same tick.

import type { ModelTake } from './play-take.ts';

export interface CouplingSettings {
  /** Share of the distance to each other player that is made good by the next onset. */
  readonly gain: number;
  /** How late this player hears the others. */
  readonly delayMicros: number;
}

interface Member {
  readonly coupling: CouplingSettings;
  /** Ticks of the onsets, in order. */
  readonly ticks: readonly number[];
  readonly take: ModelTake;
}

/** What each would have played, moved by what they make good; in the same order. */
export function playTogether(members: readonly Member[]): ModelTake['notes'][] {
  const struck = members.map(strokesByTick);
  const moved = members.map(() => 0);
  const moves: Map<number, number>[] = members.map(() => new Map());
  const ticks = [...new Set(members.flatMap((member) => member.ticks))].sort((a, b) => a - b);
  for (const tick of ticks) {
    const times = struck.map((times, i) => {
      const own = times.get(tick);
      if (own === undefined) return undefined;
      moves[i]!.set(tick, moved[i]!);
      return own + moved[i]!;
    });
    members.forEach(({ coupling: { gain, delayMicros } }, i) => {
      const own = times[i];
      if (own === undefined) return;
      for (const [j, other] of times.entries())
        if (j !== i && other !== undefined) moved[i]! -= gain * (own - (other + delayMicros));
    });
  }
  return members.map(({ ticks, take }, i) =>
    take.notes.map((note, k) => {
      const by = Math.round(moves[i]!.get(ticks[take.truth.notes[k]!.onset]!) ?? 0);
      return { ...note, onMicros: note.onMicros + by, offMicros: note.offMicros + by };
    }),
  );
}

/** When each onset was first struck as it is written. */
function strokesByTick({ ticks, take }: Member): ReadonlyMap<number, number> {
  const struck = new Map<number, number>();
  take.notes.forEach((note, k) => {
    const { as, onset, note: written } = take.truth.notes[k]!;
    const tick = ticks[onset]!;
    if (written !== undefined && as !== 'grace' && !struck.has(tick)) struck.set(tick, note.onMicros);
  });
  return struck;
}

/** Waits until all of them know what they are to play. */
export class Ensemble {
  #size = 0;
  #waiting: { readonly member: Member; readonly play: (notes: ModelTake['notes']) => void }[] = [];

  enter(): void {
    this.#size += 1;
  }

  /** With nothing to play where a player rests. */
  join(member: Member, play: (notes: ModelTake['notes']) => void): void {
    this.#waiting.push({ member, play });
    if (this.#waiting.length < this.#size) return;
    const all = this.#waiting;
    this.#waiting = [];
    const played = playTogether(all.map(({ member }) => member));
    for (const [i, notes] of played.entries()) all[i]!.play(notes);
  }
}
