/** Uprights: what was measured stays; no cause and no verdict on the rest is left in any words that a note can have. */

import { describe, expect, it } from 'vitest';
import { EVERY_CHECK, sayLook } from '../../src/piano/looks.ts';
import { documentAsMeasured, noteAsMeasured, summaryAsMeasured, type Judged } from '../../src/piano/uprights.ts';
import { summaryOf } from '../../src/record/rounds.ts';
import {
  FINDING_KINDS,
  type Finding,
  type FindingKind,
  type Measure,
  type Verdict,
} from '../../src/steadiness/kinds.ts';
import { noteWords, type NoteFacts } from '../../src/steadiness/words.ts';

const VERDICTS: readonly Verdict[] = ['steady', 'watch', 'unstable', 'insufficient'];

const finding = (kind: FindingKind, interval: readonly [number, number] = [0.2, 0.6]): Finding => ({
  kind,
  size: 0.4,
  unit: kind === 'wandering-rest' || kind === 'early-or-late' ? 'percent' : 'share',
  interval,
  n: 12,
});
const failed = (value: number): Measure => ({
  kind: 'silent-repeats',
  value,
  unit: 'share',
  interval: [0, 0.5],
  n: 12,
});
const spread: Measure = { kind: 'spread-ratio', value: 2.4, unit: 'ratio', interval: [1.7, 3.3], n: 16 };

function judged(
  verdict: Verdict,
  kinds: readonly FindingKind[],
  measures: readonly Measure[] = [failed(0.25), spread],
) {
  const facts: NoteFacts = {
    ...{ verdict, findings: kinds.map((kind) => finding(kind)), measures, pattern: null, looks: 1, unused: {} },
    couldHaveShown: { spreadPercent: 8, shiftPercent: 3, failureRate: 0.2, modelMillimetres: 5 },
    strokesNeeded: { slow: 8, fast: 12 },
    ...({ reference: 'this-round', repeatsReference: 'this-round', returns: 'right' } as const),
  };
  return { ...facts, midi: 60, score: 0.9, words: noteWords(facts) };
}

const CAUSES = /jack|lever|spring|let-off|knuckle|hammer line|capstan|at the hammer|centre/i;
const REST = /\brest(s|ed|ing)?\b(?! gets no| of)|start from|starts from|another place/i;

describe('a note of an upright', () => {
  const every = VERDICTS.flatMap((verdict) =>
    FINDING_KINDS.flatMap((kind) => [
      judged(verdict, [kind]),
      judged(verdict, ['wandering-rest', kind]),
      judged(verdict, [kind, 'early-or-late']),
    ]),
  );

  it('has no cause and no verdict on the rest in any of its words', () => {
    for (const note of every) {
      const { words, findings } = noteAsMeasured(note, 'upright');
      expect(words.line, note.words.line).not.toMatch(CAUSES);
      expect(words.line.replace('nothing is said of how its hammer rests', ''), note.words.line).not.toMatch(REST);
      expect(words.line).toMatch(/^[A-Z].*\.$/);
      expect(words.parts).toEqual([]);
      for (const sentence of [...words.evidence, ...words.next, ...words.cautions])
        expect(sentence).not.toMatch(CAUSES);
      expect(findings.map(({ kind }) => kind)).not.toContain('wandering-rest');
    }
  });

  it('says nothing of what to look at, whatever there is to look at', () => {
    for (const check of EVERY_CHECK) {
      const note = judged('watch', ['missed-repeats']);
      const looked = { ...note, words: { ...note.words, next: [sayLook({ check, reason: null })] } };
      expect(noteAsMeasured(looked, 'upright').words.next).toEqual([]);
    }
    // As an older program may have kept it: in other words.
    const older = {
      ...judged('watch', []),
      words: { ...judged('watch', []).words, next: ['Jack: look where it stands.'] },
    };
    expect(noteAsMeasured(older, 'upright').words.next).toEqual([]);
    const { words } = noteAsMeasured(judged('watch', ['missed-repeats']), 'upright');
    expect(words.next).toEqual([
      'Play about 8 more slow strokes and 12 more fast strokes: that would probably settle it.',
    ]);
    expect(words.evidence.length).toBeGreaterThan(0);
  });

  it.each([
    ['unstable', ['missed-repeats'], 'unstable'],
    ['unstable', ['wandering-rest'], 'insufficient'],
    ['unstable', ['wandering-rest', 'missed-repeats'], 'unstable'],
    ['unstable', ['wandering-rest', 'early-or-late'], 'watch'],
    ['watch', ['wandering-rest'], 'insufficient'],
    ['watch', ['early-or-late'], 'watch'],
    ['watch', [], 'watch'],
    ['steady', [], 'steady'],
  ] as const)('is, where it was %s for %j, %s', (verdict, kinds, expected) => {
    expect(noteAsMeasured(judged(verdict, kinds), 'upright').verdict).toBe(expected);
  });

  it('is not unstable for few failures beside a wandering rest', () => {
    const note = judged('unstable', []);
    const findings = [finding('wandering-rest'), finding('missed-repeats', [0.02, 0.2])];
    expect(noteAsMeasured({ ...note, findings }, 'upright')).toMatchObject({ verdict: 'watch', score: 0.35 });
  });

  it('is not watched for nothing but its rest, where no repeat failed', () => {
    expect(noteAsMeasured(judged('watch', [], [failed(0), spread]), 'upright').verdict).toBe('insufficient');
  });

  it('keeps every measure, and the sentences that count', () => {
    const note = judged('unstable', ['missed-repeats', 'wandering-rest']);
    const shown = noteAsMeasured(note, 'upright');
    expect(shown.measures).toBe(note.measures);
    expect(shown.words.evidence.length).toBeGreaterThan(0);
    expect(shown.words.line).toBe('Quick repeats fail: some stay silent.');
    expect(shown.couldHaveShown).toEqual({ ...note.couldHaveShown, modelMillimetres: null });
  });

  it('of a grand is left as it is', () => {
    const notes = every as readonly Judged[];
    expect(notes.map((note) => noteAsMeasured(note, 'grand'))).toEqual(notes);
    const document = { notes };
    expect(documentAsMeasured(document, 'grand')).toBe(document);
    expect(documentAsMeasured(document, 'upright').notes).toHaveLength(notes.length);
  });
});

describe('a summary of an upright', () => {
  it('says of each note what its note says, and flags none for its rest', () => {
    const notes = [
      { ...judged('unstable', ['missed-repeats']), midi: 40 },
      { ...judged('unstable', ['wandering-rest']), midi: 41 },
      { ...judged('watch', ['early-or-late']), midi: 42 },
      { ...judged('steady', []), midi: 43 },
    ];
    const document = { analysisVersion: '1.0.0', notes } as unknown as Parameters<typeof summaryOf>[0];
    const line = [
      { midi: 41, repeats: null, gentle: null, offsets: [1, -1], failsAgain: false, wanders: true },
    ] as const;
    const summary = summaryOf(document, [40, 41, 42, 43], line);
    const shown = summaryAsMeasured(summary, 'upright');
    expect(shown.verdicts).toEqual(
      notes.map((note) => ({ midi: note.midi, verdict: noteAsMeasured(note, 'upright').verdict })),
    );
    expect(shown.flagged.map(({ midi }) => midi)).toEqual([40, 42]);
    expect(JSON.stringify(shown.flagged)).not.toMatch(CAUSES);
    expect(shown.line).toEqual([{ ...line[0], wanders: false }]);
    expect(summaryAsMeasured(summary, 'grand')).toBe(summary);
  });
});
