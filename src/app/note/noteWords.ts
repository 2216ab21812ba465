/** The words of the note screen. */

import type { Hand, NoteResult } from '../../analysis/document.ts';
import { ACTION } from '../../piano/regulation.ts';
import { counted } from '../words.ts';

const WHY_PLAY = {
  fast: 'Twelve fast strokes, the key let up not quite half-way, tell whether the note repeats.',
  gentle: 'Eight strokes as soft as will speak tell whether the hammer lets off and falls back at the softest touch.',
  bar: 'Three neighbouring keys under one straight bar, pressed slowly, hear a rest that wanders by about 1 mm at the hammer (model).',
  slow: 'Eight slow strokes, the key let right up, tell how evenly the hammer rests.',
  travel: 'Slow strokes whose contact is heard tell how the travel time follows the loudness.',
} as const;

/** The same for an upright, whose rest is measured and not judged. */
const WHY_PLAY_UPRIGHT: Readonly<Record<keyof typeof WHY_PLAY, string>> = {
  ...WHY_PLAY,
  gentle: 'Eight strokes as soft as will speak tell whether the note speaks, and only once, at the softest touch.',
  bar: 'Three neighbouring keys under one straight bar, pressed slowly, tell how evenly the three start.',
  slow: 'Eight slow strokes, the key let right up, tell how evenly the note starts.',
};

/** Why a passage that was not played might be. */
export function whyPlay(passage: keyof typeof WHY_PLAY, upright: boolean): string {
  return (upright ? WHY_PLAY_UPRIGHT : WHY_PLAY)[passage];
}

export const REFERENCE_WORDS: Readonly<Record<Hand['reference'], string>> = {
  'this-round': 'the other notes of this round',
  stored: 'kept from an earlier round',
  none: 'nothing to hold it against',
};

export const PATTERN_WORDS: Readonly<Record<NonNullable<NoteResult['pattern']>, string>> = {
  scattered: 'The failures lie scattered among the others.',
  'every-second': 'About every second repeat fails.',
  'until-return': 'It fails until the key is let up further.',
  lone: 'A single repeat failed.',
  rate: 'It fails when played faster.',
  'after-damped': 'It fails even after the key was let up far.',
};

const UNUSED_WORDS: Readonly<Record<keyof NoteResult['unused'], string>> = {
  silent: 'silent',
  'no-contact': 'no contact heard',
  'two-contacts': 'two possible contacts',
  'contact-unsure': 'contact too faint',
  'too-soon': 'too soon after the stroke before',
  'travel-out-of-range': 'a travel time that no finger makes',
  'level-out-of-range': 'too far from its usual loudness',
  'other-touch': 'played with another touch',
  gentle: 'gentle, counted but not timed',
};

/** What was left out of the travel time, reason by reason. */
export function unusedWords(unused: NoteResult['unused']): string[] {
  const reasons = Object.keys(UNUSED_WORDS) as (keyof NoteResult['unused'])[];
  return reasons.flatMap((why) => {
    const n = unused[why] ?? 0;
    return n > 0 ? [`${counted(n, 'stroke')}: ${UNUSED_WORDS[why]}.`] : [];
  });
}

const TITLES: ReadonlySet<string> = new Set(Object.values(ACTION).map(({ title }) => title));

/** Something to look at: the part by its name, where the sentence begins with one, and what is to be done. */
export interface Look {
  readonly part: string | null;
  readonly words: string;
}

/** A sentence of advice, its part set apart. */
export function lookOf(sentence: string): Look {
  const colon = sentence.indexOf(': ');
  const part = sentence.slice(0, Math.max(0, colon));
  return TITLES.has(part) ? { part, words: sentence.slice(colon + 2) } : { part: null, words: sentence };
}
