// Bare `fettle`: a start screen in a terminal, the same in lines in a pipe.

import { DRILLS } from '../drills/catalogue.ts';
import type { Passage } from '../music/passage.ts';
import type { Terminal } from '../ports/terminal.ts';
import { ProblemError } from '../problem.ts';
import {
  canPlay,
  chosenPlan,
  chosenWork,
  inputsOf,
  type LastWork,
  moveStart,
  type StartPassage,
  type StartPlan,
  type StartState,
  startPlayers,
  startState,
  tooWide,
  withInputs,
} from '../screen/start-choice.ts';
import { drawStart, nextLine } from '../screen/start-screen.ts';
import { briefWords } from '../wording/practice.ts';
import { padToWidth } from '../wording/text-width.ts';
import { planLines } from '../wording/today.ts';
import { bundledNames, simplestFirst } from './bundled-passages.ts';
import { openClick } from './click-argument.ts';
import { recallWork } from './last-work.ts';
import { musicFiles } from './near-passage.ts';
import { ALL_PARTS, withPart } from './part-argument.ts';
import { loadOwnSpan, loadPassage, MOST_OWN_PARTS } from './passage-argument.ts';
import { print } from './print.ts';
import { openRecord } from './record-argument.ts';
import { planSteps } from './session-setup.ts';
import { keptSettings } from './settings.ts';
import { slicesForEach } from './today.ts';
import { work } from './work.ts';

/** Drills that need nothing but a span: the others are told on the command line where the snag is. */
const DRILLS_WITHOUT_SNAG = DRILLS.filter(({ name }) => name !== 'widening' && name !== 'tenuto');
const WHAT_IT_NEEDS = {
  name: 'what it needs',
  words: 'found in two run-throughs, then drilled in turns',
  isCourse: true,
} as const;
const PLAN_MINUTES = [10, 20, 30, 45];
/** Files of the current folder that are offered, at most. */
const MOST_FILES = 40;
/** How often the instruments are looked for while the screen is open. */
const LOOK_MS = 1000;

type Settings = Awaited<ReturnType<typeof keptSettings>>;

export async function start(): Promise<void> {
  const settings = await keptSettings();
  const state = await lookAround(settings);
  if (!process.stdout.isTTY || !process.stdin.isTTY) {
    printStart(state);
    return;
  }
  const { openTerminal } = await import('../devices/blessed-terminal.ts');
  const terminal = await openTerminal();
  let chosen: StartState | undefined;
  try {
    chosen = await choose(state, terminal, settings);
  } finally {
    terminal.close();
  }
  if (chosen === undefined) return;
  const { passage, from, ...options } = chosenWork(chosen);
  const minutes = chosenPlan(chosen);
  // A computer keyboard's keys are stamped too coarsely for a stricter judgement.
  const strictness = from === 'keys' && settings.tolerance === undefined ? { tolerance: 'rough' } : {};
  const given = { ...settingOptions(settings), ...strictness, from };
  if (minutes === undefined) await work(passage, { ...given, ...options }, []);
  else await work(undefined, { ...given, minutes: String(minutes) }, []);
}

/** The settings that a session has a use for; who plays was chosen on the screen. */
function settingOptions({ instrument, tolerance, click, player }: Settings) {
  return {
    ...(instrument === undefined ? {} : { instrument }),
    ...(tolerance === undefined ? {} : { tolerance }),
    ...(click === undefined ? {} : { clickTo: click }),
    ...(player === undefined ? {} : { player }),
  };
}

async function lookAround(settings: Settings): Promise<StartState> {
  const { listInputs } = await import('../devices/midi-ports.ts');
  const { KEYBOARD_REACH } = await import('../devices/keyboard-source.ts');
  const inputs = await listInputs();
  const last = await lastTime(settings);
  const names = [...musicFiles('.').slice(0, MOST_FILES), ...simplestFirst(bundledNames())];
  const first = last.work === undefined ? [] : [last.work.passage];
  const passages = await Promise.all(
    [...new Set([...first, ...names])].map((name) => describe(name, settings)),
  );
  return startState(
    {
      players: startPlayers(inputs.ok ? inputs.value : []),
      ...(inputs.ok ? {} : { trouble: inputs.problem.message }),
      passages: passages.filter((one) => one !== undefined),
      drills: [WHAT_IT_NEEDS, ...DRILLS_WITHOUT_SNAG.map(({ name }) => ({ name, words: briefWords(name) }))],
      plans: last.plans,
      reach: KEYBOARD_REACH,
    },
    last,
  );
}

/** Undefined for a file that is no music, or not any more: `fettle check` tells why. */
async function describe(name: string, { instrument }: Settings): Promise<StartPassage | undefined> {
  try {
    const passage = await loadPassage(name, instrument === undefined ? {} : { instrument });
    return {
      name,
      description: `${passage.title}, ${passage.parts[0]!.instrument}, goal ${passage.tempo.bpm}`,
      goalBpm: passage.tempo.bpm,
      bars: barRanges(passage),
      ...(passage.parts.length > 1 ? { parts: partChoices(passage) } : {}),
    };
  } catch (error) {
    if (error instanceof ProblemError) return undefined;
    throw error;
  }
}

