/**
 * Which slow strokes count for a note's travel time, and why the others do not.
 *
 * Counted is a slow stroke that sounded, whose contact was heard in one place and more likely than not rightly, after enough
 * rest, with a travel time that a finger makes and a level near the note's own. Firm strokes are kept beside: they say
 * nothing of the spread, because the law that takes loudness out is known to hold near the usual loudness only. Limits:
 * 15 to 300 ms (published range 20 to 200 ms: Goebl, Bresin & Galembo 2005, read at second hand, with room on
 * either side); 0.8 s since the stroke before, because the hammer must have come to rest (model study of a grand action: well
 * within 0.3 s of a full release); four robust deviations of the note's own level.
 */

import { median, medianDeviation } from '../../statistics/order.ts';
import type { Touch } from '../../strokes/types.ts';
import type { Seconds } from '../../units.ts';
import type { TravelStroke } from '../evidence.ts';
import type { Unused } from '../kinds.ts';
import { LEAST_CONTACT_CONFIDENCE, type RecordedStroke } from '../measures.ts';
import type { NotePlay } from '../round.ts';

const LEAST_TRAVEL: Seconds = 0.015;
const MOST_TRAVEL: Seconds = 0.3;
const LEAST_REST: Seconds = 0.8;
/** Onsets scatter about their beat: a stroke asked for every second may come this much early. */
const REST_SLACK: Seconds = 0.05;
const LEVEL_BAND = 4;
/** However even a player is, so far from the note's own level a stroke still counts, dB. */
const LEAST_BAND = 4;

/** One note's slow strokes, sorted out. */
export interface UsableStrokes {
  readonly midi: number;
  readonly usual: readonly TravelStroke[];
  readonly firm: readonly TravelStroke[];
  readonly unused: Readonly<Partial<Record<Unused, number>>>;
}

/** Sorts out a note's slow strokes. `touch`: what pressed most keys of the round; `orderOf`: a stroke's place in the round. */
export function usableStrokes(
  play: NotePlay,
  touch: Touch,
  orderOf: (stroke: RecordedStroke) => number,
): UsableStrokes {
  const usual: TravelStroke[] = [];
  const firm: TravelStroke[] = [];
  const unused: Partial<Record<Unused, number>> = {};
  const leave = (why: Unused) => (unused[why] = (unused[why] ?? 0) + 1);
  const levels = play.looks.flat().flatMap((s) => (isUsual(s) && s.levelDb !== null ? [s.levelDb] : []));
  const centre = levels.length ? median(levels) : 0;
  const band = levels.length ? Math.max(LEAST_BAND, LEVEL_BAND * medianDeviation(levels)) : 0;
  play.looks.forEach((look, index) => {
    for (const stroke of look) {
      if (stroke.passage === 'gentle') leave('gentle');
      if (stroke.passage !== 'slow' || stroke.kind === 'double') continue;
      const why = reasonAgainst(stroke, (play.takes.get(stroke.take)?.touch ?? 'finger') === touch);
      if (why !== null) {
        leave(why);
        continue;
      }
      const hard = stroke.force === 'firm';
      if (!hard && Math.abs(stroke.levelDb! - centre) > band) {
        leave('level-out-of-range');
        continue;
      }
      (hard ? firm : usual).push({
        midi: play.midi,
        look: index + 1,
        logTravel: Math.log(stroke.onsetSeconds! - stroke.contactSeconds!),
        levelDb: stroke.levelDb!,
        source: stroke.source ?? 0,
        order: orderOf(stroke),
        after: stroke.preceding.kind === 'firm' || stroke.preceding.kind === 'slow' ? stroke.preceding.kind : 'other',
        firm: hard,
      });
    }
  });
  return { midi: play.midi, usual, firm, unused };
}

function isUsual({ passage, kind, force }: RecordedStroke): boolean {
  return passage === 'slow' && kind === 'sounded' && force !== 'firm';
}

function reasonAgainst(stroke: RecordedStroke, sameTouch: boolean): Unused | null {
  const { kind, onsetSeconds, contactSeconds, contactConfidence, levelDb, force, preceding, doubt } = stroke;
  if (kind === 'silent' || onsetSeconds === null || levelDb === null) return 'silent';
  if (!sameTouch) return 'other-touch';
  if (force === 'gentle') return 'gentle';
  if (contactSeconds === null) return stroke.absent.contact === 'two-candidates' ? 'two-contacts' : 'no-contact';
  if (doubt.includes('two-candidates')) return 'two-contacts';
  if (contactConfidence !== null && contactConfidence < LEAST_CONTACT_CONFIDENCE) return 'contact-unsure';
  if (preceding.restSeconds !== null && preceding.restSeconds < LEAST_REST - REST_SLACK) return 'too-soon';
  const travel = onsetSeconds - contactSeconds;
  return travel < LEAST_TRAVEL || travel > MOST_TRAVEL ? 'travel-out-of-range' : null;
}
