/**
 * What is to be said of a round as a whole, before any note is believed: too few notes, another hand, keys let up too little or
 * too far, strokes that went astray, contacts that only firm strokes showed.
 */

import type { AdviceFacts } from './adviceWords.ts';
import { median } from '../statistics/order.ts';
import type { HandScale, RepeatsEvidence } from './evidence.ts';
import type { HandReference } from './reference.ts';
import type { RecordedTake } from './round.ts';
import type { AdviceCode } from './kinds.ts';
import type { RecordedStroke } from './measures.ts';
import { LEAST_NOTES } from './travel/judgeTravel.ts';
import type { UsableStrokes } from './travel/usable.ts';
import { cellsOf } from './travel/slope.ts';

export interface RoundDoubt {
  readonly code: AdviceCode;
  /** The figures that it rests on. */
  readonly facts: AdviceFacts;
}

/** Scales further apart than this are another hand's, ratio. */
const OTHER_HAND = 1.3;
/** More strokes astray than this and the error levels no longer hold. */
const MANY_STRAY = 0.06;
const DRIFT_T = 4;
/** A drift of so many firm scales over the round matters. */
const DRIFT_SCALES = 0.5;
const LEAST_FOR_DRIFT = 60;
const LEAST_FOR_SHARE = 20;
/** The contact is heard so much less often in the softer half. */
const SOFT_GAP = 0.3;

/** Everything that is to be said of the round. */
export function roundDoubts(
  strokes: readonly RecordedStroke[],
  takes: readonly RecordedTake[],
  usable: readonly UsableStrokes[],
  hand: HandScale | null,
  repeats: RepeatsEvidence,
  stored: HandReference | null,
): RoundDoubt[] {
  const doubts: RoundDoubt[] = [];
  const say = (code: AdviceCode, facts: AdviceFacts = {}) => doubts.push({ code, facts });
  const notes = hand?.notes ?? 0;
  if (hand === null || hand.reference === 'none') {
    if (notes >= LEAST_NOTES) say('no-firm-reference');
    else say('few-notes', { notes, played: usable.length });
  }
  if (hand && stored && hand.reference === 'this-round') {
    const ratio = hand.scale / stored.scale;
    if (Math.max(ratio, 1 / ratio) > OTHER_HAND) say('other-hand', { handRatio: ratio });
  }
  if (repeats.gauge === 'let-up-more' || repeats.gauge === 'let-up-less') say(repeats.gauge);
  // Beside a weight the quick strokes are the finger's all the same: only what pressed the slow ones may mix.
  const slow = new Set(strokes.flatMap(({ passage, take }) => (passage === 'slow' ? [take] : [])));
  const touches = new Set(
    takes.flatMap(({ take, touch }) => (touch === null || touch === 'bar' || !slow.has(take) ? [] : [touch])),
  );
  if (touches.size > 1) say('mixed-touch');
  if (hand && hand.slipRate >= MANY_STRAY) say('slips', { slipShare: hand.slipRate });
  const drift = hand ? driftOf(usable, hand) : null;
  if (drift !== null) say('drift', { driftPercent: 100 * drift });
  const gap = softGap(strokes);
  if (gap !== null && gap > SOFT_GAP) say('soft-contacts-missing');
  return doubts;
}

/** Drift of ln travel time within notes over the whole round, where it is plain and not small; else null. */
function driftOf(usable: readonly UsableStrokes[], hand: HandScale): number | null {
  const strokes = usable.flatMap(({ usual }) => usual);
  if (strokes.length < LEAST_FOR_DRIFT) return null;
  let [xx, xy] = [0, 0];
  const orders = strokes.map(({ order }) => order);
  const span = Math.max(...orders) - Math.min(...orders);
  for (const cell of cellsOf(strokes)) {
    const free = cell.map((i) => strokes[i].logTravel - hand.slopePerDb * strokes[i].levelDb);
    const centre = median(free);
    const place = cell.reduce((sum, i) => sum + strokes[i].order, 0) / cell.length;
    cell.forEach((i, k) => {
      const bound = 2 * hand.scale;
      const r = Math.max(-bound, Math.min(bound, free[k] - centre));
      const x = (strokes[i].order - place) / Math.max(1, span);
      xx += x * x;
      xy += x * r;
    });
  }
  if (xx === 0) return null;
  const slope = xy / xx;
  const plain = Math.abs(slope) / (hand.scale / Math.sqrt(xx)) > DRIFT_T;
  return plain && Math.abs(slope) > DRIFT_SCALES * hand.scale ? slope : null;
}

/** By how much more often the contact was heard in the louder half of each note's slow strokes than in the softer. */
function softGap(strokes: readonly RecordedStroke[]): number | null {
  const counts = { loud: [0, 0], soft: [0, 0] };
  for (const { passage, kind, relativeDb, contactSeconds } of strokes) {
    if (passage !== 'slow' || kind !== 'sounded' || relativeDb === null) continue;
    const half = relativeDb >= 0 ? counts.loud : counts.soft;
    half[0]++;
    if (contactSeconds !== null) half[1]++;
  }
  const { loud, soft } = counts;
  if (loud[0] < LEAST_FOR_SHARE || soft[0] < LEAST_FOR_SHARE) return null;
  return loud[1] / loud[0] - soft[1] / soft[0];
}
