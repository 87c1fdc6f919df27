// The world's trouble: one clear sentence, what to do next, a stable exit status, no stack.

import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { buildProgram } from '../../src/commands/program.ts';
import { writeTake } from '../../src/notation/midi-file/take-writer.ts';
import { ownFolder } from '../own-folder.ts';
import { fettle } from './run.ts';

const folder = ownFolder();

function file(name: string, content: string | Uint8Array): string {
  const path = join(folder, name);
  writeFileSync(path, content);
  return path;
}

const take = writeTake([{ pitch: 60, onMicros: 0, offMicros: 400_000, velocity: 80 }]);

type Case = [line: string, status: number, words: RegExp, hint?: RegExp];

const CASES: Case[] = [
  ['zzzz', 2, /Cannot run "zzzz"/, /, completion, demo\.$/],
  ['work slipwya', 3, /Cannot open the passage "slipwya"/, /Did you mean slipway/],
  [`work ${folder}`, 3, /it is a folder/],
  [`work ${file('empty.abc', '')}`, 3, /^fettle: Cannot read [^:]*: it is empty/],
  [`work ${file('noise.abc', 'nothing of the kind')}`, 3, /Cannot read/],
  [`work ${file('cut.mid', take.slice(0, 30))}`, 3, /Cannot read/],
  ['work slipway --bars 40-41', 2, /no bar 40/, /bars 1 to 8/],
  ['show slipway --bars 40', 2, /no bar 40/, /bars 1 to 8/],
  ['work slipway --bars 3-2', 2, /ends before it begins/],
  ['work slipway --onsets 5-5 --from model', 2, /Cannot/],
  ['work slipway --tempo 0', 2, /the tempo "0"/],
  ['work slipway --tempo 9999', 2, /the tempo "9999"/],
  ['work slipway --tempo fast', 2, /the tempo "fast"/],
  ['work slipway --drill landigns', 2, /Cannot find drill "landigns"/, /Did you mean landings/],
  ['work mudlarks --drill widening --from model', 2, /snag/],
  ['work slipway --drill widening --snag 99 --from model', 2, /snag 99/],
  ['work slipway --tolerance exact', 2, /rough, steady, concert/],
  ['work slipway --instrument clarinett', 2, /is not known/, /Did you mean clarinet/],
  ['work slipway --from model:pupl', 2, /there is no such player/, /Did you mean pupil/],
  ['work slipway --from nowhere.mid', 3, /Cannot open the take "nowhere.mid"/],
  ['work slipway --from keys --plain', 2, /computer keyboard/],
  ['work slipway --fast', 2, /Cannot play fast/],
  ['work slipway --ladder 96-60 --from model', 2, /the goal 60 is below the start 96/],
  ['work slipway --ladder quick --from model', 2, /a start and a goal/],
  ['work slipway --up 3 --from model', 2, /no ladder/],
  ['work slipway --ladder 60-72 --tempo 50 --from model --fast', 2, /Cannot use --tempo with --ladder/],
  [
    'work slipway --ladder 60-72 --passes 2 --from model --fast',
    2,
    /Cannot use --passes with --ladder/,
    /--up/,
  ],
  ['work slipway --drill landings --note 1/16 --from model --fast', 2, /--note with landings/, /switchback/],
  ['work slipway --drill through --every 2 --from model --fast', 2, /Cannot use --every with through/],
  ['steps slipway --snag 5', 2, /Cannot use --snag with landings/, /widening and tenuto/],
  ['work slipway --named-note C5 --from model --fast', 2, /Cannot use --named-note with a model/],
  ['work slipway --shift 12 --from model --fast', 2, /Cannot use --shift with a model/],
  [
    `convert slipway ${join(folder, 'out.abc')} --tempo 60`,
    2,
    /Cannot use --tempo without a drill/,
    /--drill/,
  ],
  [`convert slipway ${join(folder, 'out.abc')} --snag 5`, 2, /Cannot use --snag without a drill/],
  [`convert slipway ${join(folder, 'out.abc')} --every 2`, 2, /Cannot use --every without a drill/],
  ['calibrate --stream --tempo 90 --from model --fast', 2, /Cannot use --tempo with --stream/],
  ['calibrate --tolerance rough --from model --fast', 2, /Cannot use --tolerance without --stream/],
  [
    'work slipway --clock follow:pad --tempo 60',
    2,
    /Cannot use --tempo with --clock follow:pad/,
    /send:PORT/,
  ],
  ['work slipway --clock follow:pad --ladder 60-90', 2, /Cannot use --ladder with --clock/],
  ['work slipway --pedal skipp --from model', 2, /Cannot use "skipp"/, /Did you mean skip/],
  ['work slipway --control H2=skip --from model', 2, /Cannot use the control/],
  // The clarinet's written E4 sounds D4.
  ['work slipway --control D4=again --from model --fast', 2, /Cannot use D4 as a control: it is a note/],
  ['work slipway --click-to moon --from model', 2, /Cannot sound the click/],
  ['work slipway --passes 0 --from model', 2, /the number of clean takes/],
  ['work slipway --record /dev/null/practice.db --from model', 5, /Cannot/],
  [`judge slipway ${file('cut2.mid', take.slice(0, take.length - 3))}`, 3, /Cannot read/],
  ['judge slipway nowhere.mid', 3, /Cannot open the take/],
  // A take is judged as the passage is written, a survey plays it so: no drill is quietly left out.
  ['judge slipway take.mid --drill landings', 2, /Cannot use --drill: there is no such option/],
  ['survey slipway --drill landings --from model', 2, /Cannot use --drill: there is no such option/],
  ['drills landigns', 2, /Cannot find drill/, /Did you mean landings/],
  ['survey', 2, /^fettle: Cannot run survey: PASSAGE is missing/, /fettle passages/],
  ['judge slipway', 2, /TAKE is missing/, /fettle judge --help/],
  ['work slipway --tempo', 2, /Cannot use --tempo: its bpm is missing/],
  ['--bogus', 2, /Cannot use --bogus/, /All options: fettle --help/],
  ['slipway', 2, /no such command/, /Did you mean fettle work slipway/],
  ['slipwya', 2, /no such command/, /Did you mean fettle work slipway/],
  [`work ${file('scale.abc', 'X:1').replace('.abc', '')}`, 3, /no such file/, /Did you mean .*scale\.abc\?/],
  [
    `work ${file('harbour-song.mid', '').replace('song', 'snog')}`,
    3,
    /no such file/,
    /Did you mean .*harbour-song\.mid/,
  ],
  ['help wrok', 2, /Cannot run "wrok"/, /Did you mean fettle work/],
  [
    `work ${file('noise.mid', new Uint8Array([78, 111, 0, 255]))}`,
    3,
    /noise.mid: it is called a MIDI file/,
    /export it/,
  ],
  [
    `judge slipway ${file('noise2.mid', new Uint8Array([78, 111, 0, 255]))}`,
    3,
    /Cannot read the take ".*noise2.mid": byte 0/,
    /export it again/,
  ],
  [
    `work slipway --from ${file('noise3.mid', new Uint8Array([78, 111, 0, 255]))} --fast`,
    3,
    /Cannot read the take ".*noise3.mid"/,
  ],
  [`convert slipway ${join(folder, 'no', 'x.abc')}`, 3, /there is no folder ".*no"/, /Make the folder/],
  [`capture --from take.mid --fast --out ${join(folder, 'no', 'x.abc')}`, 3, /there is no folder ".*no"/],
  ['wrok slipway', 2, /Cannot run "wrok"/, /Did you mean fettle work/],
  [
    'work slipway --bars 3 4 --from model --fast',
    2,
    /Cannot run work: there is a word too many/,
    /--bars 3-4/,
  ],
  ['demo twice', 2, /Cannot show "twice"/, /fettle demo section/],
  ['work slipway --tepmo 60', 2, /Cannot use --tepmo: there is no such option/, /Did you mean --tempo/],
];

