/** The listing of a document made by hand: blocks of doubted notes, advice, the hand in ms and in 100. */

import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument, NoteResult, Verdict } from '../../src/analysis/document.ts';
import { handLines } from '../../src/cli/noteBlocks.ts';
import { listing } from '../../src/cli/listing.ts';

const source = { file: 'quiet.wav', sampleRate: 48_000, channels: 1, durationSeconds: 1 };
const silence = analyse(new Float32Array(48_000), source);

const note = (name: string, midi: number, verdict: Verdict): NoteResult => ({
  midi,
  name,
  verdict,
  score: 0,
  measures: [],
  couldHaveShown: { spreadPercent: null, shiftPercent: null, failureRate: null, modelMillimetres: null },
  findings: [],
  looks: 1,
  pattern: null,
  strokesNeeded: null,
  unused: {},
  words: {
    line: `Line of ${name}.`,
    evidence: [`Heard ${name}.`],
    next: [`Look at ${name}.`],
    cautions: ['Stop if it clicks.', `Mind ${name}.`],
    parts: [],
  },
});

const known: AnalysisDocument = {
  ...silence,
  warnings: [],
  takes: [{ take: 1, midi: 69, asked: null, touch: null, ratePerSecond: 7.5 }],
  expectedFalseUnstable: 0.31,
  advice: [{ code: 'slips', message: 'Wait before each stroke.' }],
  hand: {
    ...silence.hand,
    scalePercent: 4.12,
    scaleMs: 2.06,
    slipRate: 0.034,
    reference: 'this-round',
    notes: 14,
    baseRates: {
      steady: { silent: 0.011, faint: 0.052 },
      quick: { silent: 0.03, faint: 0.12 },
      doubles: 0.002,
      notes: 14,
    },
  },
  notes: [
    note('A4', 69, 'steady'),
    note('D#3', 51, 'unstable'),
    note('B3', 59, 'watch'),
    note('C4', 60, 'insufficient'),
  ],
};

describe('the listing', () => {
  const lines = listing(known, false).split('\n');

  it('tells what doubted notes are told, with headings only where there is something under them', () => {
    const at = lines.indexOf('D#3, unstable: Line of D#3.');
    expect(lines.slice(at, at + 6)).toEqual([
      'D#3, unstable: Line of D#3.',
      '  Heard:',
      '    - Heard D#3.',
      '  Look at first:',
      '    - Look at D#3.',
      '',
    ]);
    expect(lines).toContain('B3, watch: Line of B3.');
    expect(lines.join('\n')).not.toMatch(/Line of A4|Mind (A4|C4)/);
    // What is to be minded stands once for all of them.
    const mind = lines.indexOf('  To mind:');
    expect(lines.slice(mind + 1, mind + 5)).toEqual([
      '    - Stop if it clicks.',
      '    - Mind D#3.',
      '    - Mind B3.',
      '',
    ]);
    const waiting = lines.indexOf('Not enough yet:');
    expect(lines.slice(waiting + 1, waiting + 3)).toEqual(['  C4: Line of C4. Look at C4.', '']);
    const nothing = { ...known, notes: known.notes.map((one) => ({ ...one, words: { ...one.words, cautions: [] } })) };
    expect(listing(nothing, false)).not.toMatch(/To mind/);
  });

  it('says once what several notes that are not judged yet are told, and nothing where all are', () => {
    const alike = (name: string, midi: number) => ({
      ...note(name, midi, 'insufficient'),
      words: note('it', 0, 'insufficient').words,
    });
    const told = listing(
      { ...known, notes: [alike('C4', 60), alike('D4', 62), note('E4', 64, 'insufficient')] },
      false,
    );
    expect(told).toMatch(
      /^Not enough yet:\n {2}C4, D4: Line of it\. Look at it\.\n {2}E4: Line of E4\. Look at E4\.\n\n/m,
    );
    expect(listing({ ...known, notes: [note('A4', 69, 'steady')] }, false)).not.toMatch(/^Not enough yet:/m);
  });

  it('does not call a hand learned that is held against nothing, nor give a rate for repeats not played', () => {
    const one = handLines({ ...known, hand: { ...known.hand, reference: 'none', notes: 1 } });
    expect(one[0]).toMatch(/^Hand: not known/);
    expect(one.join(' ')).not.toMatch(/learned on|went astray/);
    expect(handLines({ ...known, takes: [] })[1]).toBe(
      'Repeats on notes in order: 1.1 in 100 silent, 5.2 in 100 silent or weak.',
    );
  });

  it('gives advice with its code, the hand as reached, and what chance alone would flag', () => {
    expect(lines).toContain('Advice (slips): Wait before each stroke.');
    expect(handLines(known)).toEqual([
      'Hand: on a firm note its travel times scatter by 4.1 in 100 (2.1 ms), learned on 14 notes of this round; 3.4 in 100 slow strokes went astray.',
      'Repeats on notes in order: 1.1 in 100 silent, 5.2 in 100 silent or weak; from 7 a second on 3.0 in 100 silent, 12 in 100 silent or weak.',
      'If all these notes were in order, about 0.3 of them would still be called Unstable by chance.',
    ]);
    expect(handLines({ ...known, hand: { ...known.hand, reference: 'stored', notes: 1 } })[0]).toMatch(
      /, as learned earlier;/,
    );
    expect(handLines(silence)).toHaveLength(1);
    expect(handLines(silence)[0]).toMatch(/^Hand: not known/);
  });
});
