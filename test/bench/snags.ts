// How often planted snags lead the list: npx tsx test/bench/snags.ts [CASES]

import { findSnags } from '../../src/coaching/snags.ts';
import { align } from '../../src/matching/align.ts';
import { judge } from '../../src/matching/judge.ts';
import { TOLERANCES } from '../../src/matching/tolerance.ts';
import type { TakeVerdict } from '../../src/matching/verdict.ts';
import type { Tempo } from '../../src/music/tempo.ts';
import type { ModelTake } from '../../src/simulation/play-take.ts';
import { PROFILE_NAMES } from '../../src/simulation/profile.ts';
import type { ModelOnset } from '../../src/simulation/slip.ts';
import { lead, plantedCase } from '../coaching/planted-cases.ts';
import { truthVerdict } from '../coaching/truth-verdict.ts';

const MATCHED = process.argv.includes('matched');

function judged(onsets: readonly ModelOnset[], tempo: Tempo, click: boolean, take: ModelTake): TakeVerdict {
  const pulse = click ? ('click' as const) : ('free' as const);
  const expectation = { onsets, tempo, pulse, ...(click ? { zeroMicros: 4_000_000 } : {}) };
  return judge(expectation, take.notes, align(expectation, take.notes), { tolerance: TOLERANCES.steady });
}

const count = Number(process.argv[2] ?? 1000);
const tallies = new Map<string, { cases: number; led: number }>();
const tally = (name: string, led: boolean) => {
  const t = tallies.get(name) ?? { cases: 0, led: 0 };
  tallies.set(name, { cases: t.cases + 1, led: t.led + (led ? 1 : 0) });
};
for (let seed = 1; seed <= count; seed++) {
  const c = plantedCase(seed, { profiles: PROFILE_NAMES });
  const takes = c.takes.map(({ tempo, take, click }) => ({
    verdict: MATCHED ? judged(c.onsets, tempo, click, take) : truthVerdict(c.onsets, tempo, take),
    onsets: c.onsets,
    played: take.notes,
  }));
  const ranked = findSnags(takes, c.onsets.length);
  const led = lead(ranked, c.snags);
  tally('all', led);
  const shown = c.snags.every((snag) =>
    c.takes.some(
      ({ take }) =>
        take.truth.bent.some((b) => b.from === snag.onset - 1 && Math.abs(b.share) > 0.15) ||
        take.truth.slips.some((s) => s.planted && s.onset === snag.onset),
    ),
  );
  if (shown) tally('all that showed', led);
  for (const r of ranked) {
    const planted = c.snags.some((snag) => snag.onset === r.onset);
    tally(`sure ${Math.min(9, Math.floor(r.confidence * 10))}/10`, planted);
  }
  tally(`player ${c.profileName}`, led);
  tally(`takes ${takes.length}`, led);
  tally(`snags ${c.snags.length}`, led);
  for (const snag of c.snags) {
    const place = ranked.findIndex((r) => r.onset === snag.onset);
    tally(`word ${snag.word}`, place >= 0 && place < c.snags.length);
  }
  if (!led && process.argv.includes('show')) {
    console.log(seed, c.profileName, takes.length, JSON.stringify(c.snags.map((s) => [s.onset, s.word])));
    for (const r of ranked.slice(0, c.snags.length + 2)) console.log('   ', JSON.stringify(r));
    for (const { take } of c.takes)
      console.log('      ', JSON.stringify(take.truth.slips.map((s) => [s.onset, s.slip.kind, s.planted])));
  }
}
for (const [name, t] of [...tallies].sort()) {
  console.log(
    `${name.padEnd(20)} ${String(t.cases).padStart(6)} ${((100 * t.led) / t.cases).toFixed(1).padStart(6)} %`,
  );
}
