/** New things, what counts in a round, whose sound goes, and how much room sound takes; on a really heard take. */

import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import { check } from '../../src/record/check.ts';
import {
  newAdjustment,
  newGaugeReading,
  newPiano,
  newReference,
  newRound,
  newTake,
  newTemplate,
  newVisit,
} from '../../src/record/newThings.ts';
import { countsOf, lastVerdicts, soundToDrop, takesThatCount } from '../../src/record/rounds.ts';
import { bytesOfSound, USUAL_VISIT_SECONDS, visitsThatFit } from '../../src/record/soundSize.ts';
import { GAUGE_KINDS, KEEP_AUDIO } from '../../src/record/types.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

const at = '2026-05-04T09:30:00Z';
const { samples, sampleRate, truth } = makePractice(
  {
    variant: 'training',
    sampleRate: 24000,
    notes: [
      {
        midi: 60,
        passages: [
          { kind: 'slow', strokes: 5, ratePerSecond: 1.5 },
          { kind: 'fast', strokes: 12 },
        ],
        faults: [{ name: 'missed-repeats', size: 0.3 }],
      },
    ],
  },
  7,
);
const heard = analyse(samples, { file: 't1', sampleRate, channels: 1, durationSeconds: truth.durationSeconds }, {});
const take = newTake({
  id: 't1',
  visitId: 'v1',
  roundId: 'r1',
  number: 1,
  midi: 60,
  startedAt: at,
  sampleRate,
  frames: samples.length,
  pieces: 2,
  heard,
});
const round = newRound({ id: 'r1', visitId: 'v1', number: 1, startedAt: at });

describe('new things', () => {
  it('are what the record asks for', () => {
    expect(heard.strokes.length).toBeGreaterThan(10);
    const reference = {
      schema: 'evenfall.reference/1',
      analysisVersion: '0.3.0',
      ...{ scale: 0.04, logError: 0.05, slopePerDb: -0.06, slopeError: 0.01, slipRate: 0.02, touch: 'finger' },
      ...{ referenceTravel: 0.08, referenceDb: -20, baseRates: null, notes: 14, sources: ['in-order.wav'] },
    };
    const template = { strokes: [0.5], samples: new Int16Array(4), sampleRate };
    const checked = [
      check('pianos', newPiano({ id: 'p1', name: 'Hall', highest: 97 })),
      check('visits', newVisit({ id: 'v1', pianoId: 'p1', startedAt: at })),
      check('rounds', round),
      check('takes', take),
      check('templates', newTemplate({ id: 'n1', pianoId: 'p1', midi: 60, takeId: 't1', ...template })),
      check('references', newReference({ id: 'h1', name: 'left of the desk', learnedAt: at, reference })),
      check('adjustments', newAdjustment({ id: 'a1', visitId: 'v1', midi: 60, at, afterRound: 1, what: 'spring' })),
      ...GAUGE_KINDS.map((kind) =>
        check(
          'gauges',
          newGaugeReading({ id: 'g1', visitId: 'v1', midi: 60, at, when: 'before', kind, millimetres: 9.8 }),
        ),
      ),
    ];
    expect(checked.map(({ refusal }) => refusal)).toEqual(checked.map(() => null));
    expect(checked[0].thing).toMatchObject({ lowest: 21, highest: 97, kind: 'grand' });
  });
});

describe('a round', () => {
  it('counts its takes in order, without those undone or jammed', () => {
    const takes = [
      { ...take, id: 'c', number: 3 },
      { ...take, id: 'a', number: 1 },
      { ...take, id: 'undone', number: 2, undone: true },
      { ...take, id: 'jammed', number: 4, jammed: true },
      { ...take, id: 'elsewhere', roundId: 'r2' },
    ];
    expect(takesThatCount('r1', takes).map(({ id }) => id)).toEqual(['a', 'c']);
  });

  it('counts verdicts, those that none has too', () => {
    const verdicts = (['watch', 'steady', 'watch'] as const).map((verdict) => ({ verdict }));
    expect(countsOf(verdicts)).toEqual({ steady: 1, watch: 2, unstable: 0, insufficient: 0 });
    expect(countsOf([])).toEqual({ steady: 0, watch: 0, unstable: 0, insufficient: 0 });
  });
});

describe('sound that goes when a round closes', () => {
  const takes = [
    { ...take, id: 'steady', midi: 60 },
    { ...take, id: 'watch', midi: 61 },
    { ...take, id: 'unstable', midi: 62 },
    { ...take, id: 'insufficient', midi: 63 },
    { ...take, id: 'unjudged', midi: 64 },
    { ...take, id: 'jammed', midi: 65, jammed: true },
    { ...take, id: 'gone', midi: 60, pieces: 0 },
    { ...take, id: 'elsewhere', midi: 60, roundId: 'r2' },
  ];
  const verdicts = (['steady', 'watch', 'unstable', 'insufficient'] as const).map((verdict, i) => ({
    midi: 60 + i,
    verdict,
  }));
  const closed = { ...round, closedAt: at, summary: { analysisVersion: '0.3.0', verdicts, flagged: [], line: [] } };

  it.each([
    ['all', []],
    ['flagged', ['steady', 'insufficient', 'unjudged']],
    ['none', ['steady', 'watch', 'unstable', 'insufficient', 'unjudged', 'jammed']],
  ] as const)('keeping %s', (keep, gone) => {
    expect(soundToDrop(closed, takes, keep)).toEqual(gone);
  });

  it('is none while the round is open, and none of the flagged before it is judged', () => {
    for (const keep of KEEP_AUDIO) expect(soundToDrop({ ...closed, closedAt: null }, takes, keep)).toEqual([]);
    expect(soundToDrop({ ...closed, summary: null }, takes, 'flagged')).toEqual([]);
  });
});

describe('room for sound', () => {
  it('is two bytes a sample: about 6 MB a minute', () => {
    expect(bytesOfSound(60, 48000)).toBe(5_760_000);
    expect(bytesOfSound(60, 44100)).toBe(5_292_000);
    expect(bytesOfSound(0, 48000)).toBe(0);
  });

  it('holds whole visits', () => {
    const one = bytesOfSound(USUAL_VISIT_SECONDS, 48000);
    expect(visitsThatFit(3 * one, 48000)).toBe(3);
    expect(visitsThatFit(3 * one - 1, 48000)).toBe(2);
    expect(visitsThatFit(-1, 48000)).toBe(0);
    expect(visitsThatFit(bytesOfSound(600, 48000), 48000, 60)).toBe(10);
  });

  it('is hardly needed for what was heard: the assumption behind visitsThatFit', () => {
    expect(JSON.stringify(heard).length / bytesOfSound(truth.durationSeconds, 48000)).toBeLessThan(0.05);
  });
});

it('takes each note as it was heard last, whatever the order of the rounds', () => {
  const summary = (verdicts: readonly (readonly [number, 'steady' | 'watch' | 'unstable'])[]) => ({
    ...{ analysisVersion: '0.4.0', flagged: [], line: [] },
    verdicts: verdicts.map(([midi, verdict]) => ({ midi, verdict })),
  });
  const rounds = [
    { number: 3, summary: null },
    { number: 2, summary: summary([[60, 'steady']]) },
    {
      number: 1,
      summary: summary([
        [60, 'unstable'],
        [64, 'watch'],
      ]),
    },
  ];
  expect(lastVerdicts(rounds)).toEqual([
    { midi: 60, verdict: 'steady' },
    { midi: 64, verdict: 'watch' },
  ]);
});
