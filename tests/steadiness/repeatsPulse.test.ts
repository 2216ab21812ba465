/** What quick passages say besides failing: a wandering pulse, fading, lying under the slow strokes. */

import { describe, expect, it } from 'vitest';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import { judgeFast } from '../../src/steadiness/repeats/judgeFast.ts';
import { playOf, type NotePlay, type RecordedTake } from '../../src/steadiness/round.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { silent, stroke } from '../pictures/strokes.ts';

interface Manner {
  /** Passages of twelve, by their rates. */
  readonly rates?: readonly number[];
  /** Jitter of the action, seconds an onset. */
  readonly jitter?: number;
  /** dB lost over a passage, and between slow and fast. */
  readonly fade?: number;
  readonly drop?: number;
  /** Beat that stays silent. */
  readonly mute?: number;
  /** Share by which the pulse quickens over a passage. */
  readonly drift?: number;
}

/** Eight slow strokes and quick passages in one take, by a hand that keeps time to 4.5 % and 4 ms, loudness to 1.5 dB. */
function playedNote(random: RandomStream, midi: number, manner: Manner = {}): NotePlay {
  const { rates = [6], jitter = 0, fade = 0, drop = 0, mute = -1, drift = random.normal(0, 0.06) } = manner;
  const strokes: RecordedStroke[] = [];
  const own = -20 + random.normal(0, 2);
  const at = { take: midi, midi };
  let now = 0;
  for (let i = 0; i < 8; i++) strokes.push(stroke((now += 1), { ...at, levelDb: own + random.normal(0, 1.5) }));
  for (const rate of rates) {
    now += 1.5;
    for (let i = 0; i < 12; i++) {
      const due = (1 + drift * (i / 12 - 0.5)) / rate;
      now += i === 0 ? 0 : due * (1 + random.normal(0, 0.045)) + random.normal(0, 0.004);
      const levelDb = own - 3 - drop - (fade * i) / 11 + random.normal(0, 1.5);
      const time = now + (i === 0 ? 0 : random.normal(0, jitter));
      if (i === mute) strokes.push(silent(now, { ...at, passage: 'fast' }));
      else strokes.push(stroke(time, { ...at, passage: 'fast', levelDb }));
    }
  }
  const take: RecordedTake = { take: midi, midi, asked: 'slow-fast', touch: 'finger', ratePerSecond: 6 };
  return playOf(strokes, [take])[0];
}

const COMPASS = Array.from({ length: 88 }, (_, i) => 21 + i);

/** Evidence on note 60 of a piano whose other notes are in order. */
function odd(seed: number, manner: Manner, notes = COMPASS) {
  const random = new RandomStream(seed, 'pulse');
  return judgeFast(notes.map((midi) => playedNote(random, midi, midi === 60 ? manner : {}))).get(60)!;
}

const kinds = ({ findings }: { findings: readonly { kind: string }[] }) => findings.map(({ kind }) => kind);
const SEEDS = [1, 2, 3, 4, 5, 6, 7, 8];
/** On how many of eight pianos the note had such a finding. */
const foundIn = (manner: Manner, kind: string) =>
  SEEDS.filter((seed) => kinds(odd(seed, manner)).includes(kind)).length;

describe('quick passages', () => {
  it('ask for a second look at a note in order about once in a hundred', () => {
    let watched = 0;
    for (let seed = 1; seed <= 20; seed++) {
      const random = new RandomStream(seed, 'in order');
      const evidence = judgeFast(COMPASS.map((midi) => playedNote(random, midi)));
      watched += [...evidence.values()].filter(({ watch }) => watch).length;
    }
    expect(watched / (20 * 88)).toBeLessThan(0.02);
  });

  it('find a jitter of 16 ms, not one that the finger hides', () => {
    expect(foundIn({ jitter: 0.016 }, 'uneven-repeats')).toBeGreaterThanOrEqual(5);
    expect(foundIn({ jitter: 0.003 }, 'uneven-repeats')).toBeLessThanOrEqual(1);
    const { findings, p } = odd(1, { jitter: 0.02 });
    expect(p).toBeLessThan(0.01);
    expect(findings[0].interval[0]).toBeLessThan(findings[0].size);
    expect(findings[0].interval[1]).toBeGreaterThan(findings[0].size);
  });

  it('take a quickening hand and a missed beat for no unevenness', () => {
    expect(foundIn({ drift: -0.25 }, 'uneven-repeats')).toBeLessThanOrEqual(1);
    expect(foundIn({ mute: 6 }, 'uneven-repeats')).toBeLessThanOrEqual(1);
  });

  it('take passages at six and at eight a second in one take for no unevenness', () => {
    expect(foundIn({ rates: [6, 6, 8] }, 'uneven-repeats')).toBe(0);
    expect(foundIn({ rates: [6, 6, 8], jitter: 0.016 }, 'uneven-repeats')).toBeGreaterThanOrEqual(7);
  });

  it('find loudness that fades over the passage, and measure how far it lies under the slow strokes', () => {
    expect(foundIn({ fade: 12 }, 'fading-repeats')).toBe(8);
    expect(foundIn({ fade: 2 }, 'fading-repeats')).toBeLessThanOrEqual(1);
    expect(foundIn({ drop: 7 }, 'fading-repeats')).toBe(0);
    const { findings, measures } = odd(1, { fade: 12, drop: 3 });
    expect(findings.filter(({ kind }) => kind === 'fading-repeats')).toHaveLength(1);
    expect(measures.map(({ kind }) => kind)).toEqual(['fading', 'level-drop']);
  });

  it('judge nothing below twelve notes, but measure', () => {
    const { watch, p, findings, measures } = odd(1, { jitter: 0.03, fade: 15, drop: 10 }, COMPASS.slice(35, 46));
    expect({ watch, p, findings }).toEqual({ watch: false, p: null, findings: [] });
    expect(measures.map(({ kind, n }) => [kind, n])).toEqual([
      ['fading', 1],
      ['level-drop', 20],
    ]);
  });

  it('say nothing without quick passages', () => {
    const random = new RandomStream(1, 'slow only');
    const evidence = judgeFast(COMPASS.map((midi) => playedNote(random, midi, { rates: [] })));
    for (const one of evidence.values())
      expect(one).toMatchObject({ watch: false, p: null, measures: [], findings: [] });
    expect(judgeFast([]).size).toBe(0);
  });
});
