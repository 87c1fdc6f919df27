// `fettle section FILE PASSAGE`: several players at once, one click, one gate.

import { localDay } from '../local-date.ts';
import type { Span } from '../music/span.ts';
import { rehearsalPage } from '../report/section-page.ts';
import type { SectionFile } from '../section/section-file.ts';
import { sectionProgress } from '../section/section-progress.ts';
import { type SessionPlan, withNotice } from '../session/plan.ts';
import { type SectionReport, sectionTakeOf } from '../session/section-report.ts';
import { listedNames, sectionSentence } from '../wording/section.ts';
import { leadLines } from '../wording/section-progress.ts';
import { refuseIdleClockOptions } from './idle-options.ts';
import { wholeNumber } from './number-argument.ts';
import { loadSpan } from './passage-argument.ts';
import { print } from './print.ts';
import { runWork, type WorkPorts } from './run-work.ts';
import { loadSection, restingPlayers, seatedPlayers } from './section-argument.ts';
import type { SessionOptions } from './session-options.ts';
import { planSession } from './session-setup.ts';
import { usage } from './usage-problem.ts';
import { refuseOverwriting, writeWhole } from './written-file.ts';

export interface SectionRuleOptions extends SessionOptions {
  readonly quorum?: string;
  readonly runOn?: boolean;
  /** Whose pedal and control notes are controls. */
  readonly leader?: string;
}

export interface SectionOptions extends SectionRuleOptions, Omit<WorkPorts, 'from' | 'channel' | 'shift'> {
  /** A page of the rehearsal is written there. */
  readonly page?: string;
  readonly force?: boolean;
  /** Players of the file who are not there today. */
  readonly without?: readonly string[];
}

export async function section(
  argument: string,
  passage: string | undefined,
  options: SectionOptions,
): Promise<void> {
  refuseIdleClockOptions(options);
  const file = loadSection(argument, options.without);
  if (passage === undefined) {
    throw usage(
      'section.passage',
      'Cannot begin: a section works on a passage',
      `Such as fettle section ${argument} slackwater. fettle passages lists the bundled ones.`,
    );
  }
  refuseAlone(file, options);
  const span = await loadSpan(passage, options);
  const { page } = options;
  if (page !== undefined) refuseOverwriting(page, 'section', options.force);
  const takes: SectionReport[] = [];
  await runWork(planSection(file, span, options), {
    ...options,
    seats: file.players,
    onSection: (report) => takes.push(report),
  });
  const day = localDay(new Date());
  const told = takes.map((report) => ({
    ...sectionTakeOf(report, day),
    sentence: sectionSentence(report, span.passage),
  }));
  if (told.length > 1 && !options.json)
    for (const line of leadLines(sectionProgress(told).players)) print(line);
  if (page === undefined) return;
  writeWhole(page, rehearsalPage({ section: file.section, passage: span.passage, takes: told }, day));
  if (!options.json) print(`Wrote ${page}`);
}

/** What is told of a section has nothing to tell of one player. Throws a ProblemError. */
function refuseAlone({ players }: SectionFile, options: SectionOptions): void {
  const idle = (['json', 'page', 'quorum', 'runOn'] as const).find((name) => options[name]);
  if (players.length > 1 || idle === undefined) return;
  throw usage(
    'section.alone',
    `Cannot use --${idle === 'runOn' ? 'run-on' : idle} with one player: "${players[0]!.name}" would play alone`,
    'A section has two players or more; fettle work is for one.',
  );
}

/** Throws a ProblemError for a part that is not there and a span in which nobody plays. */
export function planSection(file: SectionFile, span: Span, options: SectionRuleOptions): SessionPlan {
  const planned = planSession(span, options);
  const { controls } = planned.players[0]!;
  const leads = leaderIn(file, options);
  const players = seatedPlayers(file, span.passage).map((player) =>
    leads(player.name) ? { ...player, controls } : player,
  );
  const steps = planned.steps.map(({ step }) => step);
  const resting = restingPlayers(players, steps, span.passage);
  if (resting.length === players.length)
    throw usage('section.silent', 'Cannot begin: nobody has a note in this span', 'Choose other bars.');
  const notice =
    resting.length === 0
      ? undefined
      : `${listedNames(resting)} ${resting.length === 1 ? 'rests' : 'rest'} through all of it: clean is to keep the rests.`;
  return {
    ...withNotice(planned, notice),
    players,
    section: {
      name: file.section,
      runOn: options.runOn ?? false,
      ...(options.quorum === undefined ? {} : { quorum: quorumOf(options.quorum, players.length) }),
    },
  };
}

/** Throws a ProblemError for somebody who is not there, and where there is nothing to lead with. */
function leaderIn(
  { players }: SectionFile,
  { leader, pedal, control = [] }: SectionRuleOptions,
): (name: string) => boolean {
  if (leader === undefined) return () => true;
  if (!players.some(({ name }) => name === leader)) {
    const names = players.map(({ name }) => name).join(', ');
    throw usage('section.player', `Cannot let "${leader}" lead: the players are ${names}`);
  }
  if (pedal === undefined && control.length === 0)
    throw usage(
      'option.leader',
      'Cannot use --leader: nothing is a control',
      'Add --pedal again, or --control C2=again.',
    );
  return (name) => name === leader;
}

function quorumOf(text: string, players: number): number {
  return wholeNumber(text, 'the quorum', { least: 1, most: players });
}
