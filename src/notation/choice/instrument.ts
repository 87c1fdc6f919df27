// Which instrument a part is for, from what a file says: its name and how far it sounds from what is written. What is not
// known is told, with the question which one it is, and never taken for another.

import {
  INSTRUMENT_NAMES,
  INSTRUMENTS,
  type InstrumentName,
  isInstrumentName,
  plainInstrument,
} from '../../music/instrument.ts';

const BB = '\\b(b[ -]?flat|b[b♭]{1,2})';
const EB = '\\b(e[ -]?flat|e[b♭]{1,2}|es)';
const SAX = 's(ax|axophone|axofon|axophon|assofono)\\b';

/** Words of part names, in the order tried: the longer before the shorter that it contains. */
const NAMES: readonly (readonly [words: string, instrument: InstrumentName | 'unknown'])[] = [
  // Kin of an instrument that is known, which transpose otherwise.
  ['(piccolo|bass|natural|slide|baroque) (trumpet|cornet)', 'unknown'],
  ['(contrabass|natural|basset|vienna|wagner|hand) ?(horn|tuba|trombone)', 'unknown'],
  ['heckelphone|oboe d.amore|bass oboe|baritone oboe|wagnertuba|saxhorn', 'unknown'],
  ['contrabass (flute|sax)|subcontrabass|great bass', 'unknown'],
  ['contra[ -]?alto clarinet|(e[b♭]|e[ -]flat) contrabass clarinet', 'contra-alto-clarinet'],
  ['(contrabass|kontrabass) ?(clarinet|klarinette)', 'contrabass-clarinet'],
  ['(bass ?clarinet|bassklarinette|clarinetto basso|clarinette basse)', 'bass-clarinet'],
  ['(alto ?clarinet|altklarinette)', 'alto-clarinet'],
  [`((clarinet|klarinette).*\\bin a\\b|\\ba (clarinet|klarinette))`, 'clarinet-a'],
  [`((clarinet|klarinette).*${EB}|${EB}[ -]*(clarinet|klarinette))`, 'clarinet-eb'],
  ['(clarinet.*\\bin [cdfg]\\b|\\b[cdfg] clarinet)', 'unknown'],
  ['(clarinet|klarinette|clarinetto)', 'clarinet'],
  [`sopranino ${SAX}`, 'sopranino-sax'],
  [`sopra?n[oa]?[ -]*${SAX}`, 'soprano-sax'],
  [`alto?[ -]*${SAX}`, 'alto-sax'],
  [`tenor[ -]*${SAX}`, 'tenor-sax'],
  [`bari(ton[eo]?)?[ -]*${SAX}`, 'baritone-sax'],
  [`bass[ -]*${SAX}`, 'bass-sax'],
  [SAX, 'unknown'],
  ['sopranino ?(recorder|blockflöte)', 'sopranino-recorder'],
  ['(descant|soprano|sopran) ?(recorder|blockflöte)', 'descant-recorder'],
  ['(treble|alto|alt) ?(recorder|blockflöte)', 'treble-recorder'],
  ['tenor ?(recorder|blockflöte)', 'tenor-recorder'],
  ['bass ?(recorder|blockflöte)', 'bass-recorder'],
  ['(recorder|blockflöte)', 'unknown'],
  ['(alto flute|altflöte)', 'alto-flute'],
  ['(bass flute|bassflöte)', 'bass-flute'],
  ['pan ?(flute|flöte)', 'unknown'],
  ['(piccolo|ottavino)', 'piccolo'],
  ['(flute|flöte|flauto|flûte)', 'flute'],
  ['(english horn|cor anglais|englischhorn|corno inglese)', 'english-horn'],
  ['(oboe|hautbois)', 'oboe'],
  ['(contra|double ?|kontra)(bassoon|fagott|fagotto)', 'contrabassoon'],
  ['(bassoon|fagott)', 'bassoon'],
  ['soprano cornet', 'soprano-cornet'],
  [`(cornet.*${EB}|${EB}[ -]*cornet)`, 'soprano-cornet'],
  ['(cornet|kornett)', 'cornet'],
  ['fl[uü]gel ?horn', 'flugelhorn'],
  [`((trumpet|trompete).*\\bin c\\b|\\bc (trumpet|trompete))`, 'trumpet-c'],
  [`((trumpet|trompete).*${EB}|${EB}[ -]*(trumpet|trompete))`, 'trumpet-eb'],
  ['((trumpet|trompete).*\\bin [adefg]\\b|\\b[adefg] (trumpet|trompete))', 'unknown'],
  ['(trumpet|trompete|tromba|trompette)', 'trumpet'],
  ['mellophone', 'mellophone'],
  ['(tenor|alto) ?horn', 'tenor-horn'],
  ['(baritone ?horn|baritone,? \\(?[bt]\\.? ?c)', 'baritone-horn'],
  ['(euphonium|eufonio)', 'euphonium'],
  ['(alto ?trombone|altposaune)', 'alto-trombone'],
  ['(bass ?trombone|bassposaune)', 'bass-trombone'],
  ['(trombone|posaune)', 'trombone'],
  [`((tuba|bass\\b).*${EB}|${EB}[ -]*(tuba|bass)\\b)`, 'eb-bass'],
  [`(\\bbass\\b.*${BB}|${BB}[ -]*bass\\b)`, 'bb-bass'],
  ['(tuba|sousaphone|bombardon)', 'tuba'],
  ['(horn.*\\bin (a|b|bb|c|d|e|eb|g)\\b)', 'unknown'],
  ['\\b(french )?horn|waldhorn|\\bcorno\\b', 'horn'],
  ['(violoncello|\\bcello)', 'cello'],
  ['(violin|fiddle|geige|violon\\b)', 'violin'],
  ['(viola\\b(?! d)|bratsche)', 'viola'],
  ['(bass guitar|electric bass|fretless bass|e-bass)', 'bass-guitar'],
  ['(double ?bass|contrabass|string bass|upright bass|acoustic bass|kontrabass|contrabasso)', 'double-bass'],
  ['(guitar|gitarre|chitarra)', 'guitar'],
  ['(harpsichord|cembalo)', 'keyboard'],
  ['\\b(harp|harfe|arpa)\\b', 'harp'],
  ['(celesta|celeste)', 'celesta'],
  ['(glockenspiel|orchestra bells)', 'glockenspiel'],
  ['xylo(phone|phon)', 'xylophone'],
  ['vibra(phone|phon)', 'vibraphone'],
  ['marimba', 'marimba'],
  ['(tubular bells|chimes|röhrenglocken)', 'tubular-bells'],
  ['(timpani|kettle ?drums|pauken)', 'timpani'],
  ['(accordion|akkordeon)', 'accordion'],
  ['(mouth ?organ|organum|organistrum)', 'unknown'],
  ['(keyboard|piano(?!la)|pianoforte|organ|orgel|klavier|clavichord)', 'keyboard'],
];
const PATTERNS = NAMES.map(([words, instrument]) => [new RegExp(words), instrument] as const);

