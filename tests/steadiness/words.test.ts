/** A note in words: every finding under every pattern and verdict, what was not heard, figures as people say them. */

import { describe, expect, it } from 'vitest';
import { FINDING_KINDS, REPEAT_PATTERNS, VERDICTS, type Finding, type Measure } from '../../src/steadiness/kinds.ts';
import { ADVICE_CODES } from '../../src/steadiness/kinds.ts';
import { adviceMessage } from '../../src/steadiness/adviceWords.ts';
import { allowedByNone, saidShare, saidShares } from '../../src/steadiness/naturalWords.ts';
import { symptomsOf } from '../../src/steadiness/symptoms.ts';
import { noteWords, type NoteFacts } from '../../src/steadiness/words.ts';

const BANNED = /\d|\bp\b|posterior|interval|\bdB\b|\bms\b|percent|sigma|outlier|variance|spread|sample|probab/i;
/** Causes are never certain. */
const CERTAIN = /\b(the cause is|is caused|certainly|must be|because of|diagnos|is broken|needs a new)\b/i;

const share = (kind: Measure['kind'], failed: number, n: number): Measure => ({
  kind,
  value: failed / n,
  unit: 'share',
  interval: [Math.max(0, failed / n - 0.1), Math.min(1, failed / n + 0.15)],
  n,
});
const finding = (kind: Finding['kind']): Finding => {
  if (kind === 'wandering-rest') return { kind, size: 2.4, unit: 'ratio', interval: [1.6, 3.5], n: 24 };
  if (kind === 'early-or-late') return { kind, size: -6, unit: 'percent', interval: [-9, -3], n: 24 };
  if (kind === 'fading-repeats') return { kind, size: 5, unit: 'dB', interval: [3, 7], n: 24 };
  if (kind === 'uneven-repeats') return { kind, size: 9, unit: 'percent', interval: [7, 12], n: 23 };
  return { kind, size: 5 / 24, unit: 'share', interval: [0.1, 0.37], n: 24 };
};
const QUIET: NoteFacts = {
  verdict: 'steady',
  findings: [],
  measures: [
    share('failed-repeats', 0, 12),
    { kind: 'spread-ratio', value: 1.1, unit: 'ratio', interval: [0.8, 1.5], n: 8 },
    share('contacts-heard', 8, 8),
  ],
  couldHaveShown: { spreadPercent: 9.2, shiftPercent: null, failureRate: 0.31, modelMillimetres: 6.4 },
  pattern: null,
  looks: 1,
  unused: {},
  strokesNeeded: null,
  reference: 'this-round',
  repeatsReference: 'this-round',
  returns: 'right',
};
const worded = (facts: Partial<NoteFacts>) => noteWords({ ...QUIET, ...facts });

describe('a note with nothing to hold it against', () => {
  it('is not promised that more strokes of it alone would settle it', () => {
    const facts: NoteFacts = {
      verdict: 'insufficient',
      findings: [],
      measures: [],
      couldHaveShown: { spreadPercent: null, shiftPercent: null, failureRate: null, modelMillimetres: null },
      pattern: null,
      looks: 1,
      unused: {},
      strokesNeeded: { slow: 8, fast: 12 },
      reference: 'none',
      repeatsReference: 'none',
      returns: 'unknown',
    };
    expect(noteWords(facts).next).toEqual([expect.stringMatching(/^Play a dozen notes or more in one round/)]);
    expect(noteWords({ ...facts, strokesNeeded: null }).next.join(' ')).toMatch(/^Play a dozen notes/);
    expect(noteWords({ ...facts, reference: 'stored' }).next.join(' ')).toMatch(/^Play about 8 more slow strokes/);
    expect(adviceMessage('few-notes', { notes: 2, played: 16 })).toMatch(/^Of 16 notes, only 2 had/);
  });
});

