/** The comparer behind the meter's table of lossy codecs, on strokes written out by hand. */

import { describe, expect, it } from 'vitest';
import { CODECS, compareStrokes, missingTools, pooledChanges, preEchoes, type ComparedStroke } from './codecs.ts';
import { chance } from './chance.ts';

const stroke = (onsetSeconds: number, contactSeconds: number | null): ComparedStroke => ({
  kind: 'sounded',
  onsetSeconds,
  contactSeconds,
});
const silent: ComparedStroke = { kind: 'silent', onsetSeconds: null, contactSeconds: 2.9 };
const real = (onsetSeconds: number | null, contactAudible: boolean) => ({ onsetSeconds, contactAudible });

const truth = [real(1, true), real(2, true), real(null, true), real(4, false), real(5, false), real(6, true)];
const pcm = [
  stroke(1, 0.94),
  stroke(2, 1.93),
  silent,
  stroke(4.001, null),
  stroke(5, 4.96),
  stroke(6, null),
  stroke(6.5, 6.4),
];
const coded = [stroke(1.002, 0.943), stroke(1.999, null), stroke(4.001, 3.95), stroke(5, 4.96), stroke(7, 6.95)];

describe('what compression changed', () => {
  const changes = compareStrokes(pcm, coded, truth);

  it('is counted by stroke: in both, lost, gained, invented', () => {
    // Lost: the true one at 6 s. The invented ones, at 6.5 and 7 s, are neither lost nor gained.
    expect(changes).toMatchObject({ both: 4, lost: 1, gained: 0, inventedInPcm: 1, inventedInCoded: 1 });
    expect(compareStrokes(coded, pcm, truth)).toMatchObject({ both: 4, lost: 0, gained: 1, inventedInPcm: 1 });
  });

  it('is counted by contact, of the strokes in both', () => {
    expect(changes).toMatchObject({ contacts: 3, contactsLost: 1, contactsGained: 1 });
    expect(changes).toMatchObject({ inaudible: 2, falseInPcm: 1, falseInCoded: 2 });
  });

  it('is measured where both have a time', () => {
    expect(changes.onsetShifts.map((shift) => Math.round(shift * 1e6))).toEqual([2000, -1000, 0, 0]);
    expect(changes.contactShifts.map((shift) => Math.round(shift * 1e6))).toEqual([3000, 0]);
  });

  it('is nothing where nothing was changed, and adds up over recordings', () => {
    const same = compareStrokes(pcm, pcm, truth);
    expect(same).toMatchObject({ both: 5, lost: 0, gained: 0, contactsLost: 0, contactsGained: 0 });
    expect(new Set([...same.onsetShifts, ...same.contactShifts])).toEqual(new Set([0]));
    const twice = pooledChanges([changes, same]);
    expect(twice).toMatchObject({ both: 9, lost: 1, contacts: 6, contactsLost: 1, inaudible: 4 });
    expect(twice.onsetShifts).toHaveLength(9);
  });
});

describe('pre-echo', () => {
  it('is what was added before slow onsets, over what stood there', () => {
    const sampleRate = 48_000;
    const { normal } = chance(5);
    const room = Float32Array.from({ length: 2 * sampleRate }, () => 0.001 * normal());
    const onsetSeconds = 1;
    // Half the room's level, over the 20 ms before the onset only.
    const from = Math.round(0.98 * sampleRate);
    const echoed = room.map((sample, i) => (i >= from && i < sampleRate ? 1.5 * sample : sample));
    const strokes = ['slow', 'fast'].map((passage) => ({ onsetSeconds, passage }));
    const practice = { samples: room, sampleRate, truth: { strokes } } as unknown as Parameters<typeof preEchoes>[2];
    const [only, ...others] = preEchoes(room, echoed, practice);
    expect(others).toEqual([]);
    expect(only.before).toBeCloseTo(20 * Math.log10(0.5), 3);
    expect(only.earlier).toBe(-Infinity);
  });
});

describe('tools', () => {
  it('that cannot be run are named', () => {
    const codec = { ...CODECS[0], tools: ['no-such-encoder-anywhere'] };
    expect(missingTools(codec)).toEqual(['no-such-encoder-anywhere']);
  });
});
