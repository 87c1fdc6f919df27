import { describe, expect, it } from 'vitest';
import { loadSpan } from '../../src/commands/passage-argument.ts';
import { planSession } from '../../src/commands/session-setup.ts';
import { lettersByPitch } from '../../src/devices/keyboard-source.ts';
import { draw } from '../../src/screen/draw.ts';
import { advance } from '../../src/session/advance.ts';
import { newSession, type Session } from '../../src/session/session.ts';
import { eventsIn } from '../../src/take/take.ts';
import { FIVE_NOTES, playScript, readScript, tuneLines } from '../sessions/script.ts';
import { plainText, seen } from './emulator.ts';

const SIZES = [
  { columns: 80, rows: 24 },
  { columns: 120, rows: 40 },
  { columns: 200, rows: 50 },
  { columns: 60, rows: 16 },
  { columns: 24, rows: 6 },
  { columns: 1, rows: 1 },
];

describe('the screen of a session', () => {
  it('fits every size exactly and shows the same in an emulated terminal', async () => {
    for (const size of SIZES) {
      for (const at of [0, 2, 5.6, 7, 9.5, 12, 16]) {
        const frame = draw(await sessionAt(at), size, { unicode: true, source: 'script' });
        expect(frame.lines.length).toBe(size.rows);
        const rows = plainText(frame);
        for (const row of rows) expect([...row].length).toBe(size.columns);
        const shown = await seen(rows.join('\r\n'), size);
        expect(shown).toEqual(rows.map((row) => row.trimEnd()));
      }
    }
  });

  it('says the passage, the step, the tempo, the gate and the tolerance', async () => {
    const text = (await textAt(2)).join('\n');
    for (const words of [
      'Five notes',
      'step 1 of 1',
      'through',
      '60 a minute',
      'clean 0 of 2',
      'steady (28 ms or 13 %)',
    ]) {
      expect(text).toContain(words);
    }
  });

  it('marks on the ruler the fingerings that need a decision', async () => {
    const plan = planSession(await loadSpan('slipway', { bars: '2' }), { drill: 'through' });
    const { session } = advance(newSession(plan), { type: 'begin', at: 0 });
    const rows = plainText(draw(session, { columns: 100, rows: 30 }, { unicode: false, source: 'x' }));
    const names = rows.find((row) => row.includes('C5'))!;
    // C5 on the right, for the B4 after it is then on the left.
    const ruler = rows.find((row) => /[\d|]R.*L/.test(row))!;
    expect(ruler.indexOf('R')).toBe(names.indexOf('C5') + 1);
  });

  it('counts the lead-in by the beat of the bar, in ink that needs no colour', async () => {
    const rows = await textAt(3.55);
    expect(rows.slice(4, 9).map((row) => row.slice(2, 7))).toEqual([
      '#### ',
      '    #',
      '  ## ',
      '    #',
      '#### ',
    ]);
    expect(rows.join('\n')).toContain('LEAD-IN');
  });

  it('flashes on the click, and not between clicks', async () => {
    expect((await textAt(3.52)).join('\n')).toContain('(*)');
    expect((await textAt(3.7)).join('\n')).not.toContain('(*)');
  });

  it('shows the step that is at hand after a skip, not the one before with its verdict', async () => {
    const slipped = `${TWO_BARS}\n5.500 on C4\n6.500 on F4`;
    expect((await textAt(9.5, slipped)).join('\n')).toMatch(/C4.*x Played F4 for D4/s);
    for (const [control, landing, first] of [
      ['skip', '[F4] hold 2', 'E4'],
      ['back', '[D4] hold 2', 'C4'],
    ] as const) {
      const text = (await textAt(12, `${slipped}\n9.6 press skip\n10 press ${control}`)).join('\n');
      expect(text).toContain(landing);
      expect(text).toContain(first);
      expect(text).not.toContain('Played F4');
    }
  });

  it('marks a wrong note, the short interval and the sentence', async () => {
    const rows = await textAt(11);
    const text = rows.join('\n');
    expect(text).toContain('x Rushed D4 to E4 by 160 ms');
    expect(rows.find((row) => row.includes('short'))).toContain('-160');
    expect(text).toContain('Again, after the lead-in.');
  });

  it('says dimly what else was measured while the take is held, where a row is free', async () => {
    const frame = draw(await sessionAt(11.2), SIZES[0]!, { unicode: false, source: 'script' });
    const rows = plainText(frame).map((row) => row.trim());
    const sentence = rows.findIndex((row) => row.startsWith('x Rushed D4 to E4'));
    // Deviations 0, -160, 0, 0 ms: SD 80 ms, of 960 ms on average 8 %.
    expect(rows.slice(sentence + 1, sentence + 3)).toEqual([
      'Even to 80 ms (8 %).',
      'Again, after the lead-in.',
    ]);
    expect(frame.lines[sentence + 1]!.find(({ text }) => text.includes('Even'))!.role).toBe('dim');
    expect((await textAt(12)).join('\n')).not.toContain('Even to');
  });

  it('leaves slurs out of a step whose notes are not in the order in which they are written', async () => {
    const session = await sessionAt(11.2);
    const shown = session.shown!;
    const [one] = shown.take.lines;
    const { terms } = one!;
    const events = eventsIn(one!);
    const [first, second] = events.filter(({ type }) => type === 'note-on');
    const off = { type: 'note-off', at: second!.at - 140_000, pitch: 60, channel: 0 } as const;
    const at = (numbers: readonly number[]): string => {
      const onsets = terms.line.onsets.map((onset, i) => ({
        ...onset,
        number: numbers[i]!,
        notes: onset.notes.map((note) => ({ ...note, slurred: i === 0 })),
      }));
      const line = {
        ...one!,
        soFar: [[first!, off, ...events.slice(events.indexOf(first!) + 1)]],
        terms: { ...terms, line: { ...terms.line, onsets } },
      };
      const held = { ...session, shown: { ...shown, take: { ...shown.take, lines: [line] } } };
      return plainText(draw(held, SIZES[0]!, { unicode: false, source: 'script' })).join('\n');
    };
    expect(at([1, 2, 3, 4, 5])).toContain('Gap of 140 ms under the slur, C4 to D4.');
    expect(at([1, 2, 1, 3, 1])).not.toContain('slur');
  });

  it('marks a blip between the notes where it came', async () => {
    const blipped = `${TWO_BARS}\nset drill through\n5.500 on C4\n6.470 on F#4\n6.500 off F#4\n6.510 on D4\n7.5 on E4`;
    const rows = await textAt(7.7, blipped);
    expect(rows.join('\n')).toContain('x Blip F#4 between C4 and D4');
    const names = rows.join('\n');
    const marks = rows.find((row) => row.includes('~'))!;
    expect(names).toContain('~');
    const column = (name: string) => Math.max(...rows.slice(4, 13).map((row) => row.indexOf(name)));
    expect(marks.indexOf('~')).toBeGreaterThan(column('C4'));
    expect(marks.indexOf('~')).toBeLessThan(column('D4'));
  });

  it('names the upper one of two chord notes that share a row of a small screen, and no mixture', async () => {
    const chords = TWO_BARS.replace('C D E F | G4', '[CE_Bd] D E F | G4');
    const session = await sessionAt(2, chords);
    const text = plainText(draw(session, { columns: 40, rows: 10 }, { unicode: false, source: 'script' }));
    const names =
      text
        .slice(2, 6)
        .join(' ')
        .match(/[A-G][#b]*\d+/g) ?? [];
    expect(names).toContain('D5');
    for (const name of names) expect(['C4', 'D4', 'E4', 'F4', 'G4', 'Bb4', 'D5']).toContain(name);
  });

  it('carries nothing by role alone: slips, early and late are also in the text', async () => {
    const frame = draw(await sessionAt(11), SIZES[0]!, { unicode: false, source: 'script' });
    const coloured = frame.lines
      .flat()
      .filter(({ role }) => ['slip', 'early', 'late', 'good'].includes(role));
    for (const run of coloured) expect(run.text.trim()).not.toBe('');
  });

  it('shows a landing with its whole hold, however long its name', async () => {
    for (const note of ['g', '^f', '^^f', "^f'"]) {
      for (const hold of ['2', '12']) {
        const rows = await textAt(2, LANDING.replace('^f', note).replace('hold 2', `hold ${hold}`));
        expect(rows.join('\n'), `${note} held for ${hold}`).toMatch(
          new RegExp(`\\[[A-G#]+\\d\\] hold ${hold}(?!\\d)`),
        );
      }
    }
  });

  it.each([
    [60, 16],
    [40, 10],
    [30, 8],
  ])('says the whole sentence in %i columns and %i rows, and nothing by halves', async (columns, rows) => {
    const source = 'model of a pupil player, seed 1';
    const at = async (seconds: number) =>
      plainText(draw(await sessionAt(seconds), { columns, rows }, { unicode: false, source }));
    const said = (await at(11.2)).join('').replace(/ +/g, ' ');
    expect(said).toContain('x Rushed D4 to E4 by 160 ms (16 %): lean on the D4.');
    expect(said).toContain('step 1 of 1');
    expect(said).toContain('clean 0 of 2');
    const known = new Set(`${(await textAt(11.2)).join(' ')} ${source}`.split(/[ :,]+/));
    for (const row of (await at(2)).filter((_, i) => i < (rows < 14 ? 2 : 3) || i === rows - 1)) {
      const words = row.split(/[ :,]+/).filter((word) => word !== '' && !/^[[A-G=>|'.\]]/.test(word));
      for (const word of words) expect(known, row).toContain(word);
    }
  });

  it('names the key that hears a step also where letters are notes', async () => {
    const rows = async (letters?: ReadonlyMap<number, string>) =>
      plainText(
        draw(await sessionAt(2), SIZES[0]!, {
          unicode: false,
          source: 'keys',
          ...(letters ? { letters } : {}),
        }),
      );
    expect((await rows()).at(-1)).toContain('h hear');
    const onKeys = await rows(lettersByPitch(60));
    expect(onKeys.at(-1)).toContain('v hear');
    // C4 D4 E4 F4 G4 from the letter a on: the white keys are the home row.
    expect(onKeys.find((row) => /\ba\b.*\bs\b/.test(row))?.replaceAll(/[^a-z]+/g, '')).toBe('asdfg');
  });

  it('pages a long step so that the note that is due is seen', async () => {
    const rows = await textAt(6.1, LONG);
    expect(rows.join('\n')).toContain('^');
  });
});

// Helpers

const FIVE = `${FIVE_NOTES}
set tempo 60
set drill through
set passes 2
5.500 on C4
6.500 on D4
7.340 on E4
8.340 on F4
9.340 on G4`;

const TWO_BARS = `${tuneLines('C D E F | G4 |]', { title: 'Two bars' })}
set tempo 60`;

const LANDING = `${tuneLines('e ^f e e |]', { title: 'Landing' })}
set tempo 60
set hold 2`;

const LONG = `${tuneLines('CDEFGFED CDEFGFED | CDEFGFED CDEFGFED | C4 |]', { title: 'Long', unit: '1/16' })}
set tempo 60
set drill through
set passes 1
5.500 on C4
5.750 on D4
6.000 on E4`;

async function sessionAt(seconds: number, text = FIVE): Promise<Session> {
  const lines = text
    .split('\n')
    .filter((line) => !/^[\d.]+ /.test(line) || Number(line.split(' ')[0]) <= seconds);
  return playScript(await readScript([...lines, `${seconds} look`].join('\n'))).session;
}

async function textAt(seconds: number, text = FIVE): Promise<string[]> {
  return plainText(draw(await sessionAt(seconds, text), SIZES[0]!, { unicode: false, source: 'script' }));
}
