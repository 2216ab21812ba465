/** Key names and units. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { isBlackKey, keyName, keyNumber, parseKeyName } from '../../src/piano/keys.ts';
import { inharmonicity, partialFrequency, stretch } from '../../src/piano/strings.ts';
import { centsBetween, hertzToMidi, midiToHertz } from '../../src/units.ts';

describe('keys', () => {
  it('name and number themselves', () => {
    expect([21, 22, 60, 69, 108].map(keyName)).toEqual(['A0', 'A#0', 'C4', 'A4', 'C8']);
    expect(keyNumber(21)).toBe(1);
    expect(keyNumber(108)).toBe(88);
    expect(Array.from({ length: 88 }, (_, i) => isBlackKey(21 + i)).filter(Boolean)).toHaveLength(36);
  });

  it('are read as they are written', () => {
    fc.assert(fc.property(fc.integer({ min: 21, max: 108 }), (midi) => parseKeyName(keyName(midi)) === midi));
    expect(parseKeyName(' bb2 ')).toBe(46);
    for (const bad of ['H2', 'A', 'C9', 'G0', '440', '']) expect(() => parseKeyName(bad)).toThrow(/names no piano key/);
    expect(() => keyName(20)).toThrow(/expected a whole number from 21/);
  });
});

describe('strings', () => {
  it('rise and fall as published', () => {
    expect(midiToHertz(69)).toBe(440);
    expect(hertzToMidi(midiToHertz(33.3))).toBeCloseTo(33.3, 9);
    // Minimum of B over the compass: 1.415e-4 at MIDI 44 (computed from the published constants).
    const all = Array.from({ length: 88 }, (_, i) => 21 + i);
    const least = all.reduce((a, b) => (inharmonicity(b) < inharmonicity(a) ? b : a));
    expect(least).toBe(44);
    expect(inharmonicity(44)).toBeCloseTo(1.415e-4, 7);
  });

  it('sharpen their partials by what B says', () => {
    // Computed: partial 8 of C4 stands 17.6 cents above eight times the first, of A0 27.3.
    const sharp = (midi: number, n: number) => centsBetween(n * 100, partialFrequency(100, n, inharmonicity(midi)));
    expect(sharp(60, 8)).toBeCloseTo(17.6, 1);
    expect(sharp(21, 8)).toBeCloseTo(27.3, 1);
    expect(sharp(84, 16)).toBeCloseTo(471.7, 1);
  });

  it('are stretched at both ends, nowhere between', () => {
    expect(stretch(60)).toBe(0);
    expect(stretch(21)).toBeCloseTo(-16, 6);
    expect(stretch(108)).toBeCloseTo(45, 6);
  });
});
