/** The measures of two rounds as a whole, before it is known what may be called changed: see wholeChange. */

import { sharesChange } from '../statistics/clusteredShares.ts';
import { LEAST_FOR_MEDIAN, medianEstimate } from '../statistics/medianInterval.ts';
import { median } from '../statistics/order.ts';
import { binomialTail, normalCdf } from '../statistics/tails.ts';
import type { Reserve } from './compare.ts';
import type { ComparedScale } from './comparedHands.ts';
import { CLUSTERING, type Count } from './shareChange.ts';
import { spreadRatio } from './spreadChange.ts';
import type { WholeMeasure, WholeMeasureKind } from './wholeChange.ts';
import type { WholeNote } from './wholeNotes.ts';
import { LEAST_NOTES } from './wholeTravel.ts';

/** A measure before the adjustment over the family. */
export interface Draft {
  readonly measure: Omit<WholeMeasure, 'change' | 'adjusted'>;
  /** Two-sided; null where it decides nothing. */
  readonly p: number | null;
  readonly better: boolean;
  /** May be called changed for the better, and for the worse. */
  readonly may: { readonly better: boolean; readonly worse: boolean };
}

/** What holds for the comparison. */
export interface Context {
  readonly reserves: readonly Reserve[];
  readonly scales: readonly [ComparedScale, ComparedScale];
  /** Of ln ratio: what is uncertain in both hands. */
  readonly uncertain: number;
  readonly spreadDecides: boolean;
}

/** The shares of notes in both rounds: failed repeats, silent ones, doubles, gentle silences. */
export function shareDrafts(notes: readonly WholeNote[], may: Draft['may'], { reserves }: Context): Draft[] {
  const repeated = notes.filter(({ sameRate }) => sameRate);
  const decide = !reserves.includes('let-up-more');
  const ofRepeats = { ...may, better: may.better && !reserves.includes('let-up-less') };
  return [
    ...shareDraft(
      'failed-repeats',
      repeated.map(({ repeats }) => repeats),
      ofRepeats,
      decide,
    ),
    ...shareDraft(
      'silent-repeats',
      repeated.map(({ silent }) => silent),
      ofRepeats,
      decide,
    ),
    ...shareDraft(
      'double-strikes',
      notes.map(({ doubles }) => doubles),
      may,
      true,
    ),
    ...shareDraft(
      'gentle-silences',
      notes.map(({ gentle }) => gentle),
      may,
      true,
    ),
  ];
}

function shareDraft(
  kind: WholeMeasureKind,
  counts: readonly (readonly [Count, Count])[],
  may: Draft['may'],
  decides: boolean,
): Draft[] {
  const pairs = counts
    .map(([before, after]) => ({ before, after }))
    .filter(({ before, after }) => before.n > 0 && after.n > 0);
  if (pairs.length === 0) return [];
  const sum = (side: 'before' | 'after', what: 'failed' | 'n') =>
    pairs.reduce((total, pair) => total + pair[side][what], 0);
  const n = [sum('before', 'n'), sum('after', 'n')] as const;
  const failed = [sum('before', 'failed'), sum('after', 'failed')] as const;
  const known = { kind, unit: 'share', failed, n, notes: pairs.length } as const;
  const change = pairs.length < LEAST_NOTES ? null : sharesChange(pairs, CLUSTERING);
  if (change === null) {
    const [before, after] = [failed[0] / n[0], failed[1] / n[1]];
    const measure = { ...known, before, after, difference: after - before, interval: null };
    return [{ measure, p: null, better: false, may }];
  }
  const { before, after, difference, interval } = change;
  // Where nothing ever went wrong, nothing could differ: no test, and no part of the family.
  const isTest = decides && failed[0] + failed[1] > 0 && (may.better || may.worse);
  const measure = { ...known, before, after, difference, interval };
  return [{ measure, p: isTest ? change.p : null, better: difference < 0, may }];
}

/** The scatter of notes in both rounds; nothing where no note has enough strokes. */
export function spreadDraft(
  notes: readonly WholeNote[],
  may: Draft['may'],
  { scales, uncertain, spreadDecides }: Context,
): Draft[] {
  const found = notes.flatMap(({ travels }) => {
    const [before, after] = [spreadRatio(travels[0], scales[0]), spreadRatio(travels[1], scales[1])];
    return before === null || after === null ? [] : [{ before, after, n: [travels[0].length, travels[1].length] }];
  });
  if (found.length === 0) return [];
  const logs = found.map(({ before, after }) => Math.log(after / before));
  const known = {
    kind: 'spread-ratio',
    unit: 'ratio',
    before: median(found.map(({ before }) => before)),
    after: median(found.map(({ after }) => after)),
    ratio: Math.exp(median(logs)),
    failed: null,
    n: [0, 1].map((side) => found.reduce((sum, { n }) => sum + n[side], 0)) as [number, number],
    notes: found.length,
  } as const;
  if (found.length < LEAST_FOR_MEDIAN) return [{ measure: { ...known, interval: null }, p: null, better: false, may }];
  const { value, interval } = medianEstimate(logs);
  const [down, up] = [value - interval[0], interval[1] - value].map((side) => Math.hypot(side, Z * uncertain));
  const decides = spreadDecides && (may.better || may.worse);
  return [
    {
      measure: { ...known, interval: [Math.exp(value - down), Math.exp(value + up)] },
      p: decides ? Math.max(signTest(logs), beyond(value, value > 0 ? down : up)) : null,
      better: value < 0,
      may,
    },
  ];
}

const Z = 1.96;

/** Two-sided chance of a value whose interval reaches so far towards none. */
function beyond(value: number, half: number): number {
  return value === 0 ? 1 : 2 * normalCdf((-Math.abs(value) * Z) / Math.max(1e-9, half));
}

/** Two-sided, exact; values of 0 left out. */
function signTest(values: readonly number[]): number {
  const [up, down] = [values.filter((value) => value > 0).length, values.filter((value) => value < 0).length];
  return Math.min(1, 2 * binomialTail(Math.max(up, down), up + down, 0.5));
}