describe('every finding, pattern and verdict', () => {
  const patterns = [...REPEAT_PATTERNS, null];
  const cases = FINDING_KINDS.flatMap((kind) =>
    patterns.flatMap((pattern) => VERDICTS.map((verdict) => ({ kind, pattern, verdict }))),
  );

  it('has a line without figures or jargon, something to look at and to mind, and no certain cause', () => {
    expect(cases).toHaveLength(10 * 7 * 4);
    for (const { kind, pattern, verdict } of cases) {
      const words = worded({ findings: [finding(kind)], pattern, verdict });
      const where = `${kind}, ${pattern}, ${verdict}`;
      expect(words.line, where).not.toMatch(BANNED);
      expect(words.line).toMatch(/^[A-Z].*\.$/);
      expect(words.line.split('. ').length, where).toBeLessThanOrEqual(3);
      expect(words.evidence.length, where).toBeGreaterThan(0);
      const all = [words.line, ...words.evidence, ...words.next, ...words.cautions];
      for (const sentence of all) {
        expect(sentence, where).toMatch(/^[A-Z0-9].*[.?]$/);
        expect(sentence).not.toMatch(CERTAIN);
        expect(sentence).not.toMatch(/NaN|undefined|null|Infinity/);
        // Millimetres are published values or a model's.
        if (/\bmm\b/.test(sentence))
          expect(sentence).toMatch(/in a model|specification first|closer than about|From about/);
      }
      if (verdict === 'steady') continue;
      expect(words.next.length, where).toBeGreaterThan(0);
      expect(words.cautions.join(' '), where).toMatch(/specification comes first/);
    }
  });

  it('says "seems" where sound only suggests, and not where a repeat was heard to fail', () => {
    for (const kind of FINDING_KINDS) {
      const { line } = worded({ findings: [finding(kind)], verdict: 'unstable' });
      const heard = ['missed-repeats', 'weak-repeats', 'silent-when-gentle', 'jammed'].includes(kind);
      expect(/\bseems?\b|as if/i.test(line), `${kind}: ${line}`).toBe(!heard);
    }
    expect(worded({}).line).toMatch(/seems/);
  });

  it('as the second finding has its own sentence, and silent with weak repeats one', () => {
    const [missed, weak, wandering] = (['missed-repeats', 'weak-repeats', 'wandering-rest'] as const).map(finding);
    expect(worded({ findings: [missed, weak], verdict: 'unstable' }).line).toBe(
      'Quick repeats fail: some stay silent or come out weak.',
    );
    expect(worded({ findings: [missed, wandering], verdict: 'watch' }).line).toBe(
      'Quick repeats fail: some stay silent. It also seems not to start from the same place each time. Worth a second look.',
    );
  });
});

describe('the evidence', () => {
  it('counts, and gives shares as people say them', () => {
    const { evidence } = worded({
      findings: [finding('missed-repeats')],
      verdict: 'unstable',
      pattern: 'every-second',
    });
    expect(evidence[0]).toBe('5 of 24 quick repeats stayed silent; in the long run between 1 in 10 and 1 in 3 may.');
    expect(evidence[1]).toMatch(/every second stroke; with two fingers, that is the finger first/);
  });

  it('does not take zero for proof, and says what a steady note could hide', () => {
    const { evidence, next, cautions } = worded({});
    expect(evidence).toContain('None of 12 quick repeats failed: still up to about 1 in 5 could.');
    expect(evidence.join(' ')).toMatch(/fails in 1 in 3 quick repeats would have been found 4 times in 5/);
    expect(evidence.join(' ')).toMatch(/9 in 100 of the travel time, in a model 6 mm at the hammer, would/);
    expect({ next, cautions }).toEqual({ next: [], cautions: [] });
  });

  it('says that no contact was heard, and does not call the rest even then', () => {
    const measures = [share('failed-repeats', 0, 24), share('contacts-heard', 0, 8)];
    const { line, evidence } = worded({ measures, unused: { 'no-contact': 8 } });
    expect(line).toBe('Repeats well; how evenly it rests was not heard.');
    expect(evidence).toContain('The finger\u2019s contact was not heard, so only the repeats were judged.');
    expect(evidence).toContain('8 slow strokes could not be used for the rest: no contact heard.');
    const untested = worded({ measures, returns: 'let-up-less', verdict: 'insufficient' }).evidence;
    expect(untested).toContain('The finger\u2019s contact was not heard, so how evenly it rests was not judged.');
    expect(untested.join(' ')).toMatch(/were not tested/);
  });

  it('says how many strokes would settle it, or that they would not', () => {
    const some = worded({ verdict: 'insufficient', strokesNeeded: { slow: 8, fast: 24 } });
    expect(some.next).toEqual([
      'Play about 8 more slow strokes and 24 more fast strokes: that would probably settle it.',
    ]);
    expect(some.line).toBe('Nothing wrong heard so far, but not enough to call it steady.');
    // Where something was found, neither "none failed" nor what could have been missed of it is said.
    const found = worded({ findings: [finding('missed-repeats')], verdict: 'watch' }).evidence.join(' ');
    expect(found).not.toMatch(/None of|fails in/);
    expect(found).toMatch(/A start that wanders by/);
    const none = worded({ verdict: 'insufficient' });
    expect(none.evidence).toContain('More strokes would hardly settle it in reasonable time.');
    expect(none.next).toHaveLength(1);
    expect(worded({ provisional: true }).evidence.at(-1)).toMatch(/^Not final/);
  });

  it('has something to say of a note without any strokes of use', () => {
    const { evidence } = worded({ measures: [], verdict: 'insufficient' });
    expect(evidence.length).toBeGreaterThan(0);
  });
});

