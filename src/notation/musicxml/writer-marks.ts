// Attributes, tempo and rehearsal marks in MusicXML.

import type { Annotation } from '../../music/annotation.ts';
import { isSameMeter } from '../../music/meter.ts';
import type { Passage } from '../../music/passage.ts';
import type { Tempo } from '../../music/tempo.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import { clefOf, partFifths, partTransposition, type WrittenVoice } from '../written/voice.ts';
import { noteValue } from './note-values.ts';
import { escapeXml } from './xml-text.ts';

/** Diatonic steps of 0 to 11 semitones. */
const STEPS = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6];

/** <attributes> at the start of a measure, where something changes. */
export function attributesXml(
  passage: Passage,
  voices: readonly WrittenVoice[],
  index: number,
  divisions: number,
): string {
  const bar = passage.bars[index]!;
  const before = passage.bars[index - 1];
  const part = voices[0]!.part;
  let inside = '';
  if (!before) inside += `<divisions>${divisions}</divisions>`;
  inside += keyXml(passage, part, bar.startTick);
  if (!before || !isSameMeter(before.meter, bar.meter)) {
    inside += `<time><beats>${bar.meter.groups?.join('+') ?? bar.meter.count}</beats><beat-type>${bar.meter.unit}</beat-type></time>`;
  }
  if (!before) {
    const staves = [...new Set(voices.map((voice) => voice.staff))];
    if (staves.length > 1) inside += `<staves>${staves.length}</staves>`;
    for (const staff of staves) {
      const [sign, line] = clefOf(passage, voices, part, staff) === 'bass' ? ['F', 4] : ['G', 2];
      inside += `<clef number="${staff}"><sign>${sign}</sign><line>${line}</line></clef>`;
    }
    inside += transposeXml(partTransposition(passage, part));
  }
  return inside === '' ? '' : `      <attributes>${inside}</attributes>\n`;
}

export function keyXml(passage: Passage, part: number, tick: number): string {
  const key = passage.keys.find((k) => k.tick === tick);
  if (!key) return '';
  return `<key><fifths>${partFifths(passage, part, key.fifths)}</fifths><mode>${key.mode}</mode></key>`;
}

/** @example transposeXml(-14) // diatonic -1, chromatic -2, octave-change -1 */
function transposeXml(semitones: number): string {
  if (semitones === 0) return '';
  const octaves = Math.trunc(semitones / 12);
  const chromatic = semitones - 12 * octaves;
  const diatonic = Math.sign(chromatic) * STEPS[Math.abs(chromatic)]!;
  const octave = octaves === 0 ? '' : `<octave-change>${octaves}</octave-change>`;
  return `<transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic>${octave}</transpose>`;
}

/**
 * Tempo and rehearsal marks at a tick, and the annotations from there to the next event of the voice that carries them,
 * each a <direction>. An annotation between two of its events belongs to another voice: it stands as much later.
 */
export function directionsXml(
  passage: Passage,
  tick: number,
  { nextTick, divisions }: { readonly nextTick: number; readonly divisions: number },
): string {
  const marks = passage.rehearsalMarks
    .filter((mark) => mark.tick === tick)
    .map((mark) => `<direction-type><rehearsal>${escapeXml(mark.text)}</rehearsal></direction-type>`);
  const tempo =
    tick === 0 ? passage.tempo : passage.tempoChanges.find((change) => change.tick === tick)?.tempo;
  if (tempo) marks.push(tempoXml(tempo));
  for (const annotation of passage.annotations ?? []) {
    for (const { at, xml } of annotationXml(annotation)) {
      if (at < tick || at >= nextTick) continue;
      const later = ((at - tick) * divisions) / TICKS_PER_QUARTER;
      marks.push(later === 0 ? xml : `${xml}<offset>${later}</offset>`);
    }
  }
  return marks.map((mark) => `      <direction placement="above">${mark}</direction>\n`).join('');
}

function annotationXml(annotation: Annotation): { readonly at: number; readonly xml: string }[] {
  if (annotation.kind !== 'text' && annotation.kind !== 'bracket') return [];
  const { tick, text } = annotation;
  const xml = `<direction-type><words>${escapeXml(text)}</words></direction-type>`;
  const words = text === '' ? [] : [{ at: tick, xml }];
  if (annotation.kind === 'text') return words;
  const bracket = (type: 'start' | 'stop') =>
    `<direction-type><bracket type="${type}" number="1" line-end="down" line-type="dashed"/></direction-type>`;
  return [...words, { at: tick, xml: bracket('start') }, { at: annotation.endTick, xml: bracket('stop') }];
}

function tempoXml({ bpm, beatTicks }: Tempo): string {
  const value = noteValue(beatTicks);
  const rounded = Math.round(bpm * 1e6) / 1e6;
  const quarters = Math.round(((bpm * beatTicks) / TICKS_PER_QUARTER) * 1e6) / 1e6;
  const dots = '<beat-unit-dot/>'.repeat(value?.dots ?? 0);
  const metronome = value
    ? `<metronome><beat-unit>${value.type}</beat-unit>${dots}<per-minute>${rounded}</per-minute></metronome>`
    : '<words/>';
  return `<direction-type>${metronome}</direction-type><sound tempo="${quarters}"/>`;
}
