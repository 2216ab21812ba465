import { describe, expect, it } from 'vitest';
import { makePractice, type PracticePlan } from '../../src/synthesis/practice.ts';

const good: PracticePlan = { variant: 'training', notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 1 }] }] };
const note = (more: object): PracticePlan => ({ ...good, notes: [{ ...good.notes[0], ...more }] });
const passage = (more: object): PracticePlan => note({ passages: [{ kind: 'slow', strokes: 1, ...more }] });

describe('a plan that makes no sense is refused by name', () => {
  const bad: [string, PracticePlan, RegExp][] = [
    ['variant', { ...good, variant: 'other' as 'training' }, /variant is other; expected "training" or "judging"/],
    ['no notes', { ...good, notes: [] }, /notes is none; expected at least one/],
    ['key', note({ midi: 20 }), /notes\[0\]\.midi is 20; expected a whole number from 21/],
    ['no passages', note({ passages: [] }), /notes\[0\] \(C4\)\.passages is none/],
    ['kind', passage({ kind: 'bar' }), /passages\[0\]\.kind is bar/],
    ['strokes', passage({ strokes: 0 }), /strokes is 0; expected a whole number, 1 to 500/],
    ['half a stroke', passage({ strokes: 1.5 }), /strokes is 1\.5/],
    ['slow rate', passage({ ratePerSecond: 6 }), /ratePerSecond is 6; expected 0\.2 to 2\.5/],
    ['rate', passage({ kind: 'fast', ratePerSecond: 20 }), /ratePerSecond is 20; expected 0\.2 to 15/],
    ['return', passage({ kind: 'fast', returnMm: 1 }), /returnMm is 1; expected 3 to 11/],
    ['velocity', passage({ velocity: NaN }), /velocity is NaN; expected 0\.15 to 7/],
    ['fault', note({ faults: [{ name: 'toString', size: 1 }] }), /"toString"; expected one of rest-height-spread, /],
    [
      'fault size',
      note({ faults: [{ name: 'missed-repeats', size: 2 }] }),
      /"missed-repeats" size .* is 2; expected 0\.01 to 1/,
    ],
    ['rate of samples', { ...good, sampleRate: 8000 }, /sampleRate is 8000; expected 22050 to 192000/],
    ['snr', { ...good, snrDb: NaN }, /snrDb is NaN/],
    ['tuning', { ...good, tuningCents: 500 }, /tuningCents is 500; expected -200 to 200/],
    ['hand', { ...good, hand: { travelSd: -1 } }, /hand\.travelSd is -1; expected 0 to 0\.3/],
    ['inaudible', { ...good, hand: { inaudibleShare: { fast: 3 } } }, /hand\.inaudibleShare\.fast is 3/],
    ['room', { ...good, room: { reverberationSeconds: 0 } }, /room\.reverberationSeconds is 0/],
  ];
  it.each(bad)('%s', (_, plan, message) => {
    expect(() => makePractice(plan, 1)).toThrow(RangeError);
    expect(() => makePractice(plan, 1)).toThrow(message);
  });

  it('seed', () => expect(() => makePractice(good, 0.5)).toThrow(/seed is 0\.5; expected a whole number/));
});
