/**
 * The gate of the judgement from sound: one small piano whose contacts click, in a quiet room, held to what is reached.
 *
 * Limits are what this piano gave, less two standard errors.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import { makePractice } from '../../src/synthesis/practice.ts';
import type { MidiNote } from '../../src/units.ts';
import { kindCounts, losses, pianoCount, slowContacts } from './soundCounts.ts';
import { inRoom, listen, PLANTED, SOUND_RATE, soundPiano, type HeardPiano } from './soundPiano.ts';
import { isRight, judgeFrom, judgeStep, roundOf, trueOf, type Step } from './soundTruth.ts';

const KEYS: readonly MidiNote[] = Array.from({ length: 14 }, (_, i) => 33 + 5 * i);

/** Scatter of the hand of this variant and of its levels at equal speed, at its own slope: ln travel time at equal level. */
const TRUE_SCALE = Math.hypot(0.038, (0.4 * 0.68 * Math.LN10) / 23);

describe('a piano from sound', () => {
  let heard: HeardPiano;
  beforeAll(() => {
    const planted = PLANTED.filter(({ fault }) => fault.name === 'missed-repeats');
    heard = listen(soundPiano({ variant: 'judging', contact: 'click' }, 5, KEYS, planted), 45);
  }, 120_000);
  const countOf = (step: Step) => pianoCount(heard, judgeStep(heard, step));

  it('is judged by its truth as it was made: every stroke usable, the scale that of the hand', () => {
    const { usable, hand, good } = countOf('truth');
    expect(usable).toBe(8);
    expect(good.n).toBe(12);
    expect(good.unstable).toBe(0);
    expect(Math.abs(Math.log(hand.scalePercent! / 100 / TRUE_SCALE))).toBeLessThan(2 * hand.scaleLogError!);
  });

  it('loses hardly a stroke: 1 in 100 onsets', () => {
    const { played, lost, madeUp, misnamed } = losses([heard]);
    expect(played).toBeGreaterThan(260);
    expect(lost / played).toBeLessThan(0.027);
    expect(madeUp / played).toBeLessThan(0.022);
    expect(misnamed.length).toBeLessThanOrEqual(3);
  });

  it('hears the silent repeats, and half of the weak ones as weak', () => {
    const { silent, weak } = kindCounts([heard]);
    expect(silent.played).toBeGreaterThanOrEqual(4);
    expect(silent.found).toBeGreaterThanOrEqual(silent.played - 1);
    expect(weak.found / weak.played).toBeGreaterThan(0.21);
  });

  it('hears four clicks in five within 5 ms, and is wrong about one in fourteen that it counts', () => {
    const slow = slowContacts([heard]);
    const counted = slow.flatMap(({ said }) => (said && said.confidence >= 0.5 ? [said] : []));
    const right = counted.filter((said) => said.right).length;
    expect(slow.length).toBeGreaterThan(100);
    expect(right / slow.length).toBeGreaterThan(0.73);
    expect(right / counted.length).toBeGreaterThan(0.87);
  });

  it('learns the hand from sound: the scale a fifth too wide, no more than one note in order unstable', () => {
    const { usable, hand, good } = countOf('heard');
    expect(usable).toBeGreaterThan(6.4);
    expect(hand.reference).toBe('this-round');
    expect(hand.scalePercent! / countOf('truth').hand.scalePercent!).toBeLessThan(1.48);
    expect(good.unstable).toBeLessThanOrEqual(1);
  });

  it('takes away in steps what the steps say', () => {
    const known = [...trueOf(heard).entries()];
    const wrong = known.filter(([stroke, one]) => stroke.contactSeconds !== null && !isRight(stroke, one)).length;
    expect(wrong).toBeGreaterThan(0);
    const saidIn = (step: Step) => roundOf(heard, step).strokes.filter((s) => s.contactSeconds !== null).length;
    expect(saidIn('heard') - saidIn('right')).toBe(wrong);
    expect(countOf('audible').usable).toBeLessThan(countOf('truth').usable);
    expect(countOf('right').usable).toBeLessThan(countOf('strokes').usable);
    expect(judgeFrom(heard, 0.5)).toEqual(judgeStep(heard, 'heard'));
    expect(pianoCount(heard, judgeFrom(heard, 0.9)).usable).toBeLessThan(countOf('heard').usable);
  });

  it('stands in a louder room as a plan that asks for one', () => {
    const plan = {
      variant: 'judging',
      sampleRate: SOUND_RATE,
      notes: [{ midi: 60, passages: [{ kind: 'slow', strokes: 2 }] }],
    } as const;
    const asked = makePractice({ ...plan, snrDb: 25 }, 3).samples;
    const laid = inRoom(makePractice({ ...plan, snrDb: 45 }, 3), 25);
    const highest = asked.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0);
    const off = asked.reduce((most, sample, i) => Math.max(most, Math.abs(sample - laid[i])), 0);
    expect(highest).toBeGreaterThan(0.01);
    expect(off).toBeLessThan(1e-6);
  });
});
