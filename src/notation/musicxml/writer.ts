// The MusicXML writer: a passage as a MusicXML 4.0 score-partwise that reads back to the same passage and engraves
// well: note values, dots, tuplets, beams and accidentals are all written. Repeats are written out as played.

import { INSTRUMENTS } from '../../music/instrument.ts';
import { barTicks } from '../../music/meter.ts';
import type { Passage } from '../../music/passage.ts';
import { TICKS_PER_QUARTER } from '../../music/ticks.ts';
import { gcd } from '../written/tick-fractions.ts';
import { markTicks, type WrittenVoice, writtenVoices } from '../written/voice.ts';
import { attributesXml } from './writer-marks.ts';
import { type VoiceWriting, VoiceXml } from './writer-voice.ts';
import { escapeXml } from './xml-text.ts';

export function writeMusicXml(passage: Passage): string {
  const voices = writtenVoices(passage, markTicks(passage));
  const how = { divisions: smallestDivisions(voices), firstStriking: firstStriking(passage, voices) };
  const parts = passage.parts.map((_, part) => {
    const own = voices.filter((voice) => voice.part === part);
    return `  <part id="P${part + 1}">\n${measures(passage, own, how)}  </part>\n`;
  });
  return [
    '<?xml version="1.0" encoding="UTF-8"?>\n',
    '<score-partwise version="4.0">\n',
    `  <work><work-title>${escapeXml(passage.title)}</work-title></work>\n`,
    passage.composer
      ? `  <identification><creator type="composer">${escapeXml(passage.composer)}</creator></identification>\n`
      : '',
    `  <part-list>\n${passage.parts.map(scorePart).join('')}  </part-list>\n`,
    ...parts,
    '</score-partwise>\n',
  ].join('');
}

function scorePart(part: Passage['parts'][number], i: number): string {
  const id = `P${i + 1}`;
  const instrument = `<score-instrument id="${id}-I1"><instrument-name>${escapeXml(INSTRUMENTS[part.instrument].name)}</instrument-name></score-instrument>`;
  return `    <score-part id="${id}"><part-name>${escapeXml(part.name)}</part-name>${instrument}</score-part>\n`;
}

function measures(
  passage: Passage,
  voices: readonly WrittenVoice[],
  how: Pick<VoiceWriting, 'divisions' | 'firstStriking'>,
): string {
  const { divisions } = how;
  const writers = voices.map((voice, i) => new VoiceXml(passage, voice, { ...how, leads: i === 0 }));
  return passage.bars
    .map((bar, i) => {
      const implicit = bar.pickup ? ' implicit="yes"' : '';
      const backup = `      <backup><duration>${(bar.durationTicks * divisions) / TICKS_PER_QUARTER}</duration></backup>\n`;
      const last = i === passage.bars.length - 1;
      const style = last
        ? 'light-heavy'
        : bar.durationTicks < barTicks(bar.meter) && !bar.pickup
          ? 'light-light'
          : '';
      return [
        `    <measure number="${bar.number}"${implicit}>\n`,
        startsSystem(passage, bar.startTick) ? '      <print new-system="yes"/>\n' : '',
        attributesXml(passage, voices, i, divisions),
        writers.map((writer) => writer.measure(i)).join(backup),
        style ? `      <barline location="right"><bar-style>${style}</bar-style></barline>\n` : '',
        '    </measure>\n',
      ].join('');
    })
    .join('');
}

/** By tick the first voice that strikes a note then. */
function firstStriking({ bars }: Passage, voices: readonly WrittenVoice[]): Map<number, WrittenVoice> {
  const first = new Map<number, WrittenVoice>();
  for (const voice of voices) {
    for (const [i, { startTick }] of bars.entries()) {
      for (const { offset, notes } of voice.bars[i]!) {
        const tick = startTick + offset;
        if (!first.has(tick) && notes.some(({ tiedFrom }) => !tiedFrom)) first.set(tick, voice);
      }
    }
  }
  return first;
}

function startsSystem({ annotations = [] }: Passage, tick: number): boolean {
  return tick > 0 && annotations.some((one) => one.kind === 'new-system' && one.tick === tick);
}

/** The fewest divisions of a quarter in which every length is whole; at most 10,080. */
function smallestDivisions(voices: readonly WrittenVoice[]): number {
  let common = TICKS_PER_QUARTER;
  for (const voice of voices) {
    for (const events of voice.bars) {
      for (const { durationTicks } of events) common = gcd(common, durationTicks);
    }
  }
  // Values that a length is split into may be half as long as it.
  while (common % 2 === 0 && common > TICKS_PER_QUARTER / 32) common /= 2;
  return TICKS_PER_QUARTER / common;
}
