/** A travel time over a gap of the sound is not known: the contact before it is not told, with its cause. */

import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import { makePractice } from '../../src/synthesis/practice.ts';

const RATE = 44100;
const source = { file: 'gap.wav', sampleRate: RATE, channels: 1, durationSeconds: 12 };

describe('ten milliseconds of zeros', () => {
  const plan = {
    variant: 'judging' as const,
    sampleRate: RATE,
    snrDb: 45,
    hand: { contact: 'click' as const, inaudibleShare: { slow: 0 } },
    notes: [{ midi: 69, passages: [{ kind: 'slow' as const, strokes: 8 }] }],
  };
  const { samples } = makePractice(plan, 12);
  const whole = analyse(samples, source).strokes;

  it('between contact and onset take the contact away, and no other', () => {
    const hit = 3;
    const { contactSeconds, onsetSeconds } = whole[hit];
    expect(contactSeconds).not.toBeNull();
    const at = Math.round(((contactSeconds! + onsetSeconds!) / 2) * RATE);
    const torn = new Float32Array(samples.length + 441);
    torn.set(samples.subarray(0, at));
    torn.set(samples.subarray(at), at + 441);
    // The device puts them where something sounds on both sides.
    for (let i = 1; i <= 40; i++) torn[at - i] = torn[at + 440 + i] = 0.004 * (i % 2 ? 1 : -1);
    const { strokes, warnings } = analyse(torn, source);
    expect(warnings.map(({ code }) => code)).toContain('gaps');
    expect(strokes).toHaveLength(whole.length);
    expect(strokes[hit].contactSeconds).toBeNull();
    expect(strokes[hit].absent.contact).toBe('gap');
    expect(strokes.filter(({ absent }) => absent.contact === 'gap')).toHaveLength(1);
    // Contacts of a take lend each other weight: one may be lost with the one that is gone.
    const heard = (list: typeof strokes) => list.filter(({ contactSeconds: contact }) => contact !== null).length;
    expect(heard(strokes)).toBeGreaterThanOrEqual(heard(whole) - 2);
  });
});
