/** Two rounds as a whole, in words: what became of it, in brackets on how many strokes and notes that rests and how far it may be off. */

import { keyName } from '../piano/keys.ts';
import type { MidiNote } from '../units.ts';
import type { ChangeVerdict } from './compare.ts';
import {
  FAMILY_ERROR,
  type WholeChange,
  type WholeGroup,
  type WholeMeasure,
  type WholeMeasureKind,
} from './wholeChange.ts';
import { zeroScatter } from './travelChange.ts';
import type { MeanShift, SectionShift } from './wholeTravel.ts';

const GROUP_NAMES = { all: 'All notes', turned: 'Turned notes', untouched: 'Notes not turned' } as const;

/** What went wrong, as it is counted. */
const WRONG: Readonly<Record<Exclude<WholeMeasureKind, 'spread-ratio'>, string>> = {
  'failed-repeats': 'repeats failed',
  'silent-repeats': 'repeats did not speak',
  'double-strikes': 'strokes doubled',
  'gentle-silences': 'gentle strokes did not speak',
};

/** Many notes of one section together (common practice, no source). */
const SECTION_FIRST = 'Where a section moves together, look at bedding, rail and climate first.';

/** Sentences for a person, the groups first; none where the rounds have no note in common. */
export function wholeWords({ groups, travel }: WholeChange): string[] {
  // All together, where the notes were picked, say nothing that the turned and the untouched do not say better.
  const told = groups.filter(({ of, notes, reserves }) => {
    const isMixed = of === 'all' && groups.length > 1 && reserves.includes('chosen-by-chance');
    return notes.length > 0 && !isMixed;
  });
  const sentences = told.flatMap(groupWords);
  if (travel) {
    if (travel.mean) sentences.push(meanWords(travel.mean));
    sentences.push(...sectionWords(travel.sections, travel.reserves.includes('zero-scatter')));
  }
  return sentences;
}

function groupWords(group: WholeGroup): string[] {
  const { of, notes, measures, leftOut, reserves } = group;
  const wordsOf = (changes: readonly ChangeVerdict[]) =>
    measures.flatMap((measure) =>
      changes.includes(measure.change) ? (measureWords(measure, notes.length) ?? []) : [],
    );
  const told = [
    ['Better', wordsOf(['improved'])],
    ['Worse', wordsOf(['worse'])],
    ['No change shown', wordsOf(['no-change-shown'])],
    ['Too few notes to compare (shares need four, scatter six)', wordsOf(['insufficient'])],
  ] as const;
  const changes = told.flatMap(([name, words]) => (words.length > 0 ? [`${name}: ${words.join('; ')}.`] : []));
  const sentences = [`${GROUP_NAMES[of]} (${notes.length}). ${changes.join(' ') || 'Nothing to compare.'}`];
  if (leftOut.length > 0) {
    sentences.push(`Left out, because nothing was heard afresh of them before the work: ${namesOf(leftOut)}.`);
  }
  const reserve = reserves.includes('chosen-by-chance') ? reserveWords(group) : null;
  return reserve === null ? sentences : [...sentences, reserve];
}

function reserveWords({ of, measures }: WholeGroup): string {
  switch (of) {
    case 'all':
      return 'Which notes were heard again hung on what was heard before: part of such a change is chance, so all of them together are called nothing.';
    case 'turned':
      return 'They were picked for what was heard, and nothing was heard afresh of them before the work: part of a gain is chance, so nothing of them is called better.';
    case 'untouched':
      return controlWords(measures);
  }
}

function controlWords(measures: readonly WholeMeasure[]): string {
  if (measures.every(({ change }) => change === 'insufficient')) return 'They are too few to be a control.';
  if (measures.some(({ change }) => change === 'improved')) {
    return 'Nobody turned them, and they changed: as much of the turned notes\u2019 change is the hand\u2019s, the room\u2019s or the microphone\u2019s.';
  }
  const picked = 'They were picked for being in order, so a little more going wrong after is chance';
  return measures.some(({ adjusted }) => adjusted !== null && adjusted <= FAMILY_ERROR)
    ? `More went wrong in them after, though nobody turned them. ${picked}; what is beyond that is the hand\u2019s or the room\u2019s.`
    : `They are the control: nothing shows another hand in them. ${picked}, and is not called worse.`;
}

function measureWords(measure: WholeMeasure, notes: number): string | null {
  return measure.kind === 'spread-ratio' ? spreadWords(measure) : shareWords(measure, WRONG[measure.kind], notes);
}

function shareWords(measure: WholeMeasure, wrong: string, all: number): string | null {
  const { kind, failed, n, notes, interval, difference } = measure;
  const [before, after] = failed ?? [0, 0];
  if (before + after === 0 && kind !== 'failed-repeats') return null;
  const counts = `${before} of ${n[0]} ${wrong} before, ${after} of ${n[1]} after`;
  if (interval === null) return counts;
  const [low, high] = interval.map(perHundred);
  const fewer = notes < all ? `${notes} notes, ` : '';
  return `${counts} (${fewer}${perHundred(difference!)} in 100, 19 in 20: ${low} to ${high})`;
}

function spreadWords({ interval, ratio, notes }: WholeMeasure): string | null {
  if (interval === null) return null;
  const [low, high] = interval.map((end) => end.toFixed(2));
  return `travel times scatter ${ratio!.toFixed(2)} of what they did, each round against its own hand (middle one of ${notes} notes, 19 in 20: ${low} to ${high})`;
}

function meanWords({ percent, interval, notes }: MeanShift): string {
  const [low, high] = interval.map(signed);
  return `Travel times at equal loudness, each note against itself: ${signed(percent)} % in the mean (${notes} notes, 19 in 20: ${low} to ${high}); what all notes share is the hand\u2019s or the microphone\u2019s first.`;
}

function sectionWords(sections: readonly SectionShift[], hasZeros: boolean): string[] {
  const told = sections.filter(({ percent }) => percent !== null);
  if (told.length === 0) return [];
  const moved = told.filter(({ shift }) => shift !== 'none-shown');
  const still = told.filter(({ shift }) => shift === 'none-shown');
  const figures = ({ name, percent, interval, notes, others }: SectionShift) => {
    const [low, high] = interval!.map(signed);
    return `${name} ${signed(percent!)} % (${notes} notes against ${others}, 19 in 20: ${low} to ${high})`;
  };
  const sentences: string[] = [];
  if (moved.length > 0) {
    sentences.push(`Moved against all other notes: ${moved.map(figures).join('; ')}. ${SECTION_FIRST}`);
  }
  if (still.length > 0) sentences.push(`No section\u2019s move shown: ${still.map(figures).join('; ')}.`);
  if (hasZeros) {
    const zero = 1000 * zeroScatter(told[0].lowest);
    sentences.push(
      `Each round timed its notes by its own templates: of a note\u2019s shift up to about ${zero >= 1 ? zero.toFixed(0) : zero.toFixed(1)} ms may be the timing\u2019s.`,
    );
  }
  return sentences;
}

function namesOf(midis: readonly MidiNote[]): string {
  return midis.map(keyName).join(', ');
}

function perHundred(share: number): string {
  return signed(100 * share);
}

function signed(value: number): string {
  const words = Math.abs(value).toFixed(1);
  return words === '0.0' ? '0' : `${value < 0 ? '\u2212' : '+'}${words}`;
}