describe('help', () => {
  it('fits a terminal of 24 rows, and names every command', async () => {
    const { out } = await fettle('--help');
    expect(out.trimEnd().split('\n').length).toBeLessThan(24);
    for (const command of buildProgram().commands.map((one) => one.name()))
      if (command !== 'complete') expect(out).toMatch(new RegExp(`\\b${command}\\b`));
  });

  it('is printed for fettle help and fettle help COMMAND as for --help', async () => {
    for (const [asked, usual] of [
      ['help', '--help'],
      ['help work', 'work --help'],
    ] as const) {
      const ran = await fettle(asked);
      expect(ran.status).toBe(0);
      expect(ran.out).toContain('Usage: fettle');
      expect(ran.out).toBe((await fettle(usual)).out);
    }
  });
});

describe('bad input', () => {
  it.each<Case>(CASES)('%s', async (line, status, words, hint) => {
    const ran = await fettle(line);
    expect(ran.err).toMatch(words);
    if (hint) expect(ran.err).toMatch(hint);
    expect(ran.status).toBe(status);
    expect(ran.err).toMatch(/^fettle: Cannot /);
    // A hint is a sentence.
    expect(ran.err).not.toMatch(/\n {2}(?!fettle )[a-z]/);
    expect(ran.err).not.toMatch(/\n\s+at /);
    expect(ran.err.trim().split('\n').length).toBeLessThanOrEqual(3);
  });
});

describe('what fettle check lists', () => {
  it('is told once where a repeat plays it twice', async () => {
    const round = 'X:1\nT:Round\nM:2/4\nL:1/4\nQ:1/4=60\nK:C\n|: C D- | E F :|\n';
    const { out } = await fettle(`check ${file('round.abc', round)}`);
    expect(out.split('\n').filter((line) => line.includes('leads to no note'))).toHaveLength(1);
    expect(out).toContain('0 errors, 1 warning.');
  });

  it('has each place once', async () => {
    const { out } = await fettle(`check ${file('zero.abc', Uint8Array.of(0x58, 0x3a, 0x00, 0x0a))}`);
    expect(out.match(/byte 2/g)).toHaveLength(1);
  });
});
