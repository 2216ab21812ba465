/**
 * Counting: what the judgement says of sittings whose truth is known, with standard errors.
 *
 * Meter (`run.ts`) and gate (`gate.test.ts`) count with this.
 */

import type { FindingKind, Verdict } from '../../src/steadiness/kinds.ts';
import type { Design } from './designs.ts';
import { trueRatio } from './hand.ts';
import { faultName, type Fault } from './piano.ts';
import { sit, type Judged } from './sitting.ts';

/** A figure with its standard error. */
export interface Figure {
  readonly value: number;
  readonly error: number;
  readonly n: number;
}

/** One planted fault, over all sittings of a design. */
export interface FaultCount {
  readonly fault: Fault;
  readonly verdicts: Record<Verdict, number>;
  /** Notes with a finding of the kind that the fault should give. */
  named: number;
  n: number;
  /** Sum over its notes of the share of the sitting's notes in order that scored less (ties half). */
  over: number;
}

/** Intervals of "spread-ratio" and how many held the true ratio. */
export interface Coverage {
  n: number;
  held: number;
  /** Sum of ln(upper/lower). */
  width: number;
}

/** The hand as judged, over the true one. */
export interface HandSaid {
  readonly scale: number;
  readonly slope: number;
  /** Said outright: the share of strokes astray. */
  readonly slips: number;
}

export interface Tally {
  readonly design: Design;
  readonly sittings: number;
  /** Notes in order, per sitting: how many, and how many had each verdict. */
  readonly good: readonly ({ readonly n: number } & Readonly<Record<Verdict, number>>)[];
  /** What was found on notes in order, counted by kind, and notes opened again, by looks. */
  readonly falseFindings: ReadonlyMap<FindingKind, number>;
  readonly looks: ReadonlyMap<number, number>;
  readonly faults: ReadonlyMap<string, FaultCount>;
  readonly coverage: ReadonlyMap<string, Coverage>;
  /** Score of every note, and whether it was bad. */
  readonly scores: readonly { readonly score: number; readonly bad: boolean; readonly sitting: number }[];
  readonly minutes: readonly number[];
  readonly strokes: readonly number[];
  /** What the judgement itself expected of false alarms, per sitting; null where it said nothing. */
  readonly expected: readonly (number | null)[];
  /** Notes whose planted fault was no smaller than what the judgement said it could have shown. */
  readonly shown: Record<'spread' | 'failures', { n: number; unstable: number }>;
  /** What the judgement said of the hand against the true one, per sitting that had a hand. */
  readonly hands: readonly HandSaid[];
  /** Mean time of judging a sitting, all looks, milliseconds. */
  readonly judging: number;
}

/** Which findings name a fault. */
const NAMES: Readonly<Record<Fault['kind'], readonly FindingKind[]>> = {
  silent: ['missed-repeats'],
  weak: ['weak-repeats'],
  double: ['double-strikes'],
  spread: ['wandering-rest'],
  'two-state': ['wandering-rest'],
  'two-heights': ['wandering-rest'],
  shift: ['early-or-late'],
  action: ['missed-repeats', 'weak-repeats'],
};

const noVerdicts = (): Record<Verdict, number> => ({ steady: 0, watch: 0, unstable: 0, insufficient: 0 });

/** Plays and judges `sittings` sittings of a design; the same ones every time. */
export function tallyOf(design: Design, sittings: number): Tally {
  const good: ({ n: number } & Record<Verdict, number>)[] = [];
  const falseFindings = new Map<FindingKind, number>();
  const looks = new Map<number, number>();
  const faults = new Map<string, FaultCount>();
  const coverage = new Map<string, Coverage>();
  const scores: Tally['scores'][number][] = [];
  const shown = { spread: { n: 0, unstable: 0 }, failures: { n: 0, unstable: 0 } };
  const [minutes, strokes, expected]: [number[], number[], (number | null)[]] = [[], [], []];
  const hands: HandSaid[] = [];
  let judging = 0;
  for (let i = 0; i < sittings; i++) {
    const from = i * Math.round(design.options.bad * design.options.notes);
    const seed = seedOf(design.id, i);
    const judged = sit({ ...design.options, from }, seed);
    good.push(countNotes(judged, i, { falseFindings, looks, faults, coverage, scores, shown }));
    minutes.push(judged.minutes);
    strokes.push(judged.strokes.length);
    expected.push(judged.judgement.expectedFalseUnstable);
    const said = handSaid(judged);
    if (said) hands.push(said);
    judging += judged.judging / sittings;
  }
  return {
    design,
    sittings,
    good,
    falseFindings,
    looks,
    faults,
    coverage,
    scores,
    minutes,
    strokes,
    expected,
    shown,
    hands,
    judging,
  };
}

function handSaid({ hand, judgement }: Judged): HandSaid | null {
  const { scalePercent, slopePerDb, slipRate } = judgement.hand;
  if (scalePercent === null || slopePerDb === null || slipRate === null) return null;
  const slope = -hand.exponent / (hand.levelPerDecade / Math.LN10);
  return { scale: scalePercent / 100 / hand.scale, slope: slopePerDb / slope, slips: slipRate };
}

/** Whole numbers of a design's name and the sitting's number. */
function seedOf(id: string, sitting: number): number {
  let hash = 17;
  for (const character of id) hash = (Math.imul(hash, 31) + character.codePointAt(0)!) | 0;
  return Math.abs(hash % 100_000) * 1000 + sitting;
}

interface Books {
  readonly falseFindings: Map<FindingKind, number>;
  readonly looks: Map<number, number>;
  readonly faults: Map<string, FaultCount>;
  readonly coverage: Map<string, Coverage>;
  readonly scores: Tally['scores'][number][];
  readonly shown: Tally['shown'];
}

