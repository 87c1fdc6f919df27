// The page of a month of practice, made here.

import { outlookOf } from '../../src/coaching/outlook.ts';
import { progressOf, returnDays } from '../../src/coaching/progress.ts';
import { wholeSpan } from '../../src/music/span.ts';
import { passagePage } from '../../src/report/progress-page.ts';
import { line } from '../drills/line.ts';
import { MONTH_FIRST, madeMonth } from './made-month.ts';

export const span = wholeSpan(line('C4 D4 E4 F4 G4 A4 B4 C5'));
const takes = madeMonth(5);
export const range = { first: 1, last: 8 };
export const progress = progressOf(takes, takes, range);
const goal = { passage: 'harbour-reel', ...range, tempoBpm: 96, by: '2026-12-06' };
const outlook = outlookOf(progress, returnDays(progress.days), goal, MONTH_FIRST + 30);
export const names = { title: 'Reels & <ropes>', interval: (from: number) => `onset ${from} to ${from + 1}` };
export const page = passagePage({ span, range, judged: takes, progress, outlook, names });
