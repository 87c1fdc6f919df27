// `fettle section`: a section file and a passage, several players, one gate.

import { spawnSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import { planSection } from '../../src/commands/section.ts';
import { loadSection } from '../../src/commands/section-argument.ts';
import { need } from '../../src/commands/usage-problem.ts';
import { openDatabaseRecord } from '../../src/devices/database-record.ts';
import { recordPlace } from '../../src/devices/home.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { built } from '../built.ts';
import { PATIENCE_MS } from '../hangs.ts';
import { ownFolder } from '../own-folder.ts';
import { madeEntry } from '../record/made-entry.ts';
import { fettle } from './run.ts';

const FOLDER = ownFolder();
const BAR = '--bars 1 --drill through --passes 1 --tempo 80 --fast';

describe('fettle section', () => {
  it('works through the bundled section, one sentence for all and one for each', async () => {
    const { out, status } = await fettle(
      'section reeds slackwater --bars 1-2 --drill landings --every bar --passes 1 --fast',
    );
    expect(status).toBe(0);
    expect(out).toMatch(/step 1 of 2, landings: bar 1 beat 1 to bar 2 beat 1/);
    expect(out).toMatch(/\+ .*\(3 of 3 clean, together within \d+ ms; onward\)/);
    for (const name of ['Oboe', 'Clarinet', 'Bassoon'])
      expect(out).toMatch(new RegExp(`^ {10}\\+ ${name}: `, 'm'));
    // At the end what all of it shows of each.
    expect(out).toMatch(/done: 2 of 2 steps passed; 2 of 2 takes clean\nWho leads:\n {2}Oboe {6}\d/);
    expect(out).toMatch(/\n {2}Bassoon {3}\d+ ms (ahead of|behind) the others, .*; 2 of 2 takes clean$/);
  });

  it('takes every player’s known offset back out of what was played, to the millisecond', async () => {
    // Nothing but constant offsets: 0, 20, 40 and -30 ms after the beat.
    const offsets = { A: 0, B: 20, C: 40, D: -30 };
    const players = Object.entries(offsets).map(([name, ms]) => ({
      name,
      from: `model:exact,offset=${ms}`,
      part: 1,
    }));
    const { out } = await fettle(['section', file({ players }), 'slackwater', ...BAR.split(' '), '--json']);
    const verdict = JSON.parse(out);
    expect(verdict).toMatchObject({ clean: true, asynchronyMs: 0 });
    const pair = (a: string, b: string) =>
      verdict.pairs.find((one: { a: string; b: string }) => one.a === a && one.b === b);
    for (const [a, one] of Object.entries(offsets))
      for (const [b, other] of Object.entries(offsets))
        if (a < b) expect(pair(a, b)).toEqual({ a, b, events: 10, leadMs: one - other, asynchronyMs: 0 });
    // From the middle of the other three: A of 20, 40, -30.
    expect(verdict.players.map(({ leadMs }: { leadMs: number }) => leadMs)).toEqual([-20, 20, 40, -50]);
  });

  it('tells who is ahead in recorded takes that were made together', async () => {
    // Four recordings of the same bar, each a file of its own: 0, 20, 40 and -30 ms from the beat.
    const players = await recordedPlayers([0, 20, 40, -30].map((ms) => (micros) => micros + 1000 * ms));
    const { out } = await fettle(['section', file({ players }), 'slackwater', ...BAR.split(' '), '--json']);
    const { players: told, asynchronyMs } = JSON.parse(out.split('\n')[0]!);
    expect(told.map(({ leadMs }: { leadMs: number }) => leadMs)).toEqual([-20, 20, 40, -50]);
    expect(asynchronyMs).toBeLessThan(0.1);
  });

  it.each([
    ['all rush', [0.06, 0.06, 0.06], /x All rush together: \d{3} ms early by the end/],
    ['all drag', [-0.06, -0.06, -0.06], /x All drag together: \d{3} ms late by the end/],
    ['all rush by more than their intervals may', [0.2, 0.2, 0.2], /x All rush together: \d{4} ms early/],
    ['one rushes alone', [0, 0.06, 0], /x Reed 2: all of it was 6 % faster than the click/],
    [
      'one rushes, and is still clean',
      [0, 0.015, 0],
      /\+ Reed 2 pulls ahead of the others, \d\d ms by the end/,
    ],
  ])('tells rushing together from one who rushes: %s', async (_, shares, words) => {
    const players = await recordedPlayers(shares.map((share) => (micros) => micros * (1 - share)));
    const { out } = await fettle(['section', file({ players }), 'slackwater', ...BAR.split(' '), '--run-on']);
    expect(out).toMatch(words);
  });

  it('tells of one who is behind throughout before a moment at which chance puts two further apart than is heard', async () => {
    // Sixteen of a spread of 6 ms: at one moment or other two of them are some 30 ms apart by chance.
    const players = Array.from({ length: 16 }, (_, i) => ({
      name: `Reed ${i + 1}`,
      from: `model:exact,sd=6,seed=${i + 1},offset=${i === 5 ? 45 : 0}`,
      part: 1,
    }));
    const { out } = await fettle(['section', file({ players }), 'slackwater', ...BAR.split(' '), '--json']);
    const { sentence, moments } = JSON.parse(out);
    expect(Math.max(...moments.map(({ apartMs }: { apartMs: number }) => apartMs))).toBeGreaterThan(22);
    expect(sentence).toMatch(/^Reed 6 is \d\d ms behind the others\. It may be the set-up/);
  });

  it('says of a lag too long for a habit that it may be the set-up, where that was not calibrated', async () => {
    const players = [
      { name: 'Near', from: 'model:exact', part: 1 },
      { name: 'Far', from: 'model:exact,offset=200', part: 2 },
    ];
    const { out } = await fettle([
      'section',
      file({ players }),
      'slackwater',
      ...BAR.split(' '),
      '--minutes',
      '1',
    ]);
    expect(out).toMatch(
      /x Far: All of it 200 ms late on the click: .*It may be the set-up: fettle section calibrate/,
    );
  });

  it('gives the same verdicts for the same seeds', async () => {
    const line = 'section reeds slackwater --bars 2-3 --drill through --fast --json --passes 1';
    expect((await fettle(line)).out).toBe((await fettle(line)).out);
  });

  it.each(['', '--run-on'])('tells a player who plays another’s part, once %s', async (more) => {
    const take = join(FOLDER, 'clarinet.mid');
    await fettle(`convert slackwater ${take} --part Clarinet --bars 1-2 --drill through --tempo 80 --force`);
    const players = [
      { name: 'Oboe', from: take, part: 'Oboe' },
      { name: 'Bassoon', from: 'model:exact', part: 'Bassoon' },
      { name: 'Clarinet', from: 'model:exact', part: 'Clarinet' },
    ];
    const record = join(FOLDER, `other-part${more}.db`);
    const words = [
      'section',
      file({ players }),
      'slackwater',
      ...BAR.replace('1', '1-2').split(' '),
      '--minutes',
      '1',
      '--record',
      record,
    ];
    const { out } = await fettle([...words, ...more.split(' ').filter(Boolean)]);
    expect(out).toMatch(/x Oboe played the part of Clarinet\./);
    expect(out).toMatch(/x Oboe: Played the part of Clarinet\./);
    // Where another part was played, a few notes are right by chance, far from their place: nobody is compared with them.
    expect(out).not.toMatch(/(ahead of|behind) the others/);
    const kept = await fettle(['progress', 'slackwater', '--section', '--record', record]);
    expect(kept.out).toMatch(/Bassoon +with the others/);
  });

  it('tells of players who are all of it off by pitch, and does not call a take clean that was not', async () => {
    const players = [
      { name: 'Oboe', from: 'model:exact', part: 1 },
      { name: 'High', from: 'model:exact', part: 2, shift: 12 },
      { name: 'Off', from: 'model:exact', part: 3, shift: 2 },
    ];
    const music = ['slackwater', ...'--bars 1-2 --drill through --fast --minutes 1'.split(' ')];
    const { out } = await fettle(['section', file({ players }), ...music]);
    expect(out).toMatch(
      /x High: right, but all an octave too high: .* One other was not clean\. \(0 of 3 clean/,
    );
    expect(out).toMatch(/x Oboe: Right up to where the run was stopped\./);
    expect(out).toMatch(/x Off: Right, but all 2 semitones too high/);
    expect(out).not.toMatch(/x (All clean|Oboe: Clean)/);
  });

  it('names the notes as each player reads them', async () => {
    const players = [
      { name: 'Alto', from: 'model:exact,snag=2:wrong', part: 'Oboe', instrument: 'alto-sax' },
      { name: 'Oboe', from: 'model:exact,snag=2:wrong', part: 'Oboe' },
    ];
    const { out } = await fettle(['section', file({ players }), 'slackwater', ...BAR.split(' '), '--run-on']);
    // Sounding F5 is D6 for the alto saxophone in E flat.
    expect(out).toMatch(/Alto: .*D6/);
    expect(out).toMatch(/Oboe: .*F5/);
  });

  it('ends in plain lines where it would wait for a note that nobody can play any more', async () => {
    // The recording is over after the first take; who is left has a rest, and there is no key to press.
    const [music, take] = [join(FOLDER, 'late.abc'), join(FOLDER, 'late.mid')];
    writeFileSync(music, 'X:1\nT:Late\nM:1/4\nL:1/8\nQ:1/4=400\nK:C\nV:1\nCE|GE|CC|\nV:2\nz2|z2|CC|\n');
    await fettle(`convert ${music} ${take} --part 1 --bars 1 --drill landings --tempo 400 --force`);
    const players = [
      { name: 'Solo', from: take, part: 1 },
      { name: 'Late', from: 'model:exact', part: 2 },
    ];
    const words = `--bars 1 --drill landings --tempo 400 --plain --click-to off --record ${join(FOLDER, 'late.db')}`;
    const ended = spawnSync(
      process.execPath,
      [built('src/main.ts'), 'section', file({ players }), music, ...words.split(' ')],
      { encoding: 'utf8', timeout: PATIENCE_MS },
    );
    expect(ended.stdout).toMatch(/\+ Nobody who counts had a note to play\. \(1 of 1 clean/);
    expect(ended.stdout).toMatch(/paused: nothing was heard.*\n.* done: /);
    expect(ended).toMatchObject({ stderr: '', status: 0 });
  });

  it('judges each by their own tolerance', async () => {
    const uneven = 'model:exact,sd=22,seed=6';
    const players = [
      { name: 'Strict', from: uneven, part: 1, tolerance: 'concert' },
      { name: 'Loose', from: uneven, part: 1, tolerance: 'rough' },
    ];
    const { out } = await fettle([
      'section',
      file({ players }),
      'slackwater',
      ...BAR.split(' '),
      '--json',
      '--minutes',
      '1',
    ]);
    const [first] = out.split('\n').map((line) => JSON.parse(line));
    expect(first.players.map(({ clean }: { clean: boolean }) => clean)).toEqual([false, true]);
  });

  it.each([
    ['no such file', ['section', 'nowhere.json', 'slackwater'], 'section.missing', /no such file/, 3],
    ['no passage', ['section', 'reeds'], 'section.passage', /works on a passage/, 2],
    [
      'a quorum of more than there are',
      ['section', 'reeds', 'slackwater', '--quorum', '4'],
      '',
      /from 1 to 3/,
      2,
    ],
    [
      'a verdict on the section of one player alone',
      'section reeds slackwater --without Oboe --without Bassoon --json'.split(' '),
      '',
      /Cannot use --json with one player: "Clarinet" would play alone/,
      2,
    ],
    [
      'an unknown player left out',
      ['section', 'reeds', 'slackwater', '--without', 'Flute'],
      '',
      /the players are Oboe, Clarinet, Bassoon/,
      2,
    ],
  ])('says clearly: %s', async (_, line, __, words, status) => {
    const ran = await fettle(line);
    expect(ran.err).toMatch(words);
    expect(ran.status).toBe(status);
  });

  it('says which player has a part that is not there, and which input', async () => {
    const part = file({ players: [{ name: 'Horn', from: 'model', part: 'Horn' }] });
    const unknown = await fettle(['section', part, 'slackwater', ...BAR.split(' ')]);
    expect(unknown.err).toMatch(/Cannot give "Horn" the part Horn: there is no part "Horn"/);
    expect(unknown.err).toMatch(/1 Oboe, 2 Clarinet, 3 Bassoon/);
    const real = file({
      players: [
        { name: 'Oboe', from: 'model' },
        { name: 'Tuba', from: 'No such keys' },
      ],
    });
    expect((await fettle(['section', real, 'slackwater', ...BAR.split(' ')])).err).toMatch(
      /from real instruments/,
    );
  });

  it('tells beforehand who rests through all of it, and refuses where nobody has a note', async () => {
    const resting = join(FOLDER, 'resting.abc');
    writeFileSync(
      resting,
      'X:1\nT:Rests\n%%score 1 2\nM:4/4\nL:1/4\nQ:1/4=100\nK:C\nV:1\nV:2\nV:1\nCDEF|CDEF|CDEF|\nV:2\nz4|z4|CDEF|\n',
    );
    const players = [
      { name: 'One', from: 'model:exact', part: 1 },
      { name: 'Two', from: 'model:exact', part: 2 },
    ];
    const both = await fettle(['section', file({ players }), resting, ...BAR.split(' ')]);
    expect(both.out).toMatch(/Two rests through all of it/);
    expect(both.out).toMatch(/\+ Two: Rested as written\./);
    expect(both.out).toMatch(/1 of 1 steps passed/);
    const silent = await fettle([
      'section',
      file({ players: players.slice(1) }),
      resting,
      '--onsets',
      '1-4',
      '--fast',
    ]);
    expect(silent.err).toMatch(/nobody has a note/);
    // Their landing, one beat past the chosen ones, is everybody's.
    const landing = [resting, ...'--bars 2.4 --drill landings --passes 1 --fast'.split(' ')];
    const both2 = await fettle(['section', file({ players }), ...landing]);
    expect(both2.out).not.toMatch(/rests through all of it/);
    expect(both2.out).toMatch(/1 of 1 steps passed/);
  });
});

describe('the options of work, for a section', () => {
  const duo = () =>
    file({
      section: 'Duo',
      players: ['One', 'Two'].map((name) => ({ name, from: 'model:exact', part: 1 })),
    });

  it('a ladder goes on from the rung that the section had come to, and not from one player’s', async () => {
    const climb = (record: string, from: string, ...more: string[]) =>
      fettle([
        ...`section ${file({
          section: 'Climbers',
          players: [
            { name: 'One', from: 'model:exact', part: 1 },
            { name: 'Two', from, part: 1 },
          ],
        })} slackwater --bars 1 --drill through --fast --run-on --record ${join(FOLDER, record)}`.split(' '),
        ...'--ladder 60-96 --minutes 1'.split(' '),
        ...more,
      ]);
    // The second is never clean: whatever the first does, the section stays at the bottom.
    await climb('bottom.db', 'model:exact,sd=150,seed=2');
    expect((await climb('bottom.db', 'model:exact')).out).not.toMatch(/The ladder goes on/);
    await climb('ladder.db', 'model:exact');
    const { out } = await climb('ladder.db', 'model:exact');
    const goesOn = /The ladder goes on from rung (\d+) of \d+, ([\d.]+) a minute/.exec(out);
    expect(Number(goesOn?.[1])).toBeGreaterThan(3);
    expect(out).toContain(`step 1 of 1, through, ${goesOn?.[2]} a minute`);
    expect((await climb('ladder.db', 'model:exact', '--afresh')).out).not.toMatch(/The ladder goes on/);
  });

  it('the pedal and the control notes are everybody’s, or the leader’s', async () => {
    const span = await loadSpan('slackwater', { bars: '1' });
    const seats = loadSection(duo());
    const options = { pedal: 'again', control: ['C1=skip'] };
    const controls = (more: object) =>
      planSection(seats, span, { ...options, ...more }).players.map((player) => player.controls);
    const own = { pedal: 'again', notes: { 24: 'skip' } };
    expect(controls({})).toEqual([own, own]);
    expect(controls({ leader: 'Two' })).toEqual([{ notes: {} }, own]);
  });

  it.each([
    ['--leader Three --pedal again', /Cannot let "Three" lead: the players are One, Two/],
    ['--leader One', /nothing is a control/],
    ['--named-note C5', /with a model/],
    ['--monitor', /only seen here/],
    ['--control C1=leap', /the controls are/],
  ])('refuses %s', async (more, words) => {
    const ran = await fettle(['section', duo(), 'slackwater', ...BAR.split(' '), ...more.split(' ')]);
    expect(ran.err).toMatch(words);
    expect(ran.status).toBe(2);
  });
});

describe('the page of a rehearsal', () => {
  it('has who leads, how far apart by take and what was said, stands alone, and is not written over', async () => {
    const page = join(FOLDER, 'rehearsal.html');
    const players = [
      { name: 'Early', from: 'model:exact,offset=-20', part: 1 },
      { name: 'On & <time>', from: 'model:exact', part: 1 },
      { name: 'Late', from: 'model:exact,offset=40', part: 1 },
    ];
    const line = [
      'section',
      file({ section: 'Trio', players }),
      'slackwater',
      ...BAR.split(' '),
      '--page',
      page,
    ];
    expect((await fettle(line)).out).toMatch(/Wrote .*rehearsal\.html/);
    const html = readFileSync(page, 'utf8');
    expect(html).toContain('<h1>Trio: Slack Water</h1>');
    // From the middle of the other two: Early of 0 and 40, Late of -20 and 0.
    expect(html).toMatch(/<td>Early<\/td><td>-40\.0<\/td>/);
    expect(html).toMatch(/<td>Late<\/td><td>50\.0<\/td>/);
    expect(html).toContain('On &amp; &lt;time&gt;');
    expect(html).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)/);
    expect(html.match(/<svg/g)).toHaveLength(2);
    expect((await fettle(line)).err).toMatch(/there is such a file already/);
  });
});

describe('what the record has of a section', () => {
  const record = join(FOLDER, 'together.db');
  const trio = (late: number) => [
    { name: 'Early', from: 'model:exact,offset=-20', part: 1 },
    { name: 'On', from: 'model:exact', part: 1 },
    { name: 'Late', from: `model:exact,offset=${late}`, part: 1 },
  ];
  const play = (section: object, ...more: string[]) =>
    fettle(['section', file(section), 'slackwater', ...BAR.split(' '), '--record', record, ...more]);
  const ask = (line: string) => fettle([...line.split(' '), '--record', record]);

  it('is told by section: who leads, how far apart by take, the share of clean takes by day', async () => {
    await play({ section: 'Trio', players: trio(40) }, '--passes', '2');
    await play({ section: 'Trio', players: trio(20) });
    const { out, status } = await ask('progress slackwater --section');
    expect(status).toBe(0);
    expect(out).toMatch(/^Trio, Slack Water: 3 of 3 takes clean \(100 %\), on 1 day\.$/m);
    // From the middle of the other two: Early -40, -40 and -30, Late 50, 50 and 30.
    expect(out).toMatch(/^ {2}Early {2}37 ms ahead of the others, give or take 0 ms .*3 of 3 takes clean$/m);
    expect(out).toMatch(/^ {2}Late {3}43 ms behind the others/m);
    const json = JSON.parse((await ask('progress slackwater --section Trio --json')).out);
    expect(json.takes.map((take: { asynchronyMs: number }) => take.asynchronyMs)).toEqual([0, 0, 0]);
    // Every sitting on the simulated clock is on the same day at the same hour: the second one's take comes between.
    const leads = json.takes.map(({ players }: { players: { leadMs: number }[] }) =>
      players.map(({ leadMs }) => leadMs),
    );
    expect(leads).toEqual([
      [-40, -10, 50],
      [-30, 0, 30],
      [-40, -10, 50],
    ]);
    expect(json.days).toEqual([
      { day: expect.stringMatching(/^\d{4}-\d\d-\d\d$/), takes: 3, cleanTakes: 3, asynchronyMs: 0 },
    ]);
    expect((await ask('progress --section')).out).toMatch(/^Trio, slackwater: 3 of 3 takes clean/);
  });

  it('is told in a page as well; where there are several sections, of the one that is named', async () => {
    const page = join(FOLDER, 'trio.html');
    expect((await ask(`report slackwater --section Trio --out ${page}`)).status).toBe(0);
    const html = readFileSync(page, 'utf8');
    expect(html).toContain('<h1>Trio: Slack Water</h1>');
    expect(html.match(/<svg/g)).toHaveLength(3);
    expect(html).toContain('Share of clean takes by day: 100 %');
    expect(html).toMatch(/<td>Early<\/td><td>-36\.7<\/td><td>0\.0<\/td><td>3 of 3<\/td><td>no<\/td>/);
    const all = join(FOLDER, 'all.html');
    expect((await ask(`report --section --out ${all}`)).status).toBe(0);
    expect(readFileSync(all, 'utf8')).toMatch(/<td>slackwater<\/td><td>1<\/td><td>3<\/td><td>100 %<\/td>/);

    await play({ section: 'Duo', players: trio(0).slice(1) });
    expect((await ask('progress slackwater --section')).err).toMatch(/Which section\?.*\n.*Duo, Trio/);
    expect((await ask('progress slackwater --section Duo')).out).toMatch(/^Duo, Slack Water: 1 of 1 take/);
    expect((await ask('progress slackwater --section Choir')).err).toMatch(
      /Cannot find a take of the section/,
    );
  });

  it('is each player’s own as well', async () => {
    const { out } = await ask('progress slackwater --player Early --json');
    expect(JSON.parse(out)).toMatchObject({ takes: 3, cleanShare: 1 });
  });

  it('is not taken for the practice of the one whose record it is', async () => {
    const home = process.env.FETTLE_HOME;
    process.env.FETTLE_HOME = join(FOLDER, 'home');
    try {
      const own = need(await openDatabaseRecord(await recordPlace()));
      const together = { section: 'Trio', take: 1, attendance: 'counted', needed: 1 } as const;
      own.add([madeEntry(1), madeEntry(2, { player: 'Bo', together })]);
      own.close();
      expect(JSON.parse((await fettle('progress --json')).out).passages).toMatchObject([{ takes: 1 }]);
      expect((await fettle('progress --section')).out).toMatch(/^Trio, harbour-reel: 1 of 1 take/);
    } finally {
      process.env.FETTLE_HOME = home;
    }
  });
});

describe('takes at stations of their own, compared afterwards', () => {
  const record = join(FOLDER, 'stations.db');
  const station = (player: string, part: string, model: string, ...more: string[]) =>
    fettle([
      ...`work slackwater --part ${part} --player ${player} --from ${model} --fast`.split(' '),
      ...'--drill through --tempo 80 --passes 1 --record'.split(' '),
      record,
      ...more,
    ]);
  const compare = (line: string) => fettle([...`section compare ${line} --record`.split(' '), record]);
  const band = file({
    players: [
      { name: 'Reed', from: 'model', part: 'Oboe' },
      { name: 'Bell', from: 'model', part: 'Clarinet', instrument: 'clarinet' },
      { name: 'Low', from: 'model', part: 3 },
    ],
  });

  it('tells each against its own click, in whatever part and key it was read there', async () => {
    await station('Reed', 'Oboe', 'model:exact,offset=10');
    expect((await compare(`${band} slackwater`)).err).toMatch(/only Reed has complete takes/);
    // At another time of the station's day: a lead-in of its own, a few misses before.
    await station('Bell', '2', 'model:exact,offset=45', '--instrument', 'clarinet', '--passes', '3');
    await station('Low', '3', 'model:exact,offset=-12');
    const { out, status } = await compare(`${band} slackwater --json`);
    expect(status).toBe(0);
    const verdict = JSON.parse(out);
    expect(verdict).toMatchObject({ drill: 'through', tempoBpm: 80, clean: true, asynchronyMs: 0 });
    const lead = (a: string, b: string) =>
      verdict.pairs.find((pair: { a: string; b: string }) => pair.a === a && pair.b === b).leadMs;
    expect([lead('Reed', 'Bell'), lead('Reed', 'Low'), lead('Bell', 'Low')]).toEqual([-35, 22, 57]);
    const plain = (await compare(`${band} slackwater`)).out;
    expect(plain).toMatch(/^through, through, at 80 \(Reed .*; Bell .*; Low .*\):$/m);
    expect(plain).toMatch(
      /^\+ Bell is \d+ ms behind the others\..* \(3 of 3 clean, together within 0 ms\)$/m,
    );
  });

  it('compares runs of different length over what they have in common, and says what nobody else has', async () => {
    const own = join(FOLDER, 'landings.db');
    const landings = (player: string, part: string, model: string, every: string) =>
      fettle([
        ...`work slackwater --part ${part} --player ${player} --from ${model} --fast --bars 1-2`.split(' '),
        ...`--drill landings --every ${every} --tempo 80 --passes 1 --record`.split(' '),
        own,
      ]);
    await landings('Reed', 'Oboe', 'model:exact,offset=10', '1');
    await landings('Low', '3', 'model:exact,offset=-20', '2');
    const compare = (...more: string[]) =>
      fettle([...`section compare ${band} slackwater --bars 1-2 --record`.split(' '), own, ...more]);
    const plain = (await compare()).out;
    expect(plain).toMatch(
      /^landings, bar 1, beats 1 to 2, at 80 \(Reed \S+; Low \S+ in landings, bar 1, beats 1 to 3\):$/m,
    );
    // In bar 2 the low part has beats 1, 3 and 4, so that no beat of the other has both of its ends there but the last.
    expect(plain).toMatch(/^Not compared: [^:]*:\n {2}Reed \S+: landings, bar 2, beats 1 to 2, at 80$/m);
    const lines = (await compare('--json')).out
      .trim()
      .split('\n')
      .map((line) => JSON.parse(line));
    const { notCompared } = lines.at(-1);
    expect(notCompared.map(({ step }: { step: string }) => step)).not.toContain('bar 1, beats 1 to 2');
    for (const { pairs } of lines.slice(0, -1))
      expect(pairs).toMatchObject([{ a: 'Reed', b: 'Low', leadMs: 30, asynchronyMs: 0 }]);
  });

  it('says what is not comparable, and what to do', async () => {
    expect((await compare(`${band} slackwater --bars 1`)).err).toMatch(/nobody of the section/);
    expect((await compare(`${band} slackwater --bars 99`)).err).toMatch(/no bar 99/);
    expect((await compare('reeds slackwater')).err).toMatch(/the players there are Bell, Low, Reed/);
    await station('Solo', '3', 'model:exact', '--tempo', '60');
    const two = file({
      players: [
        { name: 'Reed', from: 'model', part: 'Oboe' },
        { name: 'Solo', from: 'model', part: 3 },
      ],
    });
    expect((await compare(`${two} slackwater`)).err).toMatch(/no music .* by two of them at one tempo/);
    await station('Reed', 'Oboe', 'model:exact', '--drill', 'switchback', '--bars', '1');
    await station('Low', '3', 'model:exact', '--drill', 'switchback', '--bars', '1');
    expect((await compare(`${band} slackwater --drill switchback`)).out).toMatch(/without a click/);
  });
});

describe('fettle demo section', () => {
  it('ends by itself in under a minute of playing, with one who is told to lean and one who is behind', async () => {
    const { out, status } = await fettle('demo section --fast');
    expect(status).toBe(0);
    const done = /^ *(\d+\.\d) {2}done: 5 of 5 steps passed/m.exec(out);
    expect(Number(done![1])).toBeLessThan(60);
    expect(out).toMatch(/x Clarinet broke at bar 1, beat 4: rushed A4 to B4/);
    expect(out).toMatch(/Bassoon is \d+ ms behind the others/);
    expect((await fettle('demo choir')).err).toMatch(/Cannot show "choir"/);
  });
});

// Helpers

let files = 0;

/** Recordings of the first bar, made together: when each player struck what belonged so long after the entry. */
async function recordedPlayers(played: readonly ((micros: number) => number)[]) {
  const { out } = await fettle('steps slackwater --part 1 --bars 1 --drill through --tempo 80 --json');
  const { onsets } = JSON.parse(out).steps[0] as { onsets: { tick: number; pitches: number[] }[] };
  return played.map((placeOf, i) => {
    files += 1;
    const from = join(FOLDER, `${files}.mid`);
    const notes = onsets.map(({ tick, pitches: [pitch] }) => {
      // 80 quarters of 10080 ticks a minute.
      const onMicros = 2_000_000 + Math.round(placeOf((tick * 750_000) / 10_080));
      return { pitch: pitch!, onMicros, offMicros: onMicros + 200_000, velocity: 80, channel: 1 };
    });
    writeFileSync(from, writeTake(notes));
    return { name: `Reed ${i + 1}`, from, part: 1 };
  });
}

function file(section: object): string {
  files += 1;
  const path = join(FOLDER, `${files}.json`);
  writeFileSync(path, JSON.stringify(section));
  return path;
}
