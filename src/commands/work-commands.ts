// Commands in which somebody plays: `fettle work`, `fettle survey`, `fettle demo`.

import type { Command } from 'commander';
import {
  drilling,
  FAST,
  handing,
  hearingOne,
  judging,
  KEYWORK,
  SLOW_TEMPO,
  sounding,
  spanning,
  TEMPO,
  working,
} from './option-groups.ts';

export function workCommand(program: Command): void {
  working(
    hearingOne(
      handing(
        sounding(
          judging(
            drilling(
              program
                .command('work [passage]')
                .description("step by step, on only when clean; alone: today's plan"),
            ),
          ),
        ),
      ),
    ),
  ).action(async (passage, options, command) =>
    (await import('./work.ts')).work(passage, options, typedOptions(command)),
  );
}

export function surveyCommand(program: Command): void {
  hearingOne(
    handing(
      sounding(
        judging(
          spanning(
            program
              .command('survey <passage>')
              .description('find where the trouble is, in a few run-throughs'),
          ),
        ),
      ),
    ),
  )
    .option(TEMPO, SLOW_TEMPO)
    .option(...KEYWORK)
    .option('--takes <number>', 'run-throughs, 2 to 5', '3')
    .option(...FAST)
    .action(async (passage, options) => (await import('./survey.ts')).survey(passage, options));
}

export function demoCommand(program: Command): void {
  program
    .command('demo [section]')
    .description('a simulated player, or a section, at work in real time')
    .option('--plain', 'plain lines instead of the screen')
    .option('--fast', 'on the simulated clock, as fast as it goes')
    .option('--click-to <outlet>', 'where the click sounds: sound, midi[:PORT], off', 'off')
    .action(async (what, options) => (await import('./demo.ts')).demo(what, options));
}

/** Those that were typed, not set or assumed. */
function typedOptions(command: Command): string[] {
  return Object.keys(command.opts()).filter((name) => command.getOptionValueSource(name) === 'cli');
}
