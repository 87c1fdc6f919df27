// Slurs of a MusicXML part: from the note where one starts to the note before the one where it stops, in the voice
// where it started. One that never stops joins nothing.

import type { DraftNote } from '../draft/score.ts';

/** Notes struck together in one voice. */
export interface StruckTogether {
  readonly notes: DraftNote[];
}

export class SlurMarks {
  private readonly voices = new Map<string, StruckTogether[]>();
  private readonly open = new Map<string, { readonly voice: string; readonly from: number }>();
  /** Slurs that stopped without having started, or the other way round. */
  unpaired = 0;

  /** Tells of a note or chord, in the order of the file. */
  struck(voice: string, chord: StruckTogether): void {
    const list = this.voices.get(voice) ?? [];
    this.voices.set(voice, list);
    list.push(chord);
  }

  start(voice: string, number: string): void {
    const key = `${voice}/${number}`;
    if (this.open.has(key)) this.unpaired += 1;
    this.open.set(key, { voice, from: (this.voices.get(voice)?.length ?? 1) - 1 });
  }

  /** A slur may stop in another voice than it started in. */
  stop(voice: string, number: string): void {
    const own = `${voice}/${number}`;
    const key = this.open.has(own) ? own : [...this.open.keys()].find((k) => k.endsWith(`/${number}`));
    const slur = key === undefined ? undefined : this.open.get(key);
    if (!slur || key === undefined) {
      this.unpaired += 1;
      return;
    }
    this.open.delete(key);
    const chords = this.voices.get(slur.voice) ?? [];
    const to = slur.voice === voice ? chords.length - 1 : chords.length;
    for (const chord of chords.slice(slur.from, Math.max(to, slur.from))) {
      for (const note of chord.notes) note.slurred = true;
    }
  }

  finish(): void {
    this.unpaired += this.open.size;
    this.open.clear();
  }
}
