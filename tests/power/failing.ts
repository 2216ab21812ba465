/**
 * How likely a re-strike fails at one depth of the finger's return, so that over the hand's scatter the model's shares come out.
 *
 * The tables give shares for a mean depth, a scatter and a rate. Here failing is logistic in depth; where the curve stands
 * is found so that its mean over the depths of this hand is the table's share.
 */

import {
  DEPTH_MEANS,
  DEPTH_SCALE,
  DEPTH_SDS,
  FAULT_DEPTH_SD,
  FAULTY,
  GOOD,
  PASSAGE_SHIFT,
  RATES,
  type ActionFault,
  type Failing,
} from './modelTables.ts';

/** Depths, mm, at which half the re-strikes are missed, and at which half are missed or weak. */
export interface FailingCurve {
  readonly missedAt: number;
  readonly failedAt: number;
}

/** A share of nothing in the tables is taken for this. */
const LEAST = 0.0002;
const POINTS = 41;

/** Shares missed and weak at a mean depth (mm), scatter of the hand (mm) and rate; beyond the tables, as at their edge. */
export function tabled(mean: number, sd: number, rate: number, fault: ActionFault | null): Failing {
  const blocks = fault === null ? GOOD : [FAULTY[fault]];
  const sds = fault === null ? DEPTH_SDS : [FAULT_DEPTH_SD];
  const means = DEPTH_MEANS.slice(0, blocks[0][0].length);
  const weights = (at: number, nodes: readonly number[]) => {
    const within = Math.min(nodes[nodes.length - 1], Math.max(nodes[0], at));
    const above = nodes.findIndex((node) => node >= within);
    if (above === 0) return [[0, 1]] as const;
    const share = (within - nodes[above - 1]) / (nodes[above] - nodes[above - 1]);
    return [
      [above - 1, 1 - share],
      [above, share],
    ] as const;
  };
  let missed = 0;
  let failed = 0;
  for (const [s, ws] of weights(sd, sds)) {
    for (const [r, wr] of weights(rate, RATES)) {
      for (const [m, wm] of weights(mean, means)) {
        const [silent, weak] = blocks[s][r][m];
        missed += ws * wr * wm * logit(silent);
        failed += ws * wr * wm * logit(silent + weak);
      }
    }
  }
  return [logistic(missed), Math.max(0, logistic(failed) - logistic(missed))];
}

/** The curve of a note for a hand of this mean depth and scatter, mm, at this rate. */
export function failingCurve(mean: number, sd: number, rate: number, fault: ActionFault | null): FailingCurve {
  const last = DEPTH_MEANS[fault === null ? DEPTH_MEANS.length - 1 : 2];
  const within = Math.min(last, Math.max(DEPTH_MEANS[0], mean));
  const scatter = Math.hypot(fault === null ? sd : FAULT_DEPTH_SD, PASSAGE_SHIFT);
  const [missed, weak] = tabled(within, sd, rate, fault);
  return { missedAt: placeFor(missed, within, scatter), failedAt: placeFor(missed + weak, within, scatter) };
}

/** Chances, at this depth, that a re-strike is missed, and that it is missed or weak. */
export function failingAt({ missedAt, failedAt }: FailingCurve, depth: number): { missed: number; failed: number } {
  return {
    missed: logistic((missedAt - depth) / DEPTH_SCALE),
    failed: logistic((failedAt - depth) / DEPTH_SCALE),
  };
}

/** Where the curve must stand for this share over normal depths; by halving. */
function placeFor(share: number, mean: number, scatter: number): number {
  let [low, high] = [mean - 8, mean + 8];
  for (let i = 0; i < 30; i++) {
    const middle = (low + high) / 2;
    if (meanShare(middle, mean, scatter) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

function meanShare(place: number, mean: number, scatter: number): number {
  let [sum, weight] = [0, 0];
  for (let i = 0; i < POINTS; i++) {
    const z = -4 + (8 * i) / (POINTS - 1);
    const w = Math.exp((-z * z) / 2);
    sum += w * logistic((place - mean - scatter * z) / DEPTH_SCALE);
    weight += w;
  }
  return sum / weight;
}

function logit(share: number): number {
  const within = Math.min(1 - LEAST, Math.max(LEAST, share));
  return Math.log(within / (1 - within));
}

function logistic(x: number): number {
  return 1 / (1 + Math.exp(-x));
}