describe('findings that share a kind', () => {
  const measured = (kind: Measure['kind'], value: number, unit: Measure['unit'], n: number): Measure => ({
    kind,
    value,
    unit,
    interval: [value - 2, value + 2],
    n,
  });

  it('a contrast after firm strokes is no wide wander', () => {
    const { value, ...rest } = measured('after-firm', -4, 'percent', 12);
    const wide = measured('spread-ratio', 3, 'ratio', 24);
    const findings: Finding[] = [{ ...rest, kind: 'wandering-rest', size: value }];
    const measures = [{ ...rest, value }, wide];
    expect(symptomsOf({ findings, measures, pattern: null })).toEqual(['wanders']);
    const { line, evidence } = worded({ findings, measures, verdict: 'watch' });
    expect(line).toMatch(/^After a firm stroke it seems/);
    expect(evidence[0]).toBe(
      'After a firm stroke it answers 4 in 100 of the travel time sooner than after a slow one (between 2 and 6 in 100, 12 strokes).',
    );
    expect(evidence.filter((sentence) => sentence.startsWith('After a firm stroke'))).toHaveLength(1);
  });

  it('a spread in 100 of the travel time is held against a firm note\u2019s too', () => {
    const finding: Finding = { kind: 'wandering-rest', size: 9, unit: 'percent', interval: [7, 12], n: 16 };
    const measures = [measured('travel-spread', 9, 'percent', 16), measured('spread-ratio', 3, 'ratio', 16)];
    const { evidence } = worded({ findings: [finding], measures, verdict: 'unstable' });
    expect(evidence[0]).toMatch(/wanders by 9 in 100/);
    expect(evidence.join(' ')).toMatch(/3\.0 times as far as a firm note/);
    expect(symptomsOf({ findings: [finding], measures, pattern: null })).toEqual(['wanders-widely']);
  });

  it('fast strokes under the slow ones do not fade', () => {
    const { value, ...rest } = measured('level-drop', 7, 'dB', 12);
    const findings: Finding[] = [{ ...rest, kind: 'fading-repeats', size: value }];
    const { line, evidence } = worded({ findings, measures: [{ ...rest, value }], verdict: 'watch' });
    expect(line).toMatch(/^Quick repeats seem to give less than slow strokes do/);
    expect(evidence[0]).toMatch(/^Fast strokes fall short of the slow ones by 7 dB/);
  });

  it('the judgement\u2019s own count of repeats goes before the plain one', () => {
    const measures = [share('failed-repeats', 2, 36), share('silent-repeats', 0, 24), share('weak-repeats', 0, 24)];
    expect(worded({ measures }).evidence.join(' ')).toMatch(/None of 24 quick repeats failed/);
  });
});

