/** Comparison documents of made rounds: their schema, what they call changed, other versions, one template. */

import { beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import {
  COMPARISON_ADVICE,
  compareDocuments,
  type ComparisonDocument,
  type RoundSaid,
} from '../../src/analysis/compare.ts';
import { OneTemplate } from '../../src/analysis/oneTemplate.ts';
import { together } from '../../src/analysis/together.ts';
import { ERROR_SCHEMA, type AnalysisDocument } from '../../src/analysis/document.ts';
import { CHANGES, CHANGE_MEASURES, RESERVES } from '../../src/steadiness/compare.ts';
import { WHOLE_GROUPS, WHOLE_MEASURES } from '../../src/steadiness/wholeChange.ts';
import { SHIFTS } from '../../src/steadiness/wholeTravel.ts';
import { median } from '../../src/statistics/order.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound, type MadeNote } from './madeRound.ts';
import { faultsBy, withoutEachField } from './schemas.ts';

const faultsOf = faultsBy('comparison');
const random = new RandomStream(3, 'rounds');
const notes = (odd: Partial<Record<number, Partial<MadeNote>>> = {}, slow = 20, fast = 24): MadeNote[] =>
  KEYS.map((midi) => ({ midi, slow, fast, ...odd[midi] }));
const noteOf = ({ notes }: ComparisonDocument, midi: number) => notes.find((note) => note.midi === midi)!;

describe('a comparison', () => {
  const before = madeRound(random, notes({ 52: { ratio: 4 }, 60: { silent: 0.4 } }), { file: 'before.wav' });
  const after = madeRound(random, notes({ 72: { silent: 0.5 } }), { file: 'after.wav' });
  const document = compareDocuments(before, after);

  it('keeps to its schema, and lacks nothing', () => {
    expect(faultsOf(JSON.parse(JSON.stringify(document)))).toEqual([]);
    const broken = withoutEachField(document).filter(({ field }) => !/ratio$|difference$|^whole$/.test(field));
    expect(broken.length).toBeGreaterThan(25);
    expect(broken.filter((each) => faultsOf(each.broken).length === 0).map(({ field }) => field)).toEqual([]);
  });

  it('has the lists of its schema', () => {
    const [note] = document.notes;
    const [measure] = note.measures;
    const holds = (changed: object) => faultsOf({ ...document, ...changed }).length === 0;
    for (const change of CHANGES) expect(holds({ notes: [{ ...note, change }] })).toBe(true);
    for (const kind of CHANGE_MEASURES)
      expect(holds({ notes: [{ ...note, measures: [{ ...measure, kind }] }] })).toBe(true);
    for (const code of COMPARISON_ADVICE) expect(holds({ advice: [{ code, message: 'so' }] })).toBe(true);
    expect(holds({ notes: [{ ...note, reserves: RESERVES }] })).toBe(true);
    for (const broken of [{ change: 'better' }, { reserves: ['odd'] }, { measures: [{ ...measure, kind: 'odd' }] }]) {
      expect(holds({ notes: [{ ...note, ...broken }] })).toBe(false);
    }
    expect(holds({ advice: [{ code: 'odd', message: 'so' }] })).toBe(false);
  });

  it('compares the whole piano, turned notes apart, by the piano’s own sections', () => {
    const { whole } = document;
    expect(whole!.groups.map(({ of }) => of)).toEqual(['all']);
    expect(whole!.groups[0].notes).toEqual(KEYS);
    expect(whole!.travel!.sections.map(({ name }) => name)).toEqual(['Bass', 'Tenor', 'Treble', 'High treble']);
    const apart = compareDocuments(before, after, { worked: [52, 60], breaks: [60], zeros: new Map() }).whole!;
    expect(apart.groups.map(({ of, notes }) => `${of} ${notes.length}`)).toEqual([
      'all 14',
      'turned 2',
      'untouched 12',
    ]);
    expect(apart.travel!.sections.map(({ name, notes }) => `${name} ${notes}`)).toEqual(['Bass 5', 'Treble 9']);
    const silent = apart.groups[0].measures.find(({ kind }) => kind === 'silent-repeats')!;
    expect(silent.failed![0]).toBe(before.strokes.filter(({ kind }) => kind === 'silent').length);
    expect(faultsOf(JSON.parse(JSON.stringify({ ...document, whole: apart })))).toEqual([]);
    expect(apart.words.join(' ')).not.toMatch(/\d\.\d{4}|NaN|null|undefined|Infinity/);
    const holds = (group: object) => faultsOf({ ...document, whole: { ...apart, groups: [group] } }).length === 0;
    const [group] = apart.groups;
    for (const of of WHOLE_GROUPS) expect(holds({ ...group, of })).toBe(true);
    for (const kind of WHOLE_MEASURES) expect(holds({ ...group, measures: [{ ...silent, kind }] })).toBe(true);
    expect(holds({ ...group, of: 'some' })).toBe(false);
    const [section] = apart.travel!.sections;
    for (const shift of SHIFTS) {
      const travel = { ...apart.travel, sections: [{ ...section, shift }] };
      expect(faultsOf({ ...document, whole: { ...apart, travel } })).toEqual([]);
    }
  });

  it('finds what was mended and what broke, and hardly anything else', () => {
    expect(noteOf(document, 52)).toMatchObject({ name: 'E3', change: 'improved' });
    expect(noteOf(document, 60)).toMatchObject({ change: 'improved' });
    expect(noteOf(document, 72)).toMatchObject({ change: 'worse' });
    const others = document.notes.filter(({ midi }) => ![52, 60, 72].includes(midi));
    // One in twenty of what is called changed may be so by chance.
    expect(others.filter(({ change }) => change !== 'no-change-shown').length).toBeLessThanOrEqual(1);
    expect(document.advice).toEqual([]);
    expect(noteOf(document, 60).words).toMatch(/^Improved\. .*\d+ of 23 repeats failed before, 0 of 23 after\./);
    expect(document.notes.map(({ words }) => words).join(' ')).not.toMatch(/\d\.\d{4}|NaN|null|undefined|Infinity/);
  });

  it('calls hardly anything changed where nothing was done', () => {
    const [rounds, nothing] = [15, notes({}, 12, 12).map((note) => ({ ...note, silent: 0.01 }))];
    const called = Array.from({ length: rounds }, () => {
      const { notes } = compareDocuments(madeRound(random, nothing), madeRound(random, nothing));
      return notes.filter(({ change }) => change === 'improved' || change === 'worse').length;
    });
    expect(called.filter((count) => count > 0).length).toBeLessThanOrEqual(3);
  });

  it('takes pooled rounds, and recordings that could not be read', () => {
    const error = { schema: ERROR_SCHEMA, file: 'cut.wav', code: 'truncated', message: 'cut' } as const;
    const pooled = compareDocuments(together([before, error]), together([after]));
    expect(faultsOf(JSON.parse(JSON.stringify(pooled)))).toEqual([]);
    expect(pooled.before.sources).toEqual([before.source, error]);
    expect(pooled.notes).toEqual(document.notes);
  });

  it('says so where there is nothing in common, or too little', () => {
    const low = madeRound(random, [{ midi: 30 }]);
    expect(compareDocuments(low, after).advice.map(({ code }) => code)).toContain('no-common-note');
    const few = compareDocuments(madeRound(random, notes({}, 3, 4)), after);
    expect(few.notes.every(({ change }) => change === 'insufficient')).toBe(true);
    expect(few.notes[0].words).toMatch(/^Too few strokes to compare: 3 usable slow strokes and 3 repeats before/);
  });

  it('says so where the hand is another, or not known', () => {
    const codes = (a: AnalysisDocument, b: AnalysisDocument) => compareDocuments(a, b).advice.map(({ code }) => code);
    expect(codes(before, madeRound(random, notes(), { scale: 0.07 }))).toContain('other-hand');
    expect(codes(before, madeRound(random, notes(), { levelDb: -32 }))).toContain('other-hand');
    expect(codes(before, madeRound(random, notes(), { travel: 0.05 }))).toContain('other-hand');
    expect(codes(madeRound(random, notes().slice(0, 3)), after)).toContain('no-hand');
  });

  it('says what was said to differ, and nothing of what was not said', () => {
    const plain = { microphone: null, microphonePlace: 'left of the keys', player: 'R.', hand: 'h1' };
    const codes = (more: Partial<RoundSaid>) =>
      compareDocuments(before, after, { said: { before: plain, after: { ...plain, ...more } } });
    expect(codes({}).advice).toEqual([]);
    expect(
      codes({ microphone: 'USB', microphonePlace: ' Left of  the keys ', player: null, hand: null }).advice,
    ).toEqual([]);
    const moved = codes({ microphonePlace: 'on the desk' });
    expect(moved.advice.map(({ code }) => code)).toEqual(['other-place']);
    // A spread decides nothing from another place; repeats do.
    expect([52, 60, 72].map((midi) => noteOf(moved, midi).change)).toEqual(['no-change-shown', 'improved', 'worse']);
    const other = codes({ player: 'S.', hand: 'h2' });
    expect(other.advice.map(({ code }) => code)).toEqual(['other-player', 'other-stored-hand']);
    expect(other.notes.every(({ change }) => change === 'no-change-shown')).toBe(true);
    expect(faultsOf(JSON.parse(JSON.stringify(other)))).toEqual([]);
  });

  it('asks for a fresh before where the pass that flagged a note is all there is', () => {
    expect(noteOf(document, 52).reserves).toContain('before-not-fresh');
    expect(noteOf(document, 72).reserves).not.toContain('before-not-fresh');
    const fresh = compareDocuments(before, after, { fresh: [52] });
    expect(noteOf(fresh, 52).reserves).not.toContain('before-not-fresh');
    expect(noteOf(fresh, 60).reserves).toContain('before-not-fresh');
  });

  it('refuses numbers of another version by name', () => {
    expect(() => compareDocuments({ ...before, analysisVersion: '0.0.1' }, after)).toThrow(
      /^before\.wav: analysis version 0\.0\.1; expected /,
    );
  });
});

describe('one template', () => {
  const keys = [33, 57, 70, 88];
  let parts: { samples: Float32Array; document: AnalysisDocument; from: number }[];
  let truth: ReturnType<typeof makePractice>['truth'];
  const sampleRate = 24000;

  beforeAll(() => {
    const asked = [...keys, ...keys].map((midi) => ({
      midi,
      passages: [
        { kind: 'slow', strokes: 8 },
        { kind: 'fast', strokes: 12 },
      ] as const,
    }));
    const made = makePractice({ variant: 'judging', sampleRate, notes: asked }, 12);
    truth = made.truth;
    const second = truth.strokes.findIndex(
      (stroke, i) => stroke.midi === keys[0] && truth.strokes[i - 1]?.midi === keys[3],
    );
    const cut = Math.round((truth.strokes[second].onsetSeconds! - 0.7) * sampleRate);
    parts = [made.samples.slice(0, cut), made.samples.slice(cut)].map((samples, i) => {
      const source = { file: `${i}.wav`, sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
      return { samples, document: analyse(samples, source), from: i === 0 ? 0 : cut / sampleRate };
    });
  }, 60_000);

  /** How late the listed onsets of a note's slow strokes are, against the truth. */
  function lateness({ document, from }: (typeof parts)[number], midi: number): number[] {
    return document.strokes.flatMap(({ midi: own, passage, onsetSeconds }) => {
      if (own !== midi || passage !== 'slow' || onsetSeconds === null) return [];
      const late = truth.strokes.map((real) => onsetSeconds + from - (real.onsetSeconds ?? Infinity));
      const nearest = late.reduce((a, b) => (Math.abs(b) < Math.abs(a) ? b : a));
      return Math.abs(nearest) < 0.015 ? [nearest] : [];
    });
  }

  it('knows by how much the zeros of two recordings of a note differ', () => {
    const timed = new OneTemplate();
    timed.add('before', parts[0].samples, sampleRate, parts[0].document.strokes);
    timed.add('after', parts[1].samples, sampleRate, parts[1].document.strokes);
    const zeros = timed.zeros();
    expect(zeros.size).toBeGreaterThanOrEqual(3);
    for (const [midi, zero] of zeros) {
      const [first, second] = parts.map((part) => median(lateness(part, midi)));
      expect(Math.abs(zero - (second - first)), `${midi}`).toBeLessThan(0.0001);
    }
  });

  it('knows a difference that is put in', () => {
    const timed = new OneTemplate();
    const late = parts[1].document.strokes.map((stroke) =>
      stroke.onsetSeconds === null ? stroke : { ...stroke, onsetSeconds: stroke.onsetSeconds + 0.002 },
    );
    timed.add('before', parts[1].samples, sampleRate, parts[1].document.strokes);
    timed.add('after', parts[1].samples, sampleRate, late);
    const zeros = [...timed.zeros().values()];
    expect(zeros.length).toBeGreaterThanOrEqual(3);
    for (const zero of zeros) expect(zero).toBeCloseTo(0.002, 5);
  });
});
