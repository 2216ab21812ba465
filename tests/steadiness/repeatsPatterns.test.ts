/** How failed repeats lie: each pattern where it was written, and hardly ever where failures fell at random. */

import { describe, expect, it } from 'vitest';
import { countRepeats, joined } from '../../src/steadiness/repeats/counts.ts';
import { patternOf } from '../../src/steadiness/repeats/pattern.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { passage } from './repeatPlay.ts';

const patternIn = (...texts: string[]) =>
  patternOf(joined(texts.map((text, i) => countRepeats(passage(text, { take: i + 1 }), new Map()))));

describe('the pattern of failures', () => {
  it('is none where nothing failed, lone where one did', () => {
    expect(patternIn('............')).toBeNull();
    expect(patternIn('.l....l.....')).toBeNull();
    expect(patternIn('.....s......')).toBe('lone');
    expect(patternIn('............', '..w.........')).toBe('lone');
  });

  it('is every second, in one passage or over several, on either beat', () => {
    expect(patternIn('.s.s.s.s.s.s')).toBe('every-second');
    expect(patternIn('..w.w.w.w.w.')).toBe('every-second');
    expect(patternIn('.s.s.s.s....', '..s.s.s.s...')).toBe('every-second');
  });

  it('is until return where a passage ends silent, the whole of it or two short ends', () => {
    expect(patternIn('.......sssss')).toBe('until-return');
    expect(patternIn('.sssssssssss')).toBe('until-return');
    expect(patternIn('.........sss', '..........ss', '............')).toBe('until-return');
    expect(patternIn('.........sss', '............')).toBe('scattered');
    // Weak to the end still speaks.
    expect(patternIn('.......wwwww')).toBe('scattered');
  });

  it('is the rate where quick strokes fail more', () => {
    expect(patternIn('......s.....', '............', '8:.ss..s.ss.s.')).toBe('rate');
    expect(patternIn('.s...s......', '....s.......', '8:..s..s......')).toBe('scattered');
    // No slower strokes, nothing to compare with.
    expect(patternIn('8:.ss..s.ss.s.')).toBe('scattered');
  });

  it('is after damped gaps where half of the failures followed such', () => {
    expect(patternIn('..O....O....')).toBe('after-damped');
    expect(patternIn('..x.ss.sx.s.')).toBe('scattered');
    expect(patternIn('..x....x.s..')).toBe('after-damped');
  });

  it('is scattered else', () => {
    expect(patternIn('.s...ss.....')).toBe('scattered');
    expect(patternIn('..s..s...s..', '...s....ss..')).toBe('scattered');
  });

  it('calls random failures every second in at most two of a hundred', () => {
    const random = new RandomStream(11, 'failures');
    for (const share of [0.2, 0.4, 0.6]) {
      let called = 0;
      for (let i = 0; i < 1500; i++) {
        const text = () => `.${Array.from({ length: 11 }, () => (random.chance(share) ? 'w' : '.')).join('')}`;
        if (patternIn(text(), text()) === 'every-second') called++;
      }
      // 0.02 and three standard errors.
      expect(called / 1500).toBeLessThan(0.031);
    }
  });

  it('finds every second stroke through a hand that is not quite regular', () => {
    const random = new RandomStream(12, 'every second');
    let called = 0;
    for (let i = 0; i < 300; i++) {
      const text = () =>
        `.${Array.from({ length: 11 }, (_, k) => (random.chance(k % 2 === 0 ? 0.85 : 0.05) ? 's' : '.')).join('')}`;
      if (patternIn(text(), text()) === 'every-second') called++;
    }
    expect(called / 300).toBeGreaterThan(0.85);
  });
});
