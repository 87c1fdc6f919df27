// The start screen: who plays, what is worked on and how, each a row of choices. A pure function of its arguments.

import type { Frame, TerminalSize } from '../ports/terminal.ts';
import { padToWidth } from '../wording/text-width.ts';
import { fitWords, newCanvas, put, putWrapped, toFrame } from './canvas.ts';
import { fitHints, type Hint } from './key-hints.ts';

/** A passage that can be worked on. */
export interface StartPassage {
  /** As typed on the command line. */
  readonly name: string;
  readonly description: string;
  readonly goalBpm: number;
  /** Without a pickup. */
  readonly bars: readonly StartBar[];
}

interface StartBar {
  readonly number: number;
  /** Lowest and highest sounding pitch; absent in a bar of rests. */
  readonly range?: readonly [low: number, high: number];
}

export interface StartPlayer {
  /** For people. */
  readonly name: string;
  /** As `--from` takes it. */
  readonly from: string;
}

interface StartDrill {
  readonly name: string;
  /** What it is, in a sentence. */
  readonly words: string;
  /** No drill but those that the passage turns out to need: it takes some minutes. */
  readonly isCourse?: true;
}

/** What the record plans for today, in so many minutes. */
export interface StartPlan {
  readonly minutes: number;
  readonly lines: readonly string[];
}

/** Minutes that are offered; undefined: until all is passed. */
const TIMES = [undefined, 10, 20, 30, 45] as const;
const HALF_AN_HOUR = TIMES.indexOf(30);

const FIELDS = ['today', 'player', 'passage', 'bars', 'tempo', 'drill', 'time'] as const;
type Field = (typeof FIELDS)[number];

export interface StartState {
  /** MIDI inputs first, then what needs none. Never empty. */
  readonly players: readonly StartPlayer[];
  /** Never empty. */
  readonly passages: readonly StartPassage[];
  /** Never empty. */
  readonly drills: readonly StartDrill[];
  /** Today's plan, the shortest first; empty where there is no record to plan from. */
  readonly plans: readonly StartPlan[];
  /** Which of its choices each row is at. */
  readonly at: Readonly<Record<Field, number>>;
  /** The row that left and right change. */
  readonly focus: Field;
  /** How many semitones the computer keyboard reaches up from its lowest note. */
  readonly reach: number;
  /** Why no input can be listed, if so. */
  readonly trouble?: string;
  /** Where nothing will be heard: why, and what to do. */
  readonly silence?: string;
  /** Why what was chosen could not be started. */
  readonly refusal?: string;
}

/** What was worked on the last time, as it is typed. */
export interface LastWork {
  readonly passage: string;
  readonly bars?: string;
  readonly tempo?: string;
  readonly drill?: string;
  readonly minutes?: string;
}

/** Those who need no instrument. */
const ALWAYS_THERE: readonly StartPlayer[] = [
  { name: 'the computer keyboard', from: 'keys' },
  { name: 'a simulated player (you look on)', from: 'model' },
];

/** Shares of the goal that are offered as tempos; the third from the left is where slow practice begins. */
const SHARES = [0.4, 0.5, 2 / 3, 0.75, 0.85, 0.95, 1];
const SLOW = SHARES.indexOf(2 / 3);

/** Who can play. */
export function startPlayers(inputs: readonly string[]): readonly StartPlayer[] {
  return [...inputs.map((name) => ({ name, from: name })), ...ALWAYS_THERE];
}

/**
 * As the screen begins: today's plan first where there is one; the input used last, or the keyboard where there is none;
 * the last passage and place, or the first passage that can be played there.
 */
