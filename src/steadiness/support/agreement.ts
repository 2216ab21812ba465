/**
 * Do a note's firm strokes say the same of its travel time as its slow ones?
 *
 * A blow or a lever shifts both alike, let-off and drop the softer ones more (model study of one grand action). The
 * difference of the two centres is held against the other notes' median, because what all notes show alike is the touch's
 * or the slope's. A measure only: it narrows what an early or late note may be, and raises no doubt by itself.
 */

import { median } from '../../statistics/order.ts';
import type { MidiNote } from '../../units.ts';
import type { HandScale, SupportEvidence, TravelStroke } from '../evidence.ts';
import { NINETY, NO_EVIDENCE, strokesByNote, twoSided } from './residuals.ts';
import { shiftAgreement } from './shift.ts';

/** Other notes with both kinds of strokes that a note is held against. */
const LEAST_OTHERS = 6;

/** Firm minus slow strokes, percent of the travel time, against the other notes; none where fewer than six others have both. */
export function judgeAgreement(strokes: readonly TravelStroke[], hand: HandScale): Map<MidiNote, SupportEvidence> {
  const told = [...strokesByNote(strokes)].flatMap(([midi, own]) => {
    const agreement = shiftAgreement(own, hand);
    return agreement ? [{ midi, agreement }] : [];
  });
  const found = new Map<MidiNote, SupportEvidence>();
  if (told.length <= LEAST_OTHERS) return found;
  for (const { midi, agreement } of told) {
    const others = told.flatMap((one) => (one.midi === midi ? [] : [one.agreement.difference]));
    const size = agreement.difference - median(others);
    // The slope's own error is common to all notes and leaves with their median; to leave it in is on the safe side.
    const error = agreement.differenceError;
    const value = 100 * size;
    const half = 100 * NINETY * error;
    found.set(midi, {
      ...NO_EVIDENCE,
      p: twoSided(size / error),
      measures: [
        {
          kind: 'firm-against-slow',
          value,
          unit: 'percent',
          interval: [value - half, value + half],
          n: agreement.firm.n + agreement.slow.n,
        },
      ],
    });
  }
  return found;
}
