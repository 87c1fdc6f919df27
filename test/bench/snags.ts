// How often planted snags lead the list, and how much the confidences are worth.
// npx tsx test/bench/snags.ts [--cases 1000] [--strength 1] [--load 0.5] [--chords] [--truth] [--show]
//   --truth: verdicts of a faultless matcher instead of the real one; --show: every case that failed.

import { parseArgs } from 'node:util';
import { findSnags } from '../../src/coaching/snags.ts';
import { PROFILE_NAMES } from '../../src/simulation/profile.ts';
import { judged } from '../coaching/judged.ts';
import { lead, plantedCase, showed } from '../coaching/planted-cases.ts';
import { truthVerdict } from '../coaching/truth-verdict.ts';

const { values } = parseArgs({
  options: {
    cases: { type: 'string', default: '1000' },
    strength: { type: 'string', default: '1' },
    load: { type: 'string', default: '0.5' },
    chords: { type: 'boolean', default: false },
    truth: { type: 'boolean', default: false },
    show: { type: 'boolean', default: false },
  },
});

const tallies = new Map<string, { cases: number; hits: number }>();
function tally(name: string, hit: boolean): void {
  const { cases, hits } = tallies.get(name) ?? { cases: 0, hits: 0 };
  tallies.set(name, { cases: cases + 1, hits: hits + (hit ? 1 : 0) });
}

for (let seed = 1; seed <= Number(values.cases); seed++) {
  const c = plantedCase(seed, {
    profiles: PROFILE_NAMES,
    strength: Number(values.strength),
    load: Number(values.load),
    chords: values.chords,
  });
  const takes = c.takes.map((played) => ({
    verdict: values.truth ? truthVerdict(c.onsets, played.tempo, played.take) : judged(c.onsets, played),
    onsets: c.onsets,
    played: played.take.notes,
  }));
  const ranked = findSnags(takes, c.onsets.length);
  const led = lead(ranked, c.snags);
  tally('all planted lead: all cases', led);
  if (showed(c)) tally('all planted lead: cases where each showed', led);
  tally(`all planted lead: ${c.profileName} player`, led);
  tally(`all planted lead: ${takes.length} takes`, led);
  tally(`all planted lead: ${c.snags.length} snags`, led);
  for (const snag of c.snags)
    tally(
      `this one leads: ${snag.word}`,
      ranked.slice(0, c.snags.length).some((s) => s.onset === snag.onset),
    );
  for (const { confidence, onset } of ranked) {
    const tenth = Math.min(9, Math.floor(confidence * 10));
    tally(
      `is a planted one: ${tenth * 10} to ${tenth * 10 + 10} % sure`,
      c.snags.some((s) => s.onset === onset),
    );
  }
  if (!led && values.show) {
    console.log(seed, c.profileName, JSON.stringify(c.snags));
    for (const snag of ranked.slice(0, c.snags.length + 2)) console.log('   ', JSON.stringify(snag));
    for (const { take } of c.takes) {
      const slips = take.truth.slips.map((s) => `${s.onset} ${s.slip.kind}${s.planted ? ' (planted)' : ''}`);
      console.log(`       ${slips.join(', ')}`);
    }
  }
}
for (const [name, { cases, hits }] of [...tallies].sort()) {
  console.log(
    `${name.padEnd(48)} ${String(cases).padStart(6)} ${((100 * hits) / cases).toFixed(1).padStart(6)} %`,
  );
}