export function startState(
  given: Omit<StartState, 'at' | 'focus'>,
  last: { readonly input?: string; readonly work?: LastWork } = {},
): StartState {
  const player = Math.max(
    0,
    given.players.findIndex(({ from }) => from === last.input),
  );
  // Who has an instrument may let it be found what a passage needs; the computer keyboard is for trying things.
  const withInstrument = inputsOf(given).length > 0;
  const course = given.drills.findIndex(({ isCourse }) => isCourse);
  const plain = given.drills.findIndex(({ isCourse }) => !isCourse);
  const drillAt = withInstrument && course >= 0 ? course : Math.max(0, plain);
  const fresh: StartState = {
    ...given,
    at: {
      today: Math.min(1, Math.max(0, given.plans.length - 1)),
      player,
      passage: 0,
      bars: 0,
      tempo: SLOW,
      drill: drillAt,
      time: drillAt === course ? HALF_AN_HOUR : 0,
    },
    focus: given.plans.length > 0 ? 'today' : 'passage',
  };
  const { work } = last;
  const passage = given.passages.findIndex(({ name }) => name === work?.passage);
  if (!work || passage < 0) {
    const playable = given.passages.findIndex((_, i) =>
      canPlay({ ...fresh, at: { ...fresh.at, passage: i } }),
    );
    return { ...fresh, at: { ...fresh.at, passage: Math.max(0, playable) } };
  }
  const there = { ...fresh, at: { ...fresh.at, passage } };
  const nearest = tempos(there).map((bpm) => Math.abs(bpm - Number(work.tempo)));
  const bars = barChoices(there).indexOf(work.bars ?? ALL_BARS);
  const wanted = work.drill === undefined && work.minutes !== undefined ? course : plain;
  const named = given.drills.findIndex(({ name }) => name === work.drill);
  const time = TIMES.findIndex((minutes) => minutes !== undefined && String(minutes) === work.minutes);
  return {
    ...there,
    at: {
      ...there.at,
      bars: Math.max(0, bars),
      tempo: work.tempo === undefined ? SLOW : nearest.indexOf(Math.min(...nearest)),
      drill: Math.max(0, named < 0 ? wanted : named),
      time: Math.max(0, time),
    },
  };
}

/** The MIDI inputs among those who can play. */
export function inputsOf({ players }: Pick<StartState, 'players'>): string[] {
  return players.slice(0, -ALWAYS_THERE.length).map(({ name }) => name);
}

/** Instruments as they are now: one that is new is chosen, whoever was chosen stays otherwise, if still there. */
export function withInputs(state: StartState, inputs: readonly string[]): StartState {
  const before = inputsOf(state);
  if (before.join('\n') === inputs.join('\n')) return state;
  const players = startPlayers(inputs);
  const chosen = state.players[state.at.player]!.from;
  const wanted = inputs.find((name) => !before.includes(name)) ?? chosen;
  const { trouble: _, ...rest } = state;
  const player = Math.max(
    0,
    players.findIndex(({ from }) => from === wanted),
  );
  return { ...rest, players, at: { ...state.at, player } };
}

/** Another row, or another choice of the row. */
export function moveStart(state: StartState, way: 'up' | 'down' | 'left' | 'right'): StartState {
  const { refusal: _, ...rest } = state;
  const by = way === 'up' || way === 'left' ? -1 : 1;
  if (way === 'up' || way === 'down') {
    const fields = fieldsOf(state);
    return { ...rest, focus: fields[within(fields.indexOf(state.focus) + by, fields.length)]! };
  }
  const { focus } = state;
  const moved = { ...state.at, [focus]: within(state.at[focus] + by, choices(state, focus).length) };
  const at = { ...moved, time: timeIndex({ ...state, at: moved }) };
  // The bars of another passage are others.
  return { ...rest, at: focus === 'passage' ? { ...at, bars: 0 } : at };
}

/** What was chosen, as the command line takes it. */
export function chosenWork(state: StartState): LastWork & { readonly from: string } {
  const bars = barChoices(state)[state.at.bars]!;
  const { name, isCourse } = state.drills[state.at.drill]!;
  const minutes = TIMES[timeIndex(state)];
  return {
    from: state.players[state.at.player]!.from,
    passage: passageOf(state).name,
    ...(bars === ALL_BARS ? {} : { bars }),
    tempo: String(tempos(state)[state.at.tempo]!),
    ...(isCourse ? {} : { drill: name }),
    ...(minutes === undefined ? {} : { minutes: String(minutes) }),
  };
}

/** The minutes of today's plan, where that is what was chosen. */
export function chosenPlan({ focus, plans, at }: StartState): number | undefined {
  return focus === 'today' ? plans[at.today]?.minutes : undefined;
}

function fieldsOf({ plans }: Pick<StartState, 'plans'>): readonly Field[] {
  return plans.length > 0 ? FIELDS : FIELDS.filter((field) => field !== 'today');
}

