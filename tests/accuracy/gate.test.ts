/**
 * The gate: a fixed part of what the meter prints, held to tolerances. Same material, same comparer (`measure.ts`).
 *
 * Each tolerance stands with the goal it serves and its reason. Where a goal is not reached, the tolerance holds what is
 * reached, and says the distance; where nothing is reached, the goal stands as a test that is expected to fail, so that
 * reaching it is noticed. Two minutes on one core.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import { pooledRetrieval } from '../../src/evaluation/matching.ts';
import type { NamingScore } from '../../src/evaluation/naming.ts';
import { seedOf } from './chance.ts';
import { COMPASS, CONDITIONS, faults, SOME_KEYS, type Condition } from './conditions.ts';
import { scoreKindsTake, type KindScore } from './kindsMeter.ts';
import { pool, poolByRegister, scoreAlone, scoreSequence, scoreTake, type Pool, type TakeScore } from './measure.ts';
import { namedAlone, namedInSequence } from './patterns.ts';

/** What is held of a condition's pool over {@link SOME_KEYS}, 160 strokes. */
interface Held {
  readonly condition: string;
  /** Least F-measure within ±10 ms. */
  readonly f: number;
  /** Greatest median of |timing error|, ms. */
  readonly medianMs: number;
  /** Greatest share of strokes off by more than 0.3 ms or not found. */
  readonly slipShare: number;
  /** Greatest 95 % point of |timing error|, ms; `null`: strokes are missing there, the slips say how many. */
  readonly p95Ms: number | null;
  /** Greatest number of slips that carried no mark. */
  readonly unmarkedSlips: number;
  readonly reason: string;
}

const HELD: readonly Held[] = [
  {
    condition: 'clean, 8/s, half damped',
    f: 0.99,
    medianMs: 0.02,
    p95Ms: 0.06,
    slipShare: 0.01,
    unmarkedSlips: 0,
    reason: 'goals 0.99, 0.05 and 0.2 ms; reached by far, held at about three times what is measured',
  },
  {
    condition: '30 dB, 8/s, half damped',
    f: 0.99,
    medianMs: 0.02,
    p95Ms: 0.06,
    slipShare: 0.01,
    unmarkedSlips: 0,
    reason: 'goals 0.05 and 0.2 ms from 30 dB up; as above',
  },
  {
    condition: '20 dB, 8/s, half damped',
    f: 0.95,
    medianMs: 0.02,
    p95Ms: 0.08,
    slipShare: 0.02,
    unmarkedSlips: 0,
    reason: 'goal for F 0.95; no goal for the times, held at three to four times what is measured',
  },
  {
    condition: '12 dB, 8/s, half damped',
    f: 0.93,
    medianMs: 0.02,
    p95Ms: 0.08,
    slipShare: 0.05,
    unmarkedSlips: 1,
    reason: 'goal for F 0.87, reached: 1.00 here, 0.97 on all keys; no goal for the times',
  },
  {
    condition: 'clean, 14/s, half damped (-10 dB)',
    f: 0.99,
    medianMs: 0.02,
    p95Ms: 0.06,
    slipShare: 0.01,
    unmarkedSlips: 0,
    reason: 'the fastest repetition, 71 ms apart: the same goals as at 8 a second',
  },
  {
    condition: '20 dB, 8/s, half damped, soft layer',
    f: 0.95,
    medianMs: 0.02,
    p95Ms: 0.08,
    slipShare: 0.02,
    unmarkedSlips: 0,
    reason: 'soft strokes have little above 1 kHz in the bass: the same goals as for medium ones',
  },
  {
    condition: '20 dB, 6/s, half damped, slow medium, fast loud',
    f: 0.95,
    medianMs: 0.02,
    p95Ms: 0.08,
    slipShare: 0.02,
    unmarkedSlips: 0,
    reason: 'the template is judged on strokes it never met: the same goals',
  },
  {
    condition: '30 dB, 8/s, ringing on, 8 dB up and down',
    f: 0.98,
    medianMs: 0.02,
    p95Ms: null,
    slipShare: 0.04,
    unmarkedSlips: 0,
    reason:
      'goal for F 0.99 (clean) and 0.95 (20 dB), at 30 dB between: soft strokes found under the loud ones\u2019 tone',
  },
  {
    condition: 'clean, 8/s, half damped, slow medium, fast loud and soft',
    f: 0.97,
    medianMs: 0.02,
    p95Ms: null,
    slipShare: 0.06,
    unmarkedSlips: 0,
    reason:
      'goal for F 0.99: the last soft stroke of a passage may be lost, and bass strokes 15 dB under louder ringing',
  },
];

