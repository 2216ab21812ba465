/**
 * Does a note's hammer come early or late against its neighbours? Its mean travel time at equal level, against a smooth
 * curve through the other notes.
 *
 * A lever set too high, a short blow and an early let-off all shorten it (model study of one grand action: 5 to 12 % for
 * 0.4 to 1.2 mm at the jack, pressed touch; struck touch may turn the sign). A whole region that is off cannot be seen by
 * neighbours: of twelve neighbouring notes a quarter is found, and the good ones beside them may be called instead
 * (measured on made sittings: `tests/steadiness/shiftMeter.ts`). Gives `watch` at most.
 *
 * The curve never goes through the note itself; over a break between sections it does not reach where the breaks are
 * given. How black keys and the strings' loudness are taken out, and how the scatter of good notes is learned: see
 * neighbours.
 *
 * Scale of a shift: the centre's own error, what good notes differ among themselves (held under 2.2 %), the scatter of the
 * notes' zeros, and the error of the curve. The normal law promises 0.24 false calls in 88 notes; made sittings give up to
 * half a one where good notes differ by 1 %, and one or two where they differ by 2 to 3 %.
 */

import { mean } from '../../statistics/intervals.ts';
import type { MidiNote } from '../../units.ts';
import type { HandScale, SupportEvidence, TravelEvidence, TravelStroke } from '../evidence.ts';
import { compareNeighbours } from './neighbours.ts';
import { atReference, EIGHTY_POWER, heldCentre, NINETY, NO_EVIDENCE, twoSided } from './residuals.ts';

const LEAST_NOTES = 12;
/** A shift is worth a look from here: in its errors, and as a share of the travel time. */
const LIMIT_ERRORS = 3;
const LIMIT_SHARE = 0.04;

/**
 * Standard deviation between notes of the zero of the time base, seconds: each note's onset template is good against
 * other notes' to about 2 ms below C3, 0.9 ms there, falling to 0.3 ms at B4, 0.2 ms above (the program's
 * measurements of its onset).
 */
export function zeroScatter(midi: MidiNote): number {
  const [c3, b4] = [48, 71];
  if (midi < c3) return 0.002;
  if (midi > b4) return 0.0002;
  return 0.001 * (0.9 + (0.3 - 0.9) * ((midi - c3) / (b4 - c3)));
}

/**
 * Evidence of a shift, for every note with a centre and at least five others within ±12 keys; none below twelve notes with
 * a centre. Measure and finding in percent of the travel time, negative for early, with the 90 % interval; p two-sided;
 * `couldHaveShown` is the smallest shift found with 80 % power, percent.
 *
 * @param breaks first notes of the sections after the lowest, where known: the curve does not reach over them
 */
export function judgeShift(
  travel: ReadonlyMap<MidiNote, TravelEvidence>,
  hand: HandScale,
  breaks: readonly MidiNote[] = [],
): Map<MidiNote, SupportEvidence> {
  const placed = placedNotes(travel, hand);
  const found = new Map<MidiNote, SupportEvidence>();
  if (placed.length < LEAST_NOTES) return found;
  const sectionOf = (midi: MidiNote) => breaks.filter((first) => midi >= first).length;
  const { deviations } = compareNeighbours(placed, hand.slopePerDb, sectionOf);
  placed.forEach(({ midi, n }, i) => {
    const shift = deviations[i];
    if (!shift) return;
    const value = 100 * shift.size;
    const half = 100 * NINETY * shift.error;
    const interval = [value - half, value + half] as const;
    const z = shift.size / shift.error;
    const watch = Math.abs(z) > LIMIT_ERRORS && Math.abs(shift.size) > LIMIT_SHARE;
    found.set(midi, {
      ...NO_EVIDENCE,
      watch,
      p: twoSided(z),
      findings: watch ? [{ kind: 'early-or-late', size: value, unit: 'percent', interval, n }] : [],
      measures: [{ kind: 'travel-shift', value, unit: 'percent', interval, n }],
      couldHaveShown: 100 * (Math.max(LIMIT_SHARE, LIMIT_ERRORS * shift.error) + EIGHTY_POWER * shift.error),
    });
  });
  return found;
}

/** Notes with a centre, from bass to treble, with the error of the centre and of the zero together. */
function placedNotes(travel: ReadonlyMap<MidiNote, TravelEvidence>, hand: HandScale) {
  return [...travel.entries()]
    .sort(([a], [b]) => a - b)
    .flatMap(([midi, { n, centre, centreError, meanLevelDb }]) => {
      if (centre === null || centreError === null) return [];
      const zero = zeroScatter(midi) / hand.referenceTravel;
      const error = Math.hypot(centreError, zero);
      return [{ midi, n, centre, error, level: meanLevelDb }];
    });
}

/** A note's centre from its firm and from its other strokes: ln travel time at the reference level, with errors. */
export interface ShiftAgreement {
  readonly firm: Centre;
  readonly slow: Centre;
  /** Firm minus slow. */
  readonly difference: number;
  /** Of the difference; the error of the hand's slope over their distance in level is in it. */
  readonly differenceError: number;
}

export interface Centre {
  readonly centre: number;
  readonly error: number;
  readonly n: number;
}

const LEAST_STROKES = 3;
/** Error of the held centre against that of a mean without strays, with 3 % of strays (simulation study of the statistics). */
const HELD_ERROR = 1.2;

/**
 * Whether one note's firm and slow strokes say the same of its travel time: a blow or a lever shifts both alike, let-off and
 * drop the softer ones more (model study of one grand action). Null with fewer than three strokes of either. Strokes of
 * several recordings are compared within the one that has most of both. What all notes show alike is the touch's or the
 * slope's: compare a note's difference with the other notes' before it is believed.
 */
export function shiftAgreement(strokes: readonly TravelStroke[], hand: HandScale): ShiftAgreement | null {
  const parts = [...new Set(strokes.map(({ source }) => source))].map((source) => {
    const here = strokes.filter((stroke) => stroke.source === source);
    return { firm: here.filter(({ firm }) => firm), slow: here.filter(({ firm }) => !firm) };
  });
  const fewer = ({ firm, slow }: (typeof parts)[number]) => Math.min(firm.length, slow.length);
  const best = parts.sort((a, b) => fewer(b) - fewer(a))[0];
  if (!best || fewer(best) < LEAST_STROKES) return null;
  const centreOf = (own: readonly TravelStroke[]): Centre => ({
    centre: heldCentre(
      own.map((stroke) => atReference(stroke, hand)),
      hand.scale,
    ),
    error: (HELD_ERROR * hand.scale) / Math.sqrt(own.length),
    n: own.length,
  });
  const [firm, slow] = [centreOf(best.firm), centreOf(best.slow)];
  const levels = mean(best.firm.map(({ levelDb }) => levelDb)) - mean(best.slow.map(({ levelDb }) => levelDb));
  return {
    firm,
    slow,
    difference: firm.centre - slow.centre,
    differenceError: Math.hypot(firm.error, slow.error, levels * hand.slopeError),
  };
}