/** Each part, and all of them: that first where it may be one player's two hands. */
function partChoices(passage: Passage): NonNullable<StartPassage['parts']> {
  const each = passage.parts.map(({ name }, i) => {
    const part = `${i + 1}`;
    return { name: `${part} ${name}`, part, bars: barRanges(withPart(passage, { part })) };
  });
  const bars = barRanges(passage);
  return passage.parts.length <= MOST_OWN_PARTS
    ? [{ name: 'all, as one player', bars }, ...each]
    : [...each, { name: 'all, as one player', part: ALL_PARTS, bars }];
}

function barRanges({ bars, onsets }: Passage): StartPassage['bars'] {
  const counted = bars.filter((bar) => !bar.pickup);
  return counted.map((bar, i) => {
    const end = counted[i + 1]?.startTick ?? Number.POSITIVE_INFINITY;
    const pitches = onsets
      .filter(({ tick }) => tick >= bar.startTick && tick < end)
      .flatMap(({ notes }) => notes.map(({ pitch }) => pitch));
    const { number } = bar;
    return pitches.length === 0
      ? { number }
      : { number, range: [Math.min(...pitches), Math.max(...pitches)] as const };
  });
}

/** A record that cannot be read is reported only once there is something to keep in it. */
async function lastTime({
  player,
  input,
}: Settings): Promise<{ input?: string; work?: LastWork; plans: readonly StartPlan[] }> {
  try {
    const record = await openRecord(player === undefined ? {} : { player }, false);
    const used = input ?? record.recall('input');
    const last = recallWork(record);
    record.close();
    const slices = await slicesForEach(player === undefined ? {} : { player }, PLAN_MINUTES);
    const plans = slices
      .map((own, i): StartPlan => ({ minutes: PLAN_MINUTES[i]!, lines: planLines(own) }))
      .filter(({ lines }) => lines.length > 0);
    return {
      ...(typeof used === 'string' ? { input: used } : {}),
      ...(last ? { work: last } : {}),
      plans,
    };
  } catch (error) {
    if (error instanceof ProblemError) return { plans: [] };
    throw error;
  }
}

/** The state in which a passage was chosen; undefined when the player leaves. */
async function choose(
  first: StartState,
  terminal: Terminal,
  settings: Settings,
): Promise<StartState | undefined> {
  const { listInputs } = await import('../devices/midi-ports.ts');
  let state = first;
  let over = false;
  const paint = () => {
    if (!over) terminal.draw(drawStart(state, terminal.size()));
  };
  const change = (changed: StartState) => {
    if (changed === state) return;
    state = changed;
    paint();
  };
  const looking = setInterval(async () => {
    const inputs = await listInputs();
    if (inputs.ok) change(withInputs(state, inputs.value));
  }, LOOK_MS);
  const listening = whySilent(settings).then((silence) => {
    if (silence !== undefined) change({ ...state, silence });
  });
  try {
    return await new Promise((resolve) => {
      const begin = async () => {
        const refusal = await whyNot(state, settings);
        if (refusal === undefined) resolve(state);
        else change({ ...state, refusal });
      };
      terminal.onResize(paint);
      terminal.onKey(({ name }) => {
        if (name === 'up' || name === 'down' || name === 'left' || name === 'right')
          change(moveStart(state, name));
        else if (name === 'pageup') change(moveStart(state, 'up'));
        else if (name === 'tab') change(moveStart(state, 'down'));
        else if (name === 'enter' || name === 'pagedown' || name === 'space') void begin();
        else if (name === 'q' || name === 'escape' || name === 'C-c') resolve(undefined);
      });
      paint();
    });
  } finally {
    over = true;
    clearInterval(looking);
    // The sound device is opened once more for the work: it must be free.
    await listening;
  }
}

/** Why nothing will be heard, in a sentence; asked of the device itself. */
async function whySilent({ click: clickTo }: Settings): Promise<string | undefined> {
  try {
    const click = await openClick(clickTo === undefined ? {} : { clickTo });
    await click.close();
    return click.silence;
  } catch (error) {
    if (error instanceof ProblemError) return error.problem.message;
    throw error;
  }
}

/** Why what was chosen cannot be begun, found out before the screen is left. */
async function whyNot(state: StartState, settings: Settings): Promise<string | undefined> {
  if (chosenPlan(state) !== undefined) return undefined;
  if (!canPlay(state)) return tooWide(state);
  const { passage, ...options } = chosenWork(state);
  try {
    const all = { ...settingOptions(settings), ...options };
    planSteps(await loadOwnSpan(passage, all), all);
    return undefined;
  } catch (error) {
    if (!(error instanceof ProblemError)) throw error;
    return [error.problem.message, error.problem.hint].filter(Boolean).join('. ');
  }
}

function printStart(state: StartState): void {
  print('Fettle works a hard passage with you, step by step, on only when it is clean.\n');
  const inputs = inputsOf(state);
  print(
    inputs.length > 0
      ? `Inputs: ${inputs.join(', ')}`
      : `No instrument is plugged in. ${state.trouble ?? ''}`.trim(),
  );
  print('\nPassages:');
  for (const { name, description } of state.passages) print(`  ${padToWidth(name, 14)} ${description}`);
  print(`\n${nextLine(state)}`);
}
