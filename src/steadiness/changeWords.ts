/**
 * A change in words of the trade: what became of the note, what that rests on, what to mind.
 */

import { keyName } from '../piano/keys.ts';
import type { ChangeMeasure, NoteChange, Reserve, RoundChange } from './compare.ts';
import { LEAST_REPEATS } from './shareChange.ts';
import { LEAST_TRAVELS } from './spreadChange.ts';
import { zeroScatter } from './travelChange.ts';

/** q up to which a change counts. */
const SURE = 0.05;
/** From here on a note's scatter is worth a word though it did not change. */
const NOTABLE_SPREAD = 1.5;

const OTHER_HANDS: readonly Reserve[] = ['other-hand', 'other-player', 'other-stored-hand'];

/** What holds for the comparison as a whole. */
const ROUND_WORDS: Readonly<Partial<Record<Reserve, string>>> = {
  'other-hand':
    'The two rounds are not of one hand: loudness, travel time or evenness differ over the whole piano. Nothing is called changed; play both rounds with the same finger and force, the microphone in one place.',
  'no-hand':
    'What the hand alone does is not known for both rounds, so the spread of the travel time decides nothing. Play twelve or more notes in each round, or learn the hand first (evenfall reference) and give it with --reference.',
  'let-up-more':
    'In one of the rounds the keys were let up too little, so failed repeats are the hand\u2019s and decide nothing: let the keys up a little more.',
  'let-up-less':
    'After, the keys were let up so far that repeats were hardly tested: fewer failures are no proof; let the keys up a little less.',
  'other-microphone':
    'The two rounds were heard by different microphones, so spreads and shifts of the travel time decide nothing; repeats and doubles are counted within their own round, and do.',
  'other-place':
    'The microphone stood in another place, so spreads and shifts of the travel time decide nothing; repeats and doubles are counted within their own round, and do. Put it back where it was to compare the rest.',
  'other-player':
    'The two rounds were played by different players: every measure depends on the hand, so nothing is called changed. Have one player play both.',
  'other-stored-hand':
    'The two rounds were held against different stored hands, which are different players, touches or microphone places: nothing is called changed. Choose one hand for both.',
};

const NOTE_WORDS: Readonly<Partial<Record<Reserve, string>>> = {
  'chosen-by-chance':
    'The strokes that raised the doubt are all there is of before; the chance that chose them is taken out, so less can be shown. Twelve slow and twelve fast strokes more before the work would tell more.',
  'other-rate': 'Repeats were played at another rate after than before, so they decide nothing.',
  'before-not-fresh':
    'The strokes that raised the doubt are all there is of before, and part of what they showed may have been chance: a travel time that has come back is not called better. A fresh take before the work would tell.',
  'both-ways': 'One measure is better and another worse, so the note is called neither.',
};

/** The sentence for a reserve of the whole comparison. */
export function roundReserveWords(reserve: Reserve): string {
  return ROUND_WORDS[reserve] ?? '';
}

/** Sentences of a note's change, with figures, the change first. */
export function changeWords(note: NoteChange, { reserves }: Pick<RoundChange, 'reserves'>): string {
  const sentences = [headline(note, reserves), ...note.measures.flatMap((measure) => measureWords(measure, note))];
  const chosen = note.reserves.includes('chosen-by-chance');
  for (const reserve of note.reserves) {
    // What was chosen by chance is told with its remedy already.
    const words = reserve === 'before-not-fresh' && chosen ? undefined : NOTE_WORDS[reserve];
    if (words && note.change !== 'insufficient') sentences.push(words);
  }
  return sentences.filter((sentence) => sentence !== '').join(' ');
}

function headline(note: NoteChange, reserves: readonly Reserve[]): string {
  switch (note.change) {
    case 'improved':
      return 'Improved.';
    case 'worse':
      return 'Worse than before.';
    case 'insufficient':
      return (
        `Too few strokes to compare: ${note.slow[0]} usable slow strokes and ${note.fast[0]} repeats before, ` +
        `${note.slow[1]} and ${note.fast[1]} after; ${LEAST_TRAVELS} slow strokes or ${LEAST_REPEATS} repeats are needed in each, better eight and eleven.`
      );
    default:
      return (
        `No change shown (slow strokes ${note.slow.join(' and ')}, repeats ${note.fast.join(' and ')})` +
        `${reserves.some((reserve) => OTHER_HANDS.includes(reserve)) ? ': the rounds are not of one hand.' : '.'}`
      );
  }
}

function measureWords(measure: ChangeMeasure, note: NoteChange): string[] {
  const { kind, before, after, interval, n, couldHaveShown } = measure;
  const moved = measure.q !== null && measure.q <= SURE;
  if (kind === 'spread-ratio') {
    if (!moved && Math.max(before, after) < NOTABLE_SPREAD) return [];
    const words =
      `Its travel time scatters ${round1(after)} times as much as a note in order, ${round1(before)} times before ` +
      `(${times(measure.ratio!)} of what it was, ${times(interval[0])} to ${times(interval[1])}).`;
    const shown = `A scatter down to ${times(couldHaveShown!)} of what it was would probably have shown.`;
    return !moved && measure.q !== null && before >= NOTABLE_SPREAD ? [words, shown] : [words];
  }
  if (kind === 'travel-at-level') return travelWords(measure, note);
  const [failed, then] = [Math.round(before * n[0]), Math.round(after * n[1])];
  if (failed === 0 && then === 0) return [];
  const what = kind === 'failed-repeats' ? ['repeats failed', 'failed'] : ['strokes doubled', 'doubled'];
  return [`${failed} of ${n[0]} ${what[0]} before, ${then} of ${n[1]} after.`];
}

function travelWords({ difference, interval, n }: ChangeMeasure, { midi, reserves }: NoteChange): string[] {
  const [low, high] = interval;
  if (low <= 0 && high >= 0) return [];
  const zero = 1000 * zeroScatter(midi);
  const scatter = reserves.includes('zero-scatter')
    ? ` Each round timed the note by its own template: up to about ${zero >= 1 ? zero.toFixed(0) : zero.toFixed(1)} ms of that may be the timing\u2019s.`
    : '';
  return [
    `At equal loudness its travel time is ${Math.abs(difference!).toFixed(1)} % ${difference! < 0 ? 'shorter' : 'longer'} ` +
      `(${low.toFixed(1)} to ${high.toFixed(1)} %, ${n[0]} and ${n[1]} strokes).${scatter}`,
  ];
}

/** What is left out of the comparison, in a sentence each. */
export function leftOutWords({ onlyBefore, onlyAfter }: RoundChange): string[] {
  const names = (midis: readonly number[]) => midis.map(keyName).join(', ');
  return [
    ...(onlyBefore.length > 0 ? [`Played before only: ${names(onlyBefore)}.`] : []),
    ...(onlyAfter.length > 0 ? [`Played after only: ${names(onlyAfter)}.`] : []),
  ];
}

function round1(value: number): string {
  return value.toFixed(1);
}

function times(ratio: number): string {
  return ratio.toFixed(2);
}
