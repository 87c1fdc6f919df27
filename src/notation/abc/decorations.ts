// Decorations of ABC 2.1 (section 4.14), in both dresses: !name! and the short signs, which U: may redefine.

import type { Articulation, Ornament } from '../../music/onset.ts';
import type { BarRoute } from '../draft/playing-order.ts';

const ORNAMENTS: Record<string, Ornament> = {
  trill: 'trill',
  'trill(': 'trill',
  lowermordent: 'mordent',
  uppermordent: 'mordent',
  mordent: 'mordent',
  pralltriller: 'mordent',
  roll: 'turn',
  turn: 'turn',
  turnx: 'turn',
  invertedturn: 'turn',
  invertedturnx: 'turn',
};

const ARTICULATIONS: Record<string, Articulation> = {
  staccato: 'staccato',
  '.': 'staccato',
  wedge: 'staccato',
  tenuto: 'tenuto',
  accent: 'accent',
  '>': 'accent',
  emphasis: 'accent',
  sfz: 'accent',
  marcato: 'marcato',
  '^': 'marcato',
  fermata: 'fermata',
  invertedfermata: 'fermata',
  breath: 'breath',
};

/** Signs that send the player elsewhere. */
const ROUTES: Record<string, BarRoute> = {
  segno: { segno: true },
  coda: { coda: true },
  fine: { fine: true },
  dacoda: { toCoda: true },
  tocoda: { toCoda: true },
  dacapo: { jump: 'capo' },
  'd.c.': { jump: 'capo' },
  'd.c.alfine': { jump: 'capo' },
  'd.c.alcoda': { jump: 'capo' },
  'd.s.': { jump: 'segno' },
  'd.s.alfine': { jump: 'segno' },
  'd.s.alcoda': { jump: 'segno' },
};

/** Known, and without any bearing on what is played here: dynamics, bowing, fingering, the look of the page. */
const PASSED_OVER =
  /^(p{1,4}|f{1,4}|m[pf]|[<>][()]|(crescendo|diminuendo|trill|~)[()]|[0-5]|\+|plus|open|thumb|snap|upbow|downbow|shortphrase|mediumphrase|longphrase|editorial|courtesy|beam.*|stem.*|style=.*|mark|xstem)$/;

/** Known, and played otherwise than is expected here: told. */
const LEFT_OUT: Record<string, string> = {
  arpeggio: 'An arpeggio sign is left out: the notes of its chord are expected together',
  glissando: 'A glissando is left out: its first and last note are expected',
  slide: 'A slide is left out: its note is expected alone',
};

/** What the short signs mean until U: says otherwise. */
export const SHORT_SIGNS: Readonly<Record<string, string>> = {
  '.': 'staccato',
  '~': 'roll',
  H: 'fermata',
  L: 'accent',
  M: 'lowermordent',
  O: 'coda',
  P: 'uppermordent',
  S: 'segno',
  T: 'trill',
  u: 'upbow',
  v: 'downbow',
};

export type Decoration =
  | { readonly kind: 'ornament'; readonly ornament: Ornament }
  | { readonly kind: 'articulation'; readonly articulation: Articulation }
  | { readonly kind: 'route'; readonly route: BarRoute }
  | { readonly kind: 'left-out'; readonly name: string; readonly sentence: string }
  | { readonly kind: 'none' };

/** Undefined for a name that is not known. */
export function decorationNamed(name: string): Decoration | undefined {
  const own = <T>(table: Record<string, T>, key: string): T | undefined =>
    Object.hasOwn(table, key) ? table[key] : undefined;
  const ornament = own(ORNAMENTS, name);
  if (ornament) return { kind: 'ornament', ornament };
  const articulation = own(ARTICULATIONS, name);
  if (articulation) return { kind: 'articulation', articulation };
  const route = own(ROUTES, name.toLowerCase());
  if (route) return { kind: 'route', route };
  const bare = name.replace(/[()]$/, '');
  const sentence = own(LEFT_OUT, bare);
  if (sentence) return { kind: 'left-out', name: bare, sentence };
  return PASSED_OVER.test(name) ? { kind: 'none' } : undefined;
}

/** Ornament and articulations that have been read and wait for the note behind them. */
export class WaitingMarks {
  private ornament: Ornament | undefined;
  private articulations: Articulation[] = [];

  add(decoration: Decoration): void {
    if (decoration.kind === 'ornament') this.ornament = decoration.ornament;
    if (decoration.kind !== 'articulation' || this.articulations.includes(decoration.articulation)) return;
    this.articulations.push(decoration.articulation);
  }

  /** Takes a fermata away; whether one was waiting. */
  takeFermata(): boolean {
    const waited = this.articulations.includes('fermata');
    this.articulations = this.articulations.filter((articulation) => articulation !== 'fermata');
    return waited;
  }

  /** Gives them to a note; a rest takes them away. */
  take(): { readonly ornament: Ornament | undefined; readonly articulations: readonly Articulation[] } {
    const { ornament, articulations } = this;
    this.ornament = undefined;
    this.articulations = [];
    return { ornament, articulations };
  }
}
