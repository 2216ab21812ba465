/**
 * Which note a group of coarse strokes is.
 *
 * Every key is asked, unaided: the comb of each window is scored, the scores of the windows are added, and the best
 * key's partials are then fitted; the note is the key whose usual tuning, moved by the piano's own offset where it is
 * known, lies nearest to the first partial found. So a piano up to 40 cents off is named aright before anything is known
 * of it, and any pitch once it has been heard.
 */

import { inharmonicity, tunedFirstPartial } from '../piano/strings.ts';
import { HIGHEST_KEY, LOWEST_KEY } from '../piano/keys.ts';
import { fitFirstPartial, scoreKeys, type Candidate } from '../signal/pitch.ts';
import type { Pyramid } from '../signal/pyramid.ts';
import { centsBetween, centsToRatio, type Cents, type Hertz, type MidiNote, type Seconds } from '../units.ts';

/** A stretch of tone after an onset. */
export interface ToneWindow {
  readonly start: Seconds;
  readonly duration: Seconds;
}

export interface Naming {
  readonly midi: MidiNote;
  /** First partial as fitted. */
  readonly hertz: Hertz;
  /** Distance of the first partial from the key's usual tuning. */
  readonly cents: Cents;
  /** Mean comb score of the windows, about 1 to 2 for a clear tone. */
  readonly score: number;
  /** Lead over the best key that is not a neighbour. */
  readonly margin: number;
}

/** With so clear a first window no other is asked. */
const CLEAR_SCORE = 0.9;
const CLEAR_MARGIN = 0.25;
const TUNINGS: readonly Cents[] = [-40, -20, 0, 20, 40];

/** All 88 keys, tuned as an average piano, all moved by `offset` cents. */
export function allKeys(offset: Cents = 0): Candidate[] {
  return Array.from({ length: HIGHEST_KEY - LOWEST_KEY + 1 }, (_, i) => {
    const midi = LOWEST_KEY + i;
    return { midi, firstPartial: tunedFirstPartial(midi) * centsToRatio(offset), inharmonicity: inharmonicity(midi) };
  });
}

/** Names the tone in `windows` (1 or more; longest first is best). `null` where no key's comb fits at all. */
export function nameTone(
  pyramid: Pyramid,
  windows: readonly ToneWindow[],
  candidates: readonly Candidate[] = ALL_KEYS,
): Naming | null {
  const sums = new Map<MidiNote, number>();
  const fits: ReturnType<typeof scoreKeys>[] = [];
  let ranked: [MidiNote, number][] = [];
  for (const { start, duration } of windows) {
    const scored = scoreKeys(pyramid, start, duration, candidates, TUNINGS);
    fits.push(scored);
    for (const { midi, score } of scored.scores) sums.set(midi, (sums.get(midi) ?? 0) + score);
    ranked = [...sums.entries()].map(([midi, sum]): [MidiNote, number] => [midi, sum / fits.length]);
    ranked.sort((a, b) => b[1] - a[1]);
    if (ranked[0][1] >= CLEAR_SCORE && ranked[0][1] - rivalOf(ranked) >= CLEAR_MARGIN) break;
  }
  if (fits.length === 0) return null;
  const [best, score] = ranked[0];
  const candidate = candidates.find(({ midi }) => midi === best)!;
  for (const { scores, relief } of fits) {
    const cents = scores.find(({ midi }) => midi === best)!.cents;
    const fit = fitFirstPartial(relief, candidate, cents);
    if (!fit) continue;
    const nearest = nearestKey(candidates, fit.hertz);
    return {
      midi: nearest.midi,
      hertz: fit.hertz,
      cents: centsBetween(tunedFirstPartial(nearest.midi), fit.hertz),
      score,
      margin: score - rivalOf(ranked),
    };
  }
  return null;
}

/** Score of the best key that is no neighbour of the first. */
function rivalOf(ranked: readonly (readonly [MidiNote, number])[]): number {
  return ranked.find(([midi]) => Math.abs(midi - ranked[0][0]) > 1)?.[1] ?? 0;
}

const ALL_KEYS = allKeys();

function nearestKey(candidates: readonly Candidate[], hertz: Hertz): Candidate {
  let nearest = candidates[0];
  for (const candidate of candidates) {
    const better =
      Math.abs(Math.log(hertz / candidate.firstPartial)) < Math.abs(Math.log(hertz / nearest.firstPartial));
    if (better) nearest = candidate;
  }
  return nearest;
}
