/**
 * Played quick passages for the tests of pulse and fading: a clock that wanders from beat to beat, a finger that adds its own delay
 * to each onset (so neighbouring intervals are bound to each other), a tempo that drifts and bends, a stray beat now and then.
 */

import { judgeFast } from '../../src/steadiness/repeats/judgeFast.ts';
import type { RecordedStroke } from '../../src/steadiness/measures.ts';
import type { NotePlay } from '../../src/steadiness/round.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { silent, stroke } from '../pictures/strokes.ts';
import { played } from './repeatPiano.ts';

export interface Quirk {
  /** Standard deviation, ms, that the action adds to each onset. */
  readonly jitterMs?: number;
  /** dB by which the level falls over a passage. */
  readonly fadeDb?: number;
  /** dB by which quick strokes lie lower than the hand's own. */
  readonly dropDb?: number;
  /** Chance that a repeat stays silent. */
  readonly silent?: number;
}

/** One note: eight slow strokes and `passages` quick ones of twelve, the recording `source` having a gain of its own. */
export function quickNote(
  midi: number,
  passages: number,
  quirk: Quirk,
  chance: RandomStream,
  source = 0,
  gainDb = 0,
): NotePlay {
  const { jitterMs = 0, fadeDb = 0, dropDb = 0, silent: misses = 0.01 } = quirk;
  const own = Math.exp(chance.normal(0, 0.12));
  const level = -20 + gainDb + chance.normal(0, 2);
  const strokes: RecordedStroke[] = [];
  let time = 1;
  for (let i = 0; i < 8; i++, time += 1) {
    strokes.push(stroke(time, { midi, take: midi, source, levelDb: level + chance.normal(0, 1.5) }));
  }
  for (let passage = 0; passage < passages; passage++) {
    time += 1;
    const drift = chance.normal(0, 0.06);
    const bend = chance.normal(0, 0.02);
    for (let i = 0; i < 12; i++) {
      const place = i / 11 - 0.5;
      time += (1 / 6) * (1 + drift * place + bend * (4 * place ** 2 - 0.5)) * (1 + own * chance.normal(0, 0.035));
      if (chance.chance(0.015)) time += 0.03 * chance.between(-1, 1);
      const at = { midi, take: midi, source, passage: 'fast' as const };
      const onset = time + 0.0025 * own * chance.normal() + (jitterMs / 1000) * chance.normal();
      const levelDb = level - 3 - dropDb - fadeDb * (i / 11) + chance.normal(0, 1.5);
      if (i > 0 && chance.chance(misses)) strokes.push(silent(time, at));
      else strokes.push(stroke(onset, { ...at, levelDb }));
    }
  }
  return played(midi, [strokes]);
}

/** Shares of watched notes by finding, over pianos of 60 notes: notes in order, and those with the quirk (every sixth). */
export function fastRates(quirk: Quirk, passages: number, pianos: number, seed: number) {
  const sum = { good: 0, bad: 0, pulse: 0, fading: 0, pulseFound: 0, fadingFound: 0 };
  for (let i = 0; i < pianos; i++) {
    const chance = new RandomStream(seed + i, 'fast');
    const off = (k: number) => k % 6 === 3 && Object.keys(quirk).length > 0;
    const plays = Array.from({ length: 60 }, (_, k) => quickNote(30 + k, passages, off(k) ? quirk : {}, chance));
    for (const [midi, { findings, watch }] of judgeFast(plays)) {
      const kinds = findings.map(({ kind }) => kind);
      if (watch !== kinds.length > 0) throw new Error('watched without a finding');
      const [pulse, fading] = [kinds.includes('uneven-repeats') ? 1 : 0, kinds.includes('fading-repeats') ? 1 : 0];
      if (off(midi - 30)) {
        sum.bad++;
        sum.pulseFound += pulse;
        sum.fadingFound += fading;
      } else {
        sum.good++;
        sum.pulse += pulse;
        sum.fading += fading;
      }
    }
  }
  return {
    falsePulse: sum.pulse / sum.good,
    falseFading: sum.fading / sum.good,
    pulseFound: sum.pulseFound / sum.bad,
    fadingFound: sum.fadingFound / sum.bad,
  };
}