/** Instruments of one name whose parts are written in several ways: the transposition says which. */
const WRITTEN_WAYS: readonly (readonly InstrumentName[])[] = [
  ['clarinet', 'clarinet-a', 'clarinet-eb'],
  ['euphonium', 'euphonium-bb'],
  ['baritone-horn', 'baritone-horn-c'],
  ['trombone', 'trombone-bb'],
  ['tuba', 'eb-bass', 'bb-bass'],
  ['trumpet', 'trumpet-eb'],
];

/** Words that name no instrument: an order, a staff, a hand, a line. */
const NO_INSTRUMENT = new Set(
  (
    'the music musik part parte staff voice stimme melody solo soli tutti lead line hand right left upper lower treble ' +
    'clef instrument track untitled new unnamed default accompaniment first second third desk player rh lh mid midi score'
  ).split(' '),
);

export interface InstrumentChoice {
  readonly instrument: InstrumentName;
  /** What was doubtful, one sentence. */
  readonly doubt?: string;
}

/** The instrument that a part's name means, if any. @example instrumentNamed('Clarinet in Bb') // 'clarinet' */
export function instrumentNamed(partName: string): InstrumentName | undefined {
  const text = partName.toLowerCase().trim();
  const exact = INSTRUMENT_NAMES.find(
    (name) => name === text || INSTRUMENTS[name].name.toLowerCase() === text,
  );
  if (exact) return exact;
  const found = PATTERNS.find(([words]) => words.test(text))?.[1];
  return found !== undefined && isInstrumentName(found) ? found : undefined;
}

/** Whether a part's name says what plays it, known here or not. */
export function namesAnInstrument(partName: string): boolean {
  const words = partName.toLowerCase().match(/\p{L}+/gu) ?? [];
  return words.some((word) => word.length > 1 && !NO_INSTRUMENT.has(word) && !/^[ivx]+$/.test(word));
}

/**
 * The instrument of a part that is called `partName` and sounds `transposition` semitones from what is written. The
 * transposition is the file's word and always wins; the name only chooses among instruments that agree with it.
 */
export function chooseInstrument(partName: string, transposition: number): InstrumentChoice {
  const named = instrumentNamed(partName);
  const ways = WRITTEN_WAYS.find((names) => names.includes(named!)) ?? (named ? [named] : []);
  // As it is called, before another way of writing for it.
  const agreed = [...(named ? [named] : []), ...ways].find(
    (name) => INSTRUMENTS[name].transposition === transposition,
  );
  if (agreed) return { instrument: agreed };
  const plain = plainInstrument(transposition);
  if (named && transposition === 0) {
    const doubt = `the part is called "${partName}" but nothing in the file says that it transposes: read as sounding as written; choose the instrument with --instrument if it does`;
    return { instrument: 'in-c', doubt };
  }
  if (!plain) {
    const doubt = `no instrument known here sounds ${signed(transposition)} semitones from what is written; say which it is with --instrument`;
    return { instrument: 'in-c', doubt };
  }
  if (named) {
    const doubt = `the part is called "${partName}" but sounds ${signed(transposition)} semitones from what is written: read as for an ${INSTRUMENTS[plain].name}`;
    return { instrument: plain, doubt };
  }
  if (namesAnInstrument(partName)) return { instrument: plain, doubt: unknownInstrument(partName, plain) };
  return { instrument: transposition === 0 ? 'keyboard' : plain };
}

/** The question which instrument it is. */
function unknownInstrument(called: string, readAs: InstrumentName): string {
  return `"${called}" is no instrument known here: read as for an ${INSTRUMENTS[readAs].name}; say which it is with --instrument`;
}

function signed(semitones: number): string {
  return semitones > 0 ? `+${semitones}` : `${semitones}`;
}
