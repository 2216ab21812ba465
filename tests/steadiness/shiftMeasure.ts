/** How often a shift is called on notes in order, and found on notes that are off: many sittings of one setting. */

import { judgeShift } from '../../src/steadiness/support/shift.ts';
import type { SupportEvidence } from '../../src/steadiness/evidence.ts';
import { play, type Played, type Setting } from './playedPiano.ts';

export interface Rates {
  /** False `watch` per 88 notes in order. */
  readonly falsePer88: number;
  /** Share of the notes that are off given `watch`; notes with too few neighbours count as not found. */
  readonly found: number | null;
  /** Share of the notes whose 90 % interval holds the truth. */
  readonly coverage: number;
  /** Mean of what could have been shown, percent. */
  readonly couldHaveShown: number;
  /** Notes in order, and notes that are off, that the shares rest on. */
  readonly good: number;
  readonly off: number;
}

/** `sittings` seeded sittings of a setting. `judge` is the rule measured, {@link judgeShift} unless told. */
export function shiftRates(
  setting: Partial<Setting>,
  sittings: number,
  judge: (played: Played) => ReadonlyMap<number, SupportEvidence> = ({ travel, hand }) => judgeShift(travel, hand),
): Rates {
  let [good, off, wrong, found, told, covered, could] = [0, 0, 0, 0, 0, 0, 0];
  for (let sitting = 0; sitting < sittings; sitting++) {
    const played = play(7000 + sitting, setting);
    const judged = judge(played);
    for (const [midi, fault] of played.faults) {
      const evidence = judged.get(midi);
      const watch = evidence?.watch ?? false;
      if (fault === 0) good++;
      else off++;
      if (fault === 0 && watch) wrong++;
      // A shift called the wrong way round is not found.
      if (fault !== 0 && watch && Math.sign(evidence!.findings[0].size) === Math.sign(fault)) found++;
      if (!evidence) continue;
      const [low, high] = evidence.measures[0].interval;
      told++;
      could += evidence.couldHaveShown!;
      if (low <= 100 * fault && 100 * fault <= high) covered++;
    }
  }
  return {
    falsePer88: (88 * wrong) / good,
    found: off === 0 ? null : found / off,
    coverage: covered / told,
    couldHaveShown: could / told,
    good,
    off,
  };
}

/** Each note off by `size` with this probability. */
export function eachOff(share: number, size: number): Setting['fault'] {
  return (_, chance) => (chance.chance(share) ? size : 0);
}

/** These keys off by `size`. */
export function keysOff(keys: readonly number[], size: number): Setting['fault'] {
  return (midi) => (keys.includes(midi) ? size : 0);
}

/** The rule without the notes' mean levels. */
export function withoutLevels({ travel, hand }: Played): ReadonlyMap<number, SupportEvidence> {
  return judgeShift(new Map([...travel].map(([midi, note]) => [midi, { ...note, meanLevelDb: null }])), hand);
}