describe('symptoms', () => {
  const of = (findings: Finding[], measures: Measure[] = [], pattern: NoteFacts['pattern'] = null) =>
    symptomsOf({ findings, measures, pattern });

  it('of silent repeats turn to the centre where soft strokes are silent too', () => {
    const missed = finding('missed-repeats');
    expect(of([missed])).toEqual(['silent-repeats']);
    expect(of([missed], [share('silent-when-gentle', 0, 8)])).toEqual(['silent-repeats']);
    expect(of([missed], [share('silent-when-gentle', 3, 8)])).toEqual(['silent-repeats-and-gentle']);
    expect(of([missed], [], 'rate')).toEqual(['fails-when-faster']);
    expect(of([finding('weak-repeats')])).toEqual(['weak-repeats']);
  });

  it('of doubles know at which loudness they came', () => {
    const soft = share('double-when-gentle', 3, 8);
    const softFinding: Finding = {
      kind: 'double-strikes',
      size: soft.value,
      unit: 'share',
      interval: soft.interval,
      n: 8,
    };
    expect(of([softFinding], [soft])).toEqual(['double-when-soft']);
    expect(of([finding('double-strikes')], [share('double-when-gentle', 0, 8)])).toEqual(['double-when-firm']);
    expect(of([finding('double-strikes')])).toEqual(['double']);
    const { evidence } = worded({ findings: [softFinding], measures: [soft], verdict: 'watch' });
    expect(evidence[0]).toMatch(/^3 of 8 very soft strokes struck twice/);
  });

  it('of a wide wander are not the lever\u2019s; of a shift follow its sign', () => {
    expect(of([finding('wandering-rest')])).toEqual(['wanders-widely']);
    expect(of([{ ...finding('wandering-rest'), size: 1.7 }])).toEqual(['wanders']);
    expect(of([finding('early-or-late')])).toEqual(['early']);
    expect(of([{ ...finding('early-or-late'), size: 6, interval: [3, 9] }])).toEqual(['late']);
    const wide = worded({ findings: [finding('wandering-rest')], verdict: 'unstable' });
    expect(wide.next.join(' ')).not.toMatch(/Repetition lever:/);
  });
});

describe('figures', () => {
  it('are shares that are easily said, nearest on the scale of odds', () => {
    expect([0.001, 0.01, 0.117, 0.19, 0.221, 0.5, 0.66, 0.97].map(saidShare)).toEqual([
      'hardly any',
      '1 in 100',
      '1 in 8',
      '1 in 5',
      '1 in 5',
      '1 in 2',
      '2 in 3',
      'nearly all',
    ]);
    expect(saidShares([0, 0.2])).toBe('up to about 1 in 5');
    expect(saidShares([0.31, 0.35])).toBe('about 1 in 3');
  });

  it('of none in n are those of the exact one-sided limit', () => {
    expect([8, 12, 24, 36].map((n) => saidShare(allowedByNone(n)))).toEqual(['1 in 3', '1 in 5', '1 in 8', '1 in 12']);
    for (const n of [1, 8, 60]) expect((1 - allowedByNone(n)) ** n).toBeCloseTo(0.05, 12);
    expect(() => allowedByNone(0)).toThrow(RangeError);
  });
});

describe('advice', () => {
  it('has a sentence for each code, with what to do', () => {
    const facts = { notes: 4, slipShare: 0.1, driftPercent: 7.2, handRatio: 1.6 };
    for (const code of ADVICE_CODES) {
      for (const message of [adviceMessage(code), adviceMessage(code, facts)]) {
        expect(message).toMatch(/^[A-Z].*\.$/);
        expect(message).not.toMatch(/undefined|NaN|outlier|sigma|posterior|error/i);
      }
    }
    expect(adviceMessage('few-notes', facts)).toMatch(/^There are only 4 notes/);
    expect(adviceMessage('let-up-more')).toMatch(/^Let the key up a little more/);
    expect(adviceMessage('let-up-less')).toMatch(/repeats are not tested/);
    expect(adviceMessage('no-firm-reference')).toMatch(/more than half of the notes seem off/);
  });
});