const measured = new Map<string, { takes: TakeScore[]; pool: Pool }>();
let faulty: Pool;
let control: KindScore[];
let soft: KindScore[];
/** Two of each part of the compass. */
const KIND_KEYS = [27, 45, 57, 69, 81, 96];

beforeAll(async () => {
  for (const { condition } of HELD) {
    const takes: TakeScore[] = [];
    for (const midi of SOME_KEYS) takes.push(await scoreTake(await conditionNamed(condition).plan(midi)));
    measured.set(condition, { takes, pool: pool(takes) });
  }
  const takes: TakeScore[] = [];
  for (const midi of SOME_KEYS) takes.push(await scoreTake(await faults(midi)));
  faulty = pool(takes);
  const kinds = { levelDb: -12, ringDb: -10, snrDb: 30 } as const;
  control = [];
  soft = [];
  for (const midi of KIND_KEYS) {
    control.push(await scoreKindsTake({ ...kinds, midi, seed: seedOf(midi, 1), control: true, echoesDb: 6 }));
    soft.push(await scoreKindsTake({ ...kinds, midi, seed: seedOf(midi, 12) }));
  }
}, 300_000);

function conditionNamed(name: string): Condition {
  const found = CONDITIONS.find((condition) => condition.name === name);
  if (!found) throw new RangeError(`no condition "${name}"; the gate and conditions.ts have drifted apart`);
  return found;
}

describe('the hard cases are in the data', () => {
  const takesOf = (condition: string): TakeScore[] => measured.get(condition)!.takes;

  it('every stroke that was laid is counted', () => {
    for (const { pool: all } of measured.values()) {
      expect(all.timing.strokes).toBe(20 * SOME_KEYS.length);
      expect(all.onsets.hits + all.onsets.misses).toBe(20 * SOME_KEYS.length);
    }
  });

  it('bass over its own ringing: a tone 15 dB under the stroke, or louder, at A0 and A1', () => {
    for (const midi of [21, 33]) {
      const take = takesOf('clean, 14/s, half damped (-10 dB)').find((score) => score.midi === midi)!;
      expect(take.ringing![1]).toBeGreaterThan(-15);
    }
  });

  it('undamped treble: a tone 15 dB under the stroke, or louder, at C7', () => {
    const take = takesOf('clean, 8/s, half damped').find(({ midi }) => midi === 96)!;
    expect(take.ringing![1]).toBeGreaterThan(-15);
  });

  it('all five registers, and 12 dB of signal to noise', () => {
    expect(poolByRegister(takesOf('12 dB, 8/s, half damped')).map(({ register }) => register)).toHaveLength(5);
    expect(conditionNamed('12 dB, 8/s, half damped').snrDb).toBe(12);
  });
});

describe.each(HELD)('onsets: $condition ($reason)', (held) => {
  const of = (): Pool => measured.get(held.condition)!.pool;

  it('are found', () => {
    expect(of().onsets.fMeasure).toBeGreaterThanOrEqual(held.f);
  });

  it('are timed', () => {
    const { absolute, slipShare, unmarkedSlips } = of().timing;
    expect(absolute.median * 1000).toBeLessThanOrEqual(held.medianMs);
    if (held.p95Ms !== null) expect(absolute.p95 * 1000).toBeLessThanOrEqual(held.p95Ms);
    expect(slipShare).toBeLessThanOrEqual(held.slipShare);
    expect(unmarkedSlips).toBeLessThanOrEqual(held.unmarkedSlips);
  });

  it('carry their level: slow strokes within 1 dB (median), one constant a note taken out', () => {
    // A tone's fitted peak moves with the ringing and the noise under it; 1 dB is the smallest step that is heard.
    expect(of().level!.median).toBeLessThanOrEqual(1);
  });

  it('are not made silent or double: at most 5 in 100', () => {
    // None in the even passages; where soft strokes are lost under the ringing they are taken for silent ones.
    const { kinds, timing } = of();
    expect((kinds.silent.extras + kinds.double.extras) / timing.strokes).toBeLessThanOrEqual(0.05);
  });
});

