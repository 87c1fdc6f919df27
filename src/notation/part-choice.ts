import type { Passage } from '../music/passage.ts';
import { ok } from '../music/problem.ts';
export const choosePart = (p: Passage, _c: { part?: string | number; voice?: number; hand?: string }) =>
  ok(p);
export const transposeForInstrument = (p: Passage, _i: string) => p;