/** What a passage needs is found out within some minutes. */
function timeIndex({ at, drills }: StartState): number {
  return drills[at.drill]!.isCourse && TIMES[at.time] === undefined ? HALF_AN_HOUR : at.time;
}

/** Whether who plays has a key for every note of what was chosen. */
export function canPlay(state: StartState): boolean {
  if (state.players[state.at.player]!.from !== 'keys') return true;
  return fits(chosenBars(state), state.reach);
}

function fits(bars: readonly StartBar[], reach: number): boolean {
  const sounding = bars.flatMap(({ range }) => (range ? [range] : []));
  const low = Math.min(...sounding.map(([pitch]) => pitch));
  const high = Math.max(...sounding.map(([, pitch]) => pitch));
  return sounding.length === 0 || high - low <= reach;
}

function within(index: number, count: number): number {
  return Math.min(count - 1, Math.max(0, index));
}

function passageOf({ passages, at }: StartState): StartPassage {
  return passages[at.passage]!;
}

const ALL_BARS = 'all';

/** All, each bar alone, each with its next. */
function barChoices(state: StartState): string[] {
  const { bars } = passageOf(state);
  return [
    ALL_BARS,
    ...bars.flatMap(({ number }, i) => {
      const next = bars[i + 1];
      return next ? [`${number}`, `${number}-${next.number}`] : [`${number}`];
    }),
  ];
}

function chosenBars(state: StartState): readonly StartBar[] {
  const chosen = barChoices(state)[state.at.bars]!.split('-');
  const { bars } = passageOf(state);
  return chosen[0] === ALL_BARS ? bars : bars.filter(({ number }) => chosen.includes(`${number}`));
}

function tempos(state: StartState): number[] {
  return SHARES.map((share) => Math.max(10, Math.round(passageOf(state).goalBpm * share)));
}

/** The choices of a row, as they are shown. */
function choices(state: StartState, field: Field): readonly string[] {
  switch (field) {
    case 'today':
      return state.plans.map(({ minutes }) => `${minutes} minutes by the plan below`);
    case 'time':
      return TIMES.map((minutes) => (minutes === undefined ? 'until all is passed' : `${minutes} minutes`));
    case 'player':
      return state.players.map(({ name }) => name);
    case 'passage': {
      const onKeys = state.players[state.at.player]!.from === 'keys';
      return state.passages.map(({ name, description, bars }) => {
        const note = onKeys && !fits(bars, state.reach) ? ', not all on the keys' : '';
        return `${padToWidth(name, 14)} ${description}${note}`;
      });
    }
    case 'bars':
      return barChoices(state).map((bars) =>
        bars === ALL_BARS ? `all ${passageOf(state).bars.length}` : bars,
      );
    case 'tempo':
      return tempos(state).map((bpm, i) => {
        const share = i === SLOW ? 'two thirds of the goal' : `${Math.round(SHARES[i]! * 100)} % of the goal`;
        return `${bpm} a minute, ${SHARES[i] === 1 ? 'the goal' : share}`;
      });
    case 'drill':
      return state.drills.map(({ name, words }) => `${padToWidth(name, 14)} ${words}`);
  }
}

const TITLES: Readonly<Record<Field, string>> = {
  today: 'Today',
  time: 'Time',
  player: 'Who plays',
  passage: 'Passage',
  bars: 'Bars',
  tempo: 'Tempo',
  drill: 'Drill',
};

const KEYS: readonly Hint[] = [
  ['up/down row', 2],
  ['left/right choose', 3],
  ['enter begin', 1],
  ['q leave', 0],
];

/** Where the choices begin: after the marker and the longest title. */
const CHOICE_COLUMN = 14;

