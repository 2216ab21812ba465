/**
 * What a doubted note is told in words, and the hand that all notes are held against, as lines of text.
 */

import type { AnalysisDocument, Hand, NoteResult, PooledDocument, Verdict } from '../analysis/document.ts';

export const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  steady: 'Steady',
  watch: 'Watch',
  unstable: 'Unstable',
  insufficient: 'Not enough yet',
};

/** True for the verdicts that ask for somebody to look. */
export function isDoubted(verdict: Verdict): boolean {
  return verdict === 'watch' || verdict === 'unstable';
}

/** The note's line, then what it rests on and what to look at, each where there is any. */
export function noteBlock({ name, verdict, words }: NoteResult): string[] {
  return [
    `${name}, ${VERDICT_WORDS[verdict].toLowerCase()}: ${words.line}`,
    ...part('Heard', words.evidence),
    ...part('Look at first', words.next),
  ];
}

/** Notes that are not judged yet, and what to play: a line for all that are told the same, in the order of the notes. */
export function waitingBlock(notes: readonly NoteResult[]): string[] {
  const told = new Map<string, string[]>();
  for (const { name, words } of notes) {
    const said = [words.line, ...words.next].join(' ');
    told.set(said, [...(told.get(said) ?? []), name]);
  }
  return told.size === 0
    ? []
    : ['Not enough yet:', ...[...told].map(([said, names]) => `  ${names.join(', ')}: ${said}`)];
}

/** What to mind with any of these notes, each sentence once; empty where nothing is advised. */
export function cautionBlock(notes: readonly NoteResult[]): string[] {
  return part('To mind', [...new Set(notes.flatMap(({ words }) => words.cautions))]);
}

function part(title: string, sentences: readonly string[]): string[] {
  return sentences.length === 0 ? [] : [`  ${title}:`, ...sentences.map((sentence) => `    - ${sentence}`)];
}

const NO_HAND =
  'Hand: not known, as too few notes could be timed or too few are alike; nothing is concluded from travel times.';

/** From this rate on repeats have base rates of their own, strokes a second. */
const QUICK_FROM = 7;
type Take = AnalysisDocument['takes'][number];

/** The hand's scale as reached, how it repeats, and how many notes in order these rules flag by chance. */
export function handLines({ hand, takes, expectedFalseUnstable }: AnalysisDocument | PooledDocument): string[] {
  const rates: readonly Pick<Take, 'ratePerSecond'>[] = takes;
  const quick = rates.some(({ ratePerSecond }) => ratePerSecond !== null && ratePerSecond >= QUICK_FROM);
  return [handLine(hand), ...repeatsLine(hand, quick), ...chanceLine(expectedFalseUnstable)];
}

function handLine({ scalePercent, scaleMs, slipRate, reference, notes }: Hand): string {
  if (scalePercent === null || reference === 'none') return NO_HAND;
  const ms = scaleMs === null ? '' : ` (${scaleMs.toFixed(1)} ms)`;
  const slips = slipRate === null ? '' : `; ${inHundred(slipRate)} slow strokes went astray`;
  return `Hand: on a firm note its travel times scatter by ${scalePercent.toFixed(1)} in 100${ms}, ${from(reference, notes)}${slips}.`;
}

function from(reference: Hand['reference'], notes: number): string {
  const of = `${notes} note${notes === 1 ? '' : 's'}`;
  // The count is of this round; on how many the stored hand was learned stands in its own file.
  return reference === 'stored' ? 'as learned earlier' : `learned on ${of} of this round`;
}

function repeatsLine({ baseRates }: Hand, playedQuick: boolean): string[] {
  if (baseRates === null) return [];
  const { steady, quick } = baseRates;
  const rates = ({ silent, faint }: typeof steady) => `${inHundred(silent)} silent, ${inHundred(faint)} silent or weak`;
  const faster = playedQuick ? `; from ${QUICK_FROM} a second on ${rates(quick)}` : '';
  return [`Repeats on notes in order: ${rates(steady)}${faster}.`];
}

function chanceLine(expected: number | null): string[] {
  if (expected === null) return [];
  const many = expected < 0.05 ? 'fewer than 0.1' : `about ${expected.toFixed(1)}`;
  return [`If all these notes were in order, ${many} of them would still be called Unstable by chance.`];
}

function inHundred(share: number): string {
  const value = 100 * share;
  return `${value < 9.95 ? value.toFixed(1) : value.toFixed(0)} in 100`;
}
