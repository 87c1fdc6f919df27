// Options that several commands share, in groups named for what they decide.

import { type Command, Option } from 'commander';

/** Which music of a file. */
function choosing(command: Command): Command {
  return command
    .option('--part <name>', 'a part, by name or number, or all')
    .option('--voice <number>', 'a voice of the part')
    .option('--hand <hand>', 'left, right or both')
    .option('--melody', 'the upper line alone')
    .option('--instrument <name>', 'written for this instrument, whatever the file says');
}

/** Which stretch of it. */
export function spanning(command: Command): Command {
  return choosing(command)
    .option('--bars <range>', 'bars, or bars and beats: 3-4, 3.2-4.1')
    .option('--onsets <range>', 'onset numbers, as `fettle show` counts them: 5-17')
    .option('--mark <text>', 'from a rehearsal mark to the next');
}

export const KEYWORK = [
  '--keywork <names>',
  'keys that yours has or has not: left-e-flat (clarinet), high-f-sharp, no-low-b-flat (saxophone)',
] as const;

export const CLICK_TO = [
  '--click-to <outlet>',
  'where the click sounds: sound, midi[:PORT], sound+midi, off',
] as const;

export const CHANNEL = ['--channel <number>', 'listen to this MIDI channel only, 1 to 16'] as const;

export const FAST = [
  '--fast',
  'a model or a recorded take on the simulated clock, as fast as it goes',
] as const;

export const TEMPO = '--tempo <bpm>';
export const SLOW_TEMPO = 'beats a minute, 10 to 400 (default: two thirds of the goal)';

/** Which drill on it. */
export function drilling(command: Command): Command {
  return settling(
    spanning(command)
      .option(TEMPO, SLOW_TEMPO)
      .option('--drill <names>', 'one drill, or several in a row: landings,widening,through'),
  ).option('--pulse <placement>', 'where the click falls: beat, half, bar, offbeat, silent-bars');
}

/** How a drill is made. */
export function settling(command: Command): Command {
  return command
    .option(
      '--snag <onsets>',
      'widening, tenuto: onset number where the bad interval begins; several: 5,9 (default: hardest for the fingers)',
    )
    .option(...KEYWORK)
    .option('--every <size>', 'landings, chain: beats a run, 1/2, 1, 2, 4, group, bar or growing')
    .option('--hold <beats>', 'landings, chain: beats a landing is held')
    .option(
      '--groups <sums>',
      'how bars of five, seven and the like are felt: 2+2+3 (default: as written; eighths as 2+3, 2+2+3)',
    )
    .option('--note <value>', 'switchback: the length of its equal notes, 1/8, 1/16, 1/12')
    .option('--variant <names>', 'variants of the drill, as `fettle drills NAME` lists them');
}

export function judging(command: Command): Command {
  return command
    .addOption(
      new Option(
        '--tolerance <name>',
        'rough (45 ms or 22 %), steady (28 ms or 13 %), concert (16 ms or 8 %)',
      )
        .choices(['rough', 'steady', 'concert'])
        .default('steady'),
    )
    .addOption(
      new Option(
        '--touch <how>',
        'even: a note louder or softer than its neighbours is a fault, not only told',
      ).choices(['even']),
    );
}

/** Whose record, and where. */
export function recording(command: Command): Command {
  return command
    .option('--record <file>', 'where the practice record is kept')
    .option('--player <name>', 'whose takes these are: a record of their own (remembered)');
}

/** To look at what somebody has played. */
export function looking(command: Command): Command {
  return command
    .option('--record <file>', 'where the practice record is kept')
    .option('--player <name>', 'whose takes, where it is not you');
}

export function sounding(command: Command): Command {
  return recording(command)
    .option(...CLICK_TO, 'auto')
    .option('--plain', 'plain lines instead of the screen')
    .option('--quiet', 'no verdict sounds');
}

/** The one who plays. */
export function hearingOne(command: Command): Command {
  return command
    .option('--from <source>', 'who plays: a MIDI input (part of its name), model[:PROFILE], FILE.mid, keys')
    .option(...CHANNEL)
    .option('--shift <semitones>', 'add to every note that comes in')
    .option('--named-note <note>', 'you play this note first, as you read it: it sets the transposition');
}

/** What the instrument itself does beside its notes. */
export function handing(command: Command): Command {
  return command
    .option('--pedal <control>', 'what the sustain pedal does: pause, again, skip, back, hear')
    .option(
      '--control <note=control>',
      'a note that is a control: C2=again (repeatable)',
      (value: string, all: string[]) => [...all, value],
      [],
    )
    .option('--monitor', 'sound your own notes where the click sounds, for an instrument without sound');
}

/** When the next step, the next tempo and the end come. */
export function working(command: Command): Command {
  return command
    .option('--passes <number>', 'clean takes in a row before the next step (default: 3)')
    .option('--ladder <range>', 'climb a tempo ladder: all steps on one rung, then the next: 60-96')
    .option('--step-by-step', 'ladder: each step climbs it alone, from bottom to top')
    .option(
      '--up <number>',
      'ladder: clean takes in a row that pass a step on a rung (default: 1; step by step 2)',
    )
    .option('--jump', 'ladder step by step: long strides until the first miss')
    .option('--alternate', 'ladder: every other take at the goal')
    .option('--afresh', 'from the beginning, not from where it was left')
    .option(
      '--minutes <number>',
      'find the trouble, drill it in turns, end after so many minutes; with --drill: only end',
    )
    .option('--clock <way>', 'share the pulse over MIDI clock: send:PORT or follow:PORT')
    .option(...FAST);
}