describe('bias between recorded strokes of one note', () => {
  it('is under 0.05 ms (median) from medium to loud', () => {
    // The layers themselves are known against each other to 0.05 ms.
    const { layerOffsets } = measured.get('20 dB, 6/s, half damped, slow medium, fast loud')!.pool;
    expect(layerOffsets!.n).toBe(SOME_KEYS.length);
    expect(layerOffsets!.median * 1000).toBeLessThanOrEqual(0.05);
  });
});

describe('silent strokes and doubles', () => {
  it('are all in the takes', () => {
    expect(faulty.kinds.silent.hits + faulty.kinds.silent.misses).toBe(2 * SOME_KEYS.length);
    expect(faulty.kinds.double.hits + faulty.kinds.double.misses).toBe(4 * SOME_KEYS.length);
  });

  it('silent strokes are found, and not made up', () => {
    // Goals 90 % and 90 %. 16 silent strokes: one more or less is 6 %. On all keys 100 % and 100 % are measured.
    expect(faulty.kinds.silent.recall).toBeGreaterThanOrEqual(0.9);
    expect(faulty.kinds.silent.precision).toBeGreaterThanOrEqual(0.9);
  });

  it('sounded strokes beside them are not lost', () => {
    expect(faulty.kinds.sounded.recall).toBeGreaterThanOrEqual(0.95);
  });

  it('doubles at -12 dB are found in 85 %, and nine in ten that are said are there', () => {
    // Goals 85 % and 90 %, reached: 91 % and 99 % on all keys; what is missed lies below C3.
    expect(faulty.kinds.double.recall).toBeGreaterThanOrEqual(0.85);
    expect(faulty.kinds.double.precision).toBeGreaterThanOrEqual(0.9);
  });

  it('key-bottom knocks, keys let go and a room twice as loud make none', () => {
    const made = (kind: 'silent' | 'double') => control.reduce((sum, { kinds }) => sum + kinds[kind].extras, 0);
    const strokes = control.reduce((sum, score) => sum + score.strokes, 0);
    expect(strokes).toBe(44 * KIND_KEYS.length);
    // One in a hundred: with one double in ten strokes, precision would still be 90 %.
    expect(made('double') / strokes).toBeLessThanOrEqual(0.01);
    expect(made('silent') / strokes).toBeLessThanOrEqual(0.01);
    expect(control.reduce((sum, { weakMadeUp }) => sum + weakMadeUp, 0) / strokes).toBeLessThanOrEqual(0.01);
  });

  it('from C3 up doubles, weak and silent strokes of another recorded stroke are told at -12 dB', () => {
    const high = soft.filter(({ midi }) => midi >= 48);
    const double = pooledRetrieval(high.map(({ kinds }) => kinds.double));
    const silent = pooledRetrieval(high.map(({ kinds }) => kinds.silent));
    expect(double.recall).toBeGreaterThanOrEqual(0.85);
    expect(double.precision).toBeGreaterThanOrEqual(0.9);
    expect(silent.recall).toBeGreaterThanOrEqual(0.9);
    expect(silent.precision).toBeGreaterThanOrEqual(0.85);
  });
});

describe('names', () => {
  const some = COMPASS.filter((_, i) => i % 4 === 0);

  const octaveFree = (score: NamingScore): void => {
    expect(score.octaveErrorsInMiddle).toBe(0);
  };

  it.each([-40, 40])(
    'every fourth key alone, %i cents off: all but one named',
    async (cents) => {
      // Goal 99 % of 88; one of 22 is 4.5 %: the part can only hold the count.
      const score = await scoreAlone(some.map((midi) => namedAlone(midi, 8, cents, 30, seedOf(midi, cents + 100))));
      expect(score.n).toBe(some.length);
      expect(score.misses.length, score.misses.map(({ label }) => label).join()).toBeLessThanOrEqual(1);
      octaveFree(score);
    },
    60_000,
  );

  it('every fourth key in one recording, 20 cents off: all but two named', async () => {
    // Goal 99.8 % once the piano has been heard.
    const score = await scoreSequence(namedInSequence(some, 8, 20, 30, 88));
    expect(score.n).toBe(some.length);
    expect(score.misses.length, score.misses.map(({ label }) => label).join()).toBeLessThanOrEqual(2);
    octaveFree(score);
  }, 60_000);
});
