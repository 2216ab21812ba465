/**
 * Weak when hard: firm strokes that sound far softer than their travel time says.
 *
 * A note's own line gives the level that belongs to a travel time: (ln t − centre) / slope + L_ref, the slope pooled over
 * the piano, the centre from the strokes that were not firm. What a stroke falls short of it is stated in dB. A stroke is
 * firm by what was heard, or by its travel time: a stroke that came out weak is no less firm for it.
 *
 * Another touch in firm strokes, or a travel time that follows the level less steeply there, shifts all notes alike:
 * struck and pressed touch differ by 0.4 in ln t, as much as 6 dB. From six notes on, the middle shortfall of the other
 * notes is taken out. Below that the rule cannot tell the two apart, and gives a measure but no `watch`.
 *
 * Levels and lines are compared within one recording only. Needs contacts: strokes without are not given here.
 */

import { shareEstimate } from '../../statistics/intervals.ts';
import { median } from '../../statistics/order.ts';
import type { MidiNote } from '../../units.ts';
import type { HandScale, SupportEvidence, TravelStroke } from '../evidence.ts';
import { atReference, heldCentre, NO_EVIDENCE, rateFound, strokesByNote } from './residuals.ts';

/** So far under its line a stroke is weak, dB; and so far over the usual ones it is firm, dB. */
const WEAK_UNDER = 6;
const FIRM_OVER = 6;
const LEAST_WEAK = 2;
const LEAST_FIRM = 6;
/** Strokes of a recording that make a line. */
const LEAST_USUAL = 3;
const LEAST_OTHERS = 6;
/** Firm strokes with which a note has a say in what all notes show. */
const LEAST_TO_COMPARE = 3;

/**
 * Evidence of weak firm strokes, for every note with at least one firm stroke and a line. Share with Jeffreys' 90 %
 * interval; `couldHaveShown` is the smallest share found with 80 % power. No probability: the rule is a count.
 */
export function judgeWeakWhenHard(strokes: readonly TravelStroke[], hand: HandScale): Map<MidiNote, SupportEvidence> {
  const shortfalls = new Map<MidiNote, number[]>();
  for (const [midi, own] of strokesByNote(strokes)) shortfalls.set(midi, shortfallsOf(own, hand));
  const found = new Map<MidiNote, SupportEvidence>();
  for (const [midi, own] of shortfalls) {
    if (own.length === 0) continue;
    const others = [...shortfalls.entries()]
      .filter(([other, list]) => other !== midi && list.length >= LEAST_TO_COMPARE)
      .map(([, list]) => median(list));
    const compared = others.length >= LEAST_OTHERS;
    const common = compared ? median(others) : 0;
    const n = own.length;
    const weak = own.filter((shortfall) => shortfall - common >= WEAK_UNDER).length;
    const share = { ...shareEstimate(weak, n), unit: 'share' as const, n };
    const judged = compared && n >= LEAST_FIRM;
    const watch = judged && weak >= LEAST_WEAK;
    const { value: size, ...rest } = share;
    found.set(midi, {
      ...NO_EVIDENCE,
      watch,
      findings: watch ? [{ kind: 'weak-when-hard', size, ...rest }] : [],
      measures: [{ kind: 'weak-when-hard', ...share }],
      couldHaveShown: judged ? rateFound(LEAST_WEAK, n) : null,
    });
  }
  return found;
}

/** What each firm stroke of a note falls short of the note's line, dB. */
function shortfallsOf(own: readonly TravelStroke[], hand: HandScale): number[] {
  const found: number[] = [];
  for (const source of new Set(own.map((stroke) => stroke.source))) {
    const here = own.filter((stroke) => stroke.source === source);
    const usual = here.filter(({ firm }) => !firm);
    if (usual.length < LEAST_USUAL) continue;
    const centre = heldCentre(
      usual.map((stroke) => atReference(stroke, hand)),
      hand.scale,
    );
    const told = ({ logTravel }: TravelStroke) => (logTravel - centre) / hand.slopePerDb + hand.referenceDb;
    const usualLevel = median(usual.map(({ levelDb }) => levelDb));
    for (const stroke of here) {
      if (stroke.firm || told(stroke) >= usualLevel + FIRM_OVER) found.push(told(stroke) - stroke.levelDb);
    }
  }
  return found;
}
