// `fettle section new FILE`: a section file by asking each player to play one note. Every input is listened to; whose
// note comes on which input, channel and key says where they sit.

import type { Passage } from '../music/passage.ts';
import { spellingName, spellPitch } from '../music/pitch.ts';
import { partIndex } from '../notation/choice/part.ts';
import type { PlayerSource } from '../ports/player-source.ts';
import { EXIT, ProblemError } from '../problem.ts';
import { keysText, MOST_PLAYERS } from '../section/section-file.ts';
import { loadPassage } from './passage-argument.ts';
import { openQuestions, type Questions } from './questions.ts';
import { need } from './usage-problem.ts';
import { refuseOverwriting, writeWhole } from './written-file.ts';

export interface NewSectionOptions {
  readonly passage?: string;
  readonly force?: boolean;
}

export async function newSection(path: string, options: NewSectionOptions): Promise<void> {
  refuseOverwriting(path, 'section', options.force);
  const passage =
    options.passage === undefined ? undefined : await loadPassage(options.passage, { part: 'all' });
  const questions = openQuestions();
  const inputs = await openAll();
  try {
    const players = await askPlayers(questions, inputs, passage);
    if (players.length === 0) return questions.tell('Nobody was named: nothing is written.');
    writeWhole(path, `${JSON.stringify({ section: 'section', players }, null, 2)}\n`);
    questions.tell(`Wrote ${path}: fettle section ${path} ${options.passage ?? 'PASSAGE'} begins.`);
  } finally {
    questions.close();
    await Promise.allSettled(inputs.map((input) => input.close()));
  }
}

/** All inputs that can be opened; one that is busy is left out. Throws a ProblemError where there is none. */
async function openAll(): Promise<PlayerSource[]> {
  const { listInputs } = await import('../devices/midi-ports.ts');
  const { openMidiSource } = await import('../devices/midi-source.ts');
  const names = need(await listInputs());
  const opened = await Promise.all(names.map((name) => openMidiSource(name)));
  const inputs = opened.flatMap((one) => (one.ok ? [one.value] : []));
  if (inputs.length > 0) return inputs;
  throw new ProblemError({
    code: 'port.none',
    message: 'Cannot ask the players: no MIDI input is connected',
    hint: 'Plug the instruments in. A section file can also be written by hand; the README has the fields.',
    exitStatus: EXIT.device,
  });
}

interface Seated {
  readonly name: string;
  readonly input: string;
  readonly channel: number;
  readonly pitch: number;
  readonly part?: string;
}

interface WrittenPlayer {
  readonly name: string;
  readonly from: string;
  readonly channel?: number;
  readonly keys?: string;
  readonly part?: string;
}

/** Who plays where, by what they played. Two who cannot be told apart are asked again. */
export async function askPlayers(
  questions: Questions,
  inputs: readonly PlayerSource[],
  passage?: Passage,
): Promise<WrittenPlayer[]> {
  const listening = listen(inputs);
  const seated: Seated[] = [];
  questions.tell(`Listening to ${inputs.map(({ name }) => name).join(', ')}.`);
  while (seated.length < MOST_PLAYERS) {
    const name = (await questions.ask(`Name of player ${seated.length + 1} (empty: that is all): `))?.trim();
    if (name === undefined || name === '') break;
    if (seated.some((one) => one.name.toLowerCase() === name.toLowerCase())) {
      questions.tell(`There is a "${name}" already.`);
      continue;
    }
    questions.tell(`${name}, play one note.`);
    const { input, channel, pitch } = await listening.next();
    const neighbour = seated.find(
      (one) => one.input === input && one.channel === channel && Math.abs(one.pitch - pitch) < LEAST_APART,
    );
    if (neighbour) {
      questions.tell(
        `${nameOf(pitch)} on ${input}, channel ${channel}, is where ${neighbour.name} sits. Play on another input or channel, or on one keyboard at least an octave apart.`,
      );
      continue;
    }
    questions.tell(`${name}: ${input}, channel ${channel}, ${nameOf(pitch)}.`);
    const part = passage && (await askPart(questions, passage));
    seated.push({ name, input, channel, pitch, ...(part === undefined ? {} : { part }) });
  }
  return seated.map((one) => written(one, seated));
}

/** Two on one keyboard and channel are parted between the notes that they played. */
const LEAST_APART = 12;

function written(one: Seated, all: readonly Seated[]): WrittenPlayer {
  const sharing = all.filter(({ input }) => input === one.input);
  const together = sharing.filter(({ channel }) => channel === one.channel).sort((a, b) => a.pitch - b.pitch);
  const place = together.indexOf(one);
  const border = (a: Seated, b: Seated) => Math.ceil((a.pitch + b.pitch) / 2);
  const lowest = place === 0 ? 0 : border(together[place - 1]!, one);
  const highest = place === together.length - 1 ? 127 : border(one, together[place + 1]!) - 1;
  return {
    name: one.name,
    from: one.input,
    ...(sharing.length > together.length ? { channel: one.channel } : {}),
    ...(together.length > 1 ? { keys: keysText({ lowest, highest }) } : {}),
    ...(one.part === undefined ? {} : { part: one.part }),
  };
}

async function askPart(questions: Questions, passage: Passage): Promise<string | undefined> {
  const list = passage.parts.map(({ name }, i) => `${i + 1} ${name}`).join(', ');
  for (;;) {
    const answer = (await questions.ask(`Which part (${list}; empty: all): `))?.trim();
    if (answer === undefined || answer === '') return undefined;
    const index = partIndex(passage, /^\d+$/.test(answer) ? Number(answer) : answer);
    if (index.ok) return passage.parts[index.value]!.name;
    questions.tell(index.problem.message);
  }
}

interface Heard {
  readonly input: string;
  readonly channel: number;
  readonly pitch: number;
}

/** The notes of all inputs; what is played while nobody is asked is nobody's answer. */
function listen(inputs: readonly PlayerSource[]): { next(): Promise<Heard> } {
  let waiting: ((heard: Heard) => void) | undefined;
  for (const input of inputs)
    input.start((event) => {
      if (event.type !== 'note-on' || !waiting) return;
      const answered = waiting;
      waiting = undefined;
      answered({ input: input.name, channel: event.channel, pitch: event.pitch });
    });
  return { next: () => new Promise((resolve) => (waiting = resolve)) };
}

function nameOf(pitch: number): string {
  return spellingName(spellPitch(pitch));
}
