/**
 * What the page says: sentences from the analysis document, numbers as people read them.
 *
 * A sentence is a list of parts, because a note's name is drawn (the sharp is no letter of the fonts) and spoken
 * otherwise than it is written. Minus is U+2212. Nothing is computed here that is not formatting.
 */

import type { AnalysisDocument, NoteResult } from '../analysis/document.ts';
import { keyName, parseKeyName } from '../piano/keys.ts';
import { contactOf } from '../pictures/heard.ts';
import type { Doubt, Passage, Stroke } from './heard.ts';
import type { MidiNote } from '../units.ts';

/** A piece of a sentence: text, or a note to be drawn. */
export type Part = string | { readonly midi: MidiNote };
export type Words = readonly Part[];

/** A note's name as spoken: "A sharp 4". */
export function spokenName(midi: MidiNote): string {
  return keyName(midi).replace(/^([A-G])(#?)(\d)$/, (_, letter: string, sharp: string, octave: string) =>
    sharp ? `${letter} sharp ${octave}` : `${letter}${octave}`,
  );
}

/** The parts as one spoken string. */
export function spoken(words: Words): string {
  return words.map((part) => (typeof part === 'string' ? part : spokenName(part.midi))).join('');
}

/** "d-sharp-3-missed-repeats" as words, its notes known as notes. */
export function wordsWithNotes(dashed: string): Words {
  const text = dashed.replaceAll('-', ' ');
  const parts: Part[] = [];
  let done = 0;
  for (const match of text.matchAll(/\b([a-g])( sharp )?(\d)\b/gi)) {
    parts.push(text.slice(done, match.index), { midi: parseKeyName(`${match[1]}${match[2] ? '#' : ''}${match[3]}`) });
    done = match.index + match[0].length;
  }
  parts.push(text.slice(done));
  const named = parts.filter((part) => part !== '');
  const [first, ...others] = named;
  return typeof first === 'string' ? [first.charAt(0).toUpperCase() + first.slice(1), ...others] : named;
}

/** A number with so many decimals and a true minus; what rounds to nothing has no sign. */
export function figure(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `\u2212${text}` : text;
}

/** "3 strokes", "1 stroke". */
export function counted(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`;
}

/** What the passages are called where they stand alone; `null` is a stroke that fits none. */
export function passageWord(passage: Passage | null): string {
  return passage === null ? 'Apart' : { slow: 'Slow', fast: 'Fast', gentle: 'Gentle', bar: 'Bar' }[passage];
}

const DOUBT_WORDS: Readonly<Record<Doubt, string>> = {
  'period-ambiguous': 'may be off by one period of the tone',
  'inferred-from-beat': 'not heard; placed by the beat',
  'two-candidates': 'two contacts are possible',
  'low-fit': 'unlike the other strokes',
  'no-template': 'too few strokes to time it closely',
  clipped: 'clipped',
  'note-uncertain': 'the note is not sure',
  'cut-off': 'cut off by the end of the recording',
  'other-sound': 'may be another sound than a piano string',
  'several-notes': 'other notes sound with it',
  'not-a-take': 'too few or too irregular for a take',
};

/** Why a stroke should be believed less, in words. */
export function doubtWords(stroke: Stroke): string {
  return stroke.doubt.map((doubt) => DOUBT_WORDS[doubt]).join('; ');
}

type Absence = NonNullable<Stroke['absent']['contact']>;

const ABSENT_WORDS: Readonly<Record<Absence, string>> = {
  'none-heard': 'none heard',
  masked: 'covered',
  'two-candidates': 'two heard',
  'outside-recording': 'outside',
  gap: 'gap',
  'not-sought': '',
  'not-known': '',
};

/**
 * Milliseconds from the finger's contact with the key to the tone, in brackets where they do not count (faint, or one of
 * two places), or in words why they are not known.
 */
export function travelWords(stroke: Stroke): string {
  const { contactSeconds, onsetSeconds, absent } = stroke;
  if (contactSeconds !== null && onsetSeconds !== null) {
    const ms = figure(1000 * (onsetSeconds - contactSeconds), 1);
    return contactOf(stroke).kind === 'clear' ? ms : `(${ms})`;
  }
  return absent.contact ? ABSENT_WORDS[absent.contact] : '';
}

/** The notes that ask for somebody to look, what is surest first. */
function doubted({ notes }: AnalysisDocument): NoteResult[] {
  return notes
    .filter(({ verdict }) => verdict === 'watch' || verdict === 'unstable')
    .sort((a, b) => Number(b.verdict === 'unstable') - Number(a.verdict === 'unstable') || b.score - a.score);
}

/** The first line of the result: what the hand would feel, without statistics. */
export function leadOf(analysis: AnalysisDocument): Words {
  const { strokes } = analysis;
  if (strokes.length === 0) return ['No strokes were heard in this recording.'];
  const [worst] = doubted(analysis);
  if (worst) return [{ midi: worst.midi }, `: ${worst.words.line}`];
  const silent = strokes.filter(({ kind }) => kind === 'silent');
  const told = silent.length === 0 ? strokes : silent;
  const names = listed(analysis.notes.map(({ midi }) => midi).filter((midi) => told.some((s) => s.midi === midi)));
  const of = names.length ? [' of ', ...names] : [];
  if (silent.length === 0)
    return strokes.length === 1 ? ['One stroke', ...of, ' spoke.'] : ['All strokes', ...of, ' spoke.'];
  return [counted(silent.length, 'stroke'), ...of, ' may have stayed silent; the others spoke.'];
}

/** The second line: how much was heard, and what the lead rests on. */
export function evidenceOf(analysis: AnalysisDocument): Words {
  const { strokes, source } = analysis;
  const words: Part[] = [];
  const passages = [...new Set(strokes.map(({ passage }) => passage))].map((passage) => {
    const n = strokes.filter((stroke) => stroke.passage === passage).length;
    return `${n} ${passageWord(passage).toLowerCase()}`;
  });
  words.push(
    `${passages.length ? sentenceList(passages) : 'No'} strokes in ${figure(source.durationSeconds, 1)} seconds.`,
  );
  const [worst, ...others] = doubted(analysis);
  if (worst && worst.words.evidence.length > 0) words.push(' ', { midi: worst.midi }, `: ${worst.words.evidence[0]}`);
  if (others.length > 0) {
    words.push(' To look at too: ', ...listed(others.map(({ midi }) => midi)), '.');
  }
  return words;
}

/** Notes as "A4", "A4 and B4", "A4, B4 and C5"; more than four are counted. */
function listed(midis: readonly MidiNote[]): Part[] {
  if (midis.length > 4) return [`${midis.length} notes`];
  return midis.flatMap((midi, i): Part[] => {
    const joint = i === 0 ? [] : [i === midis.length - 1 ? ' and ' : ', '];
    return [...joint, { midi }];
  });
}

function sentenceList(items: readonly string[]): string {
  return items.length < 2 ? items.join('') : `${items.slice(0, -1).join(', ')} and ${items[items.length - 1]}`;
}