export function drawStart(state: StartState, size: TerminalSize): Frame {
  const canvas = newCanvas(size);
  const width = size.columns - 2;
  const tall = size.rows >= 18;
  put(canvas, 0, 1, 'Fettle', 'title');
  const claim = 'works a hard passage with you, step by step, on only when it is clean';
  put(canvas, 0, 8, fitWords(claim, width - 7), 'dim');
  let row = tall ? 2 : 1;
  for (const line of notices(state)) {
    if (row + fieldsOf(state).length + 2 > size.rows) break;
    row += putWrapped(canvas, row, 1, line, { width, rows: tall ? 2 : 1, role: 'strong' });
  }
  if (tall && row > 2) row += 1;
  for (const field of fieldsOf(state)) {
    const focused = field === state.focus;
    put(canvas, row, 1, focused ? '>' : ' ', 'strong');
    put(canvas, row, 3, TITLES[field], 'dim');
    const choice = choices(state, field)[field === 'time' ? timeIndex(state) : state.at[field]]!;
    put(canvas, row, CHOICE_COLUMN, fitWords(choice, width - CHOICE_COLUMN), focused ? 'selected' : 'plain');
    row += 1;
  }
  const advice = adviceOf(state);
  const room = size.rows - row - (advice === undefined ? 3 : 5);
  if (room > 0 && state.focus === 'today') putPlan(canvas, row + 1, state.plans[state.at.today]!, room);
  else if (room > 0) putList(canvas, row + 1, choices(state, state.focus), state.at[state.focus], room);
  if (advice !== undefined) {
    const rows = size.rows - row >= 3 ? Math.min(2, size.rows - row - 1) : 1;
    putWrapped(canvas, size.rows - 1 - rows, 1, advice, { width, rows, role: 'slip' });
  }
  put(canvas, size.rows - 1, 1, fitHints(KEYS, width), 'dim');
  return toFrame(canvas);
}

/** What a player should know before choosing. */
function notices(state: StartState): string[] {
  return [
    ...(inputsOf(state).length > 0
      ? []
      : [
          state.trouble === undefined
            ? 'No instrument is plugged in: it appears here as soon as it is.'
            : `No instrument can be heard. ${state.trouble}`,
        ]),
    ...(state.silence === undefined ? [] : [state.silence]),
  ];
}

/** What stands in the way of what was chosen. */
function adviceOf(state: StartState): string | undefined {
  if (state.refusal !== undefined) return state.refusal;
  if (chosenPlan(state) !== undefined) return undefined;
  return canPlay(state) ? undefined : tooWide(state);
}

/** Said of a choice that the computer keyboard has no keys for. */
export function tooWide(state: StartState): string {
  const bars = passageOf(state).bars.flatMap((bar) => (fits([bar], state.reach) ? [bar.number] : []));
  const where =
    bars.length === 0
      ? 'no bar of it lies within them'
      : `within them lie, each for itself, bars ${bars.slice(0, 12).join(', ')}${bars.length > 12 ? ' ...' : ''}`;
  return `The computer keyboard has ${state.reach + 1} keys, too few for this: ${where}.`;
}

/** The plan, as much of it as there is room for. */
function putPlan(canvas: Parameters<typeof put>[0], row: number, { lines }: StartPlan, room: number): void {
  const shown =
    lines.length <= room ? lines : [...lines.slice(0, room - 1), `and ${lines.length - room + 1} more`];
  for (const [i, line] of shown.entries())
    put(canvas, row + i, 3, fitWords(line, canvas.size.columns - 4), 'plain');
}

/** As many lines as there is room for, the chosen one among them. */
function putList(
  canvas: Parameters<typeof put>[0],
  row: number,
  lines: readonly string[],
  chosen: number,
  room: number,
): void {
  const first = Math.min(Math.max(0, chosen - Math.floor(room / 2)), Math.max(0, lines.length - room));
  lines.slice(first, first + room).forEach((line, i) => {
    const mark = first + i === chosen ? '*' : ' ';
    put(
      canvas,
      row + i,
      3,
      `${mark} ${fitWords(line, canvas.size.columns - 6)}`,
      mark === '*' ? 'strong' : 'dim',
    );
  });
}

/** What can be typed next, in a pipe. */
export function nextLine(state: Pick<StartState, 'players'>): string {
  const inputs = inputsOf(state);
  if (inputs.length === 0)
    return 'Next: fettle demo, fettle work NAME --from keys, fettle work NAME --from model, fettle --help';
  return inputs.length === 1
    ? 'Next: fettle work NAME, fettle demo, fettle --help'
    : `Next: fettle work NAME --from "${inputs[0]!}", fettle demo, fettle --help`;
}