/** Enters every note of a sitting; gives back the count of those in order. A note that is not judged at all throws. */
function countNotes({ piano, hand, results }: Judged, sitting: number, books: Books) {
  const inOrder = { n: 0, ...noVerdicts() };
  const good = piano.filter(({ fault }) => fault === null).map(({ midi }) => results.get(midi)?.score ?? 0);
  for (const note of piano) {
    const result = results.get(note.midi);
    if (!result) throw new Error(`note ${note.midi} was played and not judged`);
    const { fault } = note;
    books.scores.push({ score: result.score, bad: fault !== null, sitting });
    if (fault === null) {
      inOrder.n++;
      inOrder[result.verdict]++;
      books.looks.set(result.looks, (books.looks.get(result.looks) ?? 0) + 1);
      for (const kind of new Set(result.findings.map((finding) => finding.kind))) {
        books.falseFindings.set(kind, (books.falseFindings.get(kind) ?? 0) + 1);
      }
    } else {
      const name = faultName(fault);
      const count = books.faults.get(name) ?? { fault, verdicts: noVerdicts(), named: 0, n: 0, over: 0 };
      books.faults.set(name, count);
      count.n++;
      count.verdicts[result.verdict]++;
      count.over += shareUnder(result.score, good);
      if (result.findings.some(({ kind }) => NAMES[fault.kind].includes(kind))) count.named++;
      const { spreadPercent, failureRate } = result.couldHaveShown;
      const planted = 100 * hand.scale * (trueRatio(note, hand) ?? 0);
      if (fault.kind === 'spread' && spreadPercent !== null && planted >= spreadPercent) {
        enter(books.shown.spread, result.verdict);
      }
      if (fault.kind === 'silent' && failureRate !== null && fault.share >= failureRate) {
        enter(books.shown.failures, result.verdict);
      }
    }
    const ratio = result.measures.find(({ kind }) => kind === 'spread-ratio');
    const truth = trueRatio(note, hand);
    if (!ratio || truth === null) continue;
    const usable = ratio.n < 8 ? 'under 8' : ratio.n < 16 ? '8 to 15' : '16 and more';
    const what =
      fault?.kind === 'spread' || fault?.kind === 'two-state' ? faultName(fault) : fault ? 'other' : 'in order';
    for (const key of [`${what} | ${usable}`, `${what} | all`]) {
      const one = books.coverage.get(key) ?? { n: 0, held: 0, width: 0 };
      books.coverage.set(key, one);
      one.n++;
      if (truth >= ratio.interval[0] && truth <= ratio.interval[1]) one.held++;
      one.width += Math.log(ratio.interval[1] / Math.max(1e-3, ratio.interval[0]));
    }
  }
  return inOrder;
}

/** Share of `others` below a score, ties half; 0 without others. */
function shareUnder(score: number, others: readonly number[]): number {
  if (others.length === 0) return 0;
  return others.reduce((sum, other) => sum + (score > other ? 1 : score === other ? 0.5 : 0), 0) / others.length;
}

function enter(count: { n: number; unstable: number }, verdict: Verdict): void {
  count.n++;
  if (verdict === 'unstable') count.unstable++;
}

/** Notes in order with this verdict, for each 88 of them; the error from sitting to sitting. */
export function per88(tally: Tally, verdict: Verdict): Figure {
  const { value, error, n } = goodShare(tally, verdict);
  return { value: 88 * value, error: 88 * error, n };
}

/** Share of the notes in order with this verdict; the error from sitting to sitting. */
export function goodShare({ good }: Tally, verdict: Verdict): Figure {
  const shares = good.map((one) => one[verdict] / one.n);
  const n = good.reduce((sum, one) => sum + one.n, 0);
  const mean = meanOf(shares);
  // Where it never happened, or always, sittings do not differ, and the count alone says how sure that is.
  return { ...mean, error: mean.error > 0 ? mean.error : shareOf(mean.value * n, n).error, n };
}

/** Share of the notes with a fault that got one of these verdicts, binomial error. */
export function foundShare({ n, verdicts }: FaultCount, ...among: readonly Verdict[]): Figure {
  return shareOf(
    among.reduce((sum, verdict) => sum + verdicts[verdict], 0),
    n,
  );
}

/** A share with its binomial standard error, never 0 (Agresti & Coull 1998: two more of each). */
export function shareOf(count: number, n: number): Figure {
  const p = (count + 2) / (n + 4);
  return { value: count / n, error: Math.sqrt((p * (1 - p)) / (n + 4)), n };
}

/** Mean with its standard error. */
export function meanOf(values: readonly number[]): Figure {
  const n = values.length;
  const value = values.reduce((sum, v) => sum + v, 0) / n;
  const square = values.reduce((sum, v) => sum + (v - value) ** 2, 0);
  return { value, error: n > 1 ? Math.sqrt(square / (n - 1) / n) : Infinity, n };
}

/**
 * How well the score ranks within a sitting: the chance that a bad note scores over one in order (area under the curve,
 * ties half), mean over the sittings that have both. Null without any.
 */
export function ranking({ scores }: Tally): Figure | null {
  const areas: number[] = [];
  for (const sitting of new Set(scores.map((one) => one.sitting))) {
    const own = scores.filter((one) => one.sitting === sitting);
    const [bad, good] = [own.filter((one) => one.bad), own.filter((one) => !one.bad)];
    if (bad.length === 0 || good.length === 0) continue;
    areas.push(
      meanOf(
        bad.map(({ score }) =>
          shareUnder(
            score,
            good.map((one) => one.score),
          ),
        ),
      ).value,
    );
  }
  return areas.length ? meanOf(areas) : null;
}
