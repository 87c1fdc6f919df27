// The voices of an ABC tune side by side: one score. The first voice's meter, key and repeats hold for all.

import { INSTRUMENTS } from '../../music/instrument.ts';
import { barTicks } from '../../music/meter.ts';
import { chooseInstrument } from '../choice/instrument.ts';
import { playingOrder } from '../draft/playing-order.ts';
import { type DraftBar, type DraftScore, emptyBar } from '../draft/score.ts';
import type { IssueList } from '../reading.ts';
import type { AbcBody } from './body.ts';
import { readPartOrder } from './fields.ts';
import type { AbcHeader } from './header.ts';
import type { AbcVoice } from './voice.ts';

export function assembleScore(header: AbcHeader, body: AbcBody, issues: IssueList): DraftScore {
  const voices = body.places.map((p) => body.voices.get(p.id)).filter((v) => v !== undefined);
  const counts = voices.map((voice) => voice.bars.length);
  const total = Math.max(0, ...counts);
  if (counts.some((count) => count !== total && count > 0)) {
    const message = `The voices have different numbers of bars (${counts.join(', ')}): the shorter are silent to the end`;
    issues.warn('abc.voice-length', message);
  }
  const bars = Array.from({ length: total }, (_, i) => joinBars(voices, i, issues));
  const order = voices[0] && orderOfSections(header, voices[0], bars, issues);
  return {
    title: header.title || 'Untitled',
    ...(header.composer !== '' && { composer: header.composer }),
    parts: partsOf(header, body, issues),
    bars,
    ...(order && { order }),
  };
}

function joinBars(voices: readonly AbcVoice[], i: number, issues: IssueList): DraftBar {
  const all = voices.map((voice) => voice.bars[i]).filter((bar) => bar !== undefined);
  const lead = all[0]!;
  const bar = emptyBar(lead.meter, all.find((b) => b.place)?.place);
  bar.irregular = lead.irregular;
  bar.sectionEnd = all.some((b) => b.sectionEnd);
  bar.route = Object.assign({}, ...[...all].reverse().map((b) => b.route));
  bar.durationTicks = Math.max(...all.map((b) => b.durationTicks));
  const number = all.find((b) => b.number !== undefined)?.number;
  if (number !== undefined) bar.number = number;
  const pickup = all.find((b) => b.pickup !== undefined)?.pickup;
  if (pickup !== undefined) bar.pickup = pickup;
  bar.keys.push(...lead.keys);
  for (const b of all) {
    bar.notes.push(...b.notes);
    bar.tempos.push(...b.tempos);
    bar.marks.push(...b.marks);
  }
  const uneven = all.find((b) => b.durationTicks !== bar.durationTicks);
  if (uneven) {
    const full = barTicks(lead.meter);
    const lengths = all.map((b) => Math.round((b.durationTicks / full) * 1000) / 1000).join(' and ');
    issues.warn('bar.voices', `The voices of a bar are not equally long: ${lengths} of a bar`, uneven.place);
  }
  return bar;
}

/** Where P: in the header gives an order of parts: printed bars in that order, repeats inside a part played out. */
function orderOfSections(
  header: AbcHeader,
  lead: AbcVoice,
  bars: readonly DraftBar[],
  issues: IssueList,
): number[] | undefined {
  if (!header.partOrder) return undefined;
  const { text, place } = header.partOrder;
  const labels = readPartOrder(text);
  const starts = lead.sections;
  if (!labels || labels.some((label) => !starts.some((s) => s.label === label))) {
    const message = `The order of parts "${text}" does not fit the parts of the tune: played as written`;
    issues.warn('abc.part-order', message, place);
    return undefined;
  }
  return labels.flatMap((label) => {
    const k = starts.findIndex((s) => s.label === label);
    const from = starts[k]!.bar;
    const to = starts[k + 1]?.bar ?? bars.length;
    const inside = playingOrder(bars.slice(from, to).map((bar) => bar.route));
    return (inside ?? []).map((i) => i + from);
  });
}

function partsOf(header: AbcHeader, body: AbcBody, issues: IssueList): DraftScore['parts'] {
  const count = Math.max(0, ...body.places.map((p) => p.part)) + 1;
  return Array.from({ length: count }, (_, part) => {
    const ids = body.places.filter((p) => p.part === part).map((p) => p.id);
    const spoken = ids.map((id) => header.voices.get(id)?.words.name).find((name) => name !== undefined);
    const transposition =
      ids.map((id) => body.voices.get(id)?.transposition).find((t) => t !== undefined) ?? 0;
    const declared = body.instrumentOfPart(part);
    if (declared && INSTRUMENTS[declared].transposition === transposition) {
      return { name: spoken ?? INSTRUMENTS[declared].name, instrument: declared };
    }
    const { instrument, doubt } = chooseInstrument(spoken ?? '', transposition);
    if (doubt) issues.warn('instrument.doubt', `Instrument in doubt: ${doubt}`);
    return { name: spoken ?? INSTRUMENTS[instrument].name, instrument };
  });
}
