// What is chosen before a session: who plays, what is worked on and how, each a row of choices, and where in each the
// player is. A value and pure functions of it; the start screen draws it.

import { percent } from '../wording/figures.ts';
import { padToWidth } from '../wording/text-width.ts';

/** A passage that can be worked on. */
export interface StartPassage {
  /** As typed on the command line. */
  readonly name: string;
  readonly description: string;
  readonly goalBpm: number;
  /** Without a pickup. */
  readonly bars: readonly StartBar[];
  /** Where there is a part to choose: never empty. */
  readonly parts?: readonly StartPart[];
}

interface StartPart {
  /** For people. */
  readonly name: string;
  /** As `--part` takes it; absent: as without it. */
  readonly part?: string;
  /** What of the passage's bars is in it. */
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

const FIELDS = ['today', 'player', 'passage', 'part', 'bars', 'tempo', 'drill', 'time'] as const;
/** A row. */
export type Field = (typeof FIELDS)[number];

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
  readonly part?: string;
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
  offered: Omit<StartState, 'at' | 'focus'>,
  last: { readonly input?: string; readonly work?: LastWork } = {},
): StartState {
  const given = { ...offered, drills: withLastDrill(offered.drills, last.work) };
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
      part: 0,
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
      part: Math.max(
        0,
        partsOf(there).findIndex(({ part }) => part === work.part),
      ),
      bars: Math.max(0, bars),
      tempo: work.tempo === undefined ? SLOW : nearest.indexOf(Math.min(...nearest)),
      drill: Math.max(0, named < 0 ? wanted : named),
      time: Math.max(0, time),
    },
  };
}

/** Drills in a row, and a drill that is only offered to who has used it, are a choice of their own. */
function withLastDrill(drills: readonly StartDrill[], work: LastWork | undefined): readonly StartDrill[] {
  const name = work?.drill;
  if (name === undefined || drills.some((drill) => drill.name === name)) return drills;
  return [...drills, { name, words: 'as the last time' }];
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
  // The parts and bars of another passage are others.
  return { ...rest, at: focus === 'passage' ? { ...at, part: 0, bars: 0 } : at };
}

/** What was chosen, as the command line takes it. */
export function chosenWork(state: StartState): LastWork & { readonly from: string } {
  const bars = barChoices(state)[state.at.bars]!;
  const { name, isCourse } = state.drills[state.at.drill]!;
  const minutes = TIMES[timeIndex(state)];
  const part = partsOf(state)[state.at.part]?.part;
  return {
    from: state.players[state.at.player]!.from,
    passage: passageOf(state).name,
    ...(part === undefined ? {} : { part }),
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

/** The rows, from the top. */
export function fieldsOf(state: StartState): readonly Field[] {
  return FIELDS.filter((field) => {
    if (field === 'today') return state.plans.length > 0;
    return field !== 'part' || partsOf(state).length > 0;
  });
}

/** Which of its choices a row is at. */
export function chosenIndex(state: StartState, field: Field): number {
  return field === 'time' ? timeIndex(state) : state.at[field];
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

/** Said of a choice that the computer keyboard has no keys for. */
export function tooWide(state: StartState): string {
  const bars = barsOf(state).flatMap((bar) => (fits([bar], state.reach) ? [bar.number] : []));
  const where =
    bars.length === 0
      ? 'no bar of it lies within them'
      : `within them lie, each for itself, bars ${bars.slice(0, 12).join(', ')}${bars.length > 12 ? ' ...' : ''}`;
  return `The computer keyboard has ${state.reach + 1} keys, too few for this: ${where}.`;
}

function within(index: number, count: number): number {
  return Math.min(count - 1, Math.max(0, index));
}

function passageOf({ passages, at }: StartState): StartPassage {
  return passages[at.passage]!;
}

function partsOf(state: StartState): readonly StartPart[] {
  return passageOf(state).parts ?? [];
}

/** Of the chosen part. */
function barsOf(state: StartState): readonly StartBar[] {
  return partsOf(state)[state.at.part]?.bars ?? passageOf(state).bars;
}

const ALL_BARS = 'all';

/** All, each bar alone, each with its next. */
function barChoices(state: StartState): string[] {
  const bars = barsOf(state);
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
  const bars = barsOf(state);
  return chosen[0] === ALL_BARS ? bars : bars.filter(({ number }) => chosen.includes(`${number}`));
}

function tempos(state: StartState): number[] {
  return SHARES.map((share) => Math.max(10, Math.round(passageOf(state).goalBpm * share)));
}

/** The choices of a row, as they are shown. */
export function choices(state: StartState, field: Field): readonly string[] {
  switch (field) {
    case 'today':
      return state.plans.map(({ minutes }) => `${minutes} minutes by the plan below`);
    case 'time':
      return TIMES.map((minutes) => (minutes === undefined ? 'until all is passed' : `${minutes} minutes`));
    case 'player':
      return state.players.map(({ name }) => name);
    case 'passage': {
      const onKeys = state.players[state.at.player]!.from === 'keys';
      return state.passages.map(({ name, description, bars, parts = [{ bars }] }) => {
        const note =
          onKeys && !parts.some((part) => fits(part.bars, state.reach)) ? ', not all on the keys' : '';
        return `${padToWidth(name, 14)} ${description}${note}`;
      });
    }
    case 'part':
      return partsOf(state).map(({ name }) => name);
    case 'bars':
      return barChoices(state).map((bars) => (bars === ALL_BARS ? `all ${barsOf(state).length}` : bars));
    case 'tempo':
      return tempos(state).map((bpm, i) => {
        const share = i === SLOW ? 'two thirds of the goal' : `${percent(SHARES[i]!)} of the goal`;
        return `${bpm} a minute, ${SHARES[i] === 1 ? 'the goal' : share}`;
      });
    case 'drill':
      return state.drills.map(({ name, words }) => `${padToWidth(name, 14)} ${words}`);
  }
}
