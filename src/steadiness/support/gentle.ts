/**
 * The softest strokes: how many stayed silent, how many struck twice.
 *
 * The model study of one grand action has a sound action do neither; friction and early let-off show as silences, a strong
 * spring and a close let-off as doubles. What a hand adds is not known: 6 % of silences and 1.5 % of doubles are taken for
 * its share (common practice, no source), so that of eight strokes three silent ones or two doubles are worth a second
 * look. Few notes are asked to play gently; where six others were, and the middle one of them stayed silent more often,
 * its share is the hand's: the player then played under what speaks.
 *
 * A take counts that was asked for as gentle, or a passage heard as gentle. A single gentle stroke among slow ones counts
 * for doubles only: had it stayed silent, nobody could say how it was meant. Never more than `watch`.
 */

import type { RecordedStroke } from '../measures.ts';
import type { NotePlay } from '../round.ts';
import { shareEstimate } from '../../statistics/intervals.ts';
import { median } from '../../statistics/order.ts';
import { binomialTail } from '../../statistics/tails.ts';
import type { MidiNote } from '../../units.ts';
import type { Finding, Measure } from '../kinds.ts';
import type { SupportEvidence } from '../evidence.ts';
import { NO_EVIDENCE, rateFound } from './residuals.ts';

/** What a hand does by itself: shares of gentle strokes (common practice, no source). */
const HAND_SILENT = 0.06;
const HAND_DOUBLE = 0.015;
const LEAST_STROKES = 6;
const LEAST_OTHERS = 6;
const LIMIT = 0.01;

/** What a note's gentle strokes did. */
export interface GentleCounts {
  /** Strokes meant gently, and those among them that stayed silent. */
  readonly asked: number;
  readonly silent: number;
  /** Gentle strokes that sounded, and those among them that struck twice. */
  readonly sounded: number;
  readonly doubles: number;
}

/** Counts of one note's gentle strokes. */
export function countGentle(play: NotePlay): GentleCounts {
  let [asked, silent, sounded, doubles] = [0, 0, 0, 0];
  const askedFor = (stroke: RecordedStroke) => play.takes.get(stroke.take)?.asked === 'gentle';
  for (const strokes of play.looks) {
    let struckTwice = false;
    let gentleBefore = false;
    for (const stroke of strokes) {
      if (stroke.kind === 'double') {
        // A string that bounces on strikes more than twice: still one stroke gone wrong.
        if (gentleBefore && !struckTwice) doubles++;
        struckTwice = true;
        continue;
      }
      struckTwice = false;
      const meant = stroke.passage === 'gentle' || askedFor(stroke);
      const speaks = stroke.kind === 'sounded';
      gentleBefore = speaks && (meant || (stroke.passage === 'slow' && stroke.force === 'gentle'));
      if (meant) asked++;
      if (meant && !speaks) silent++;
      if (gentleBefore) sounded++;
    }
  }
  return { asked, silent, sounded, doubles };
}

/**
 * Evidence of gentle strokes, for every note with at least one counted. Shares with Jeffreys' 90 % interval; `p` is the
 * smaller of the two one-sided probabilities; `couldHaveShown` is the smallest share of silences found with 80 % power.
 */
export function judgeGentle(plays: readonly NotePlay[]): Map<MidiNote, SupportEvidence> {
  const counts = new Map(plays.map((play) => [play.midi, countGentle(play)]));
  const found = new Map<MidiNote, SupportEvidence>();
  for (const [midi, own] of counts) {
    if (own.asked === 0 && own.sounded === 0) continue;
    const others = [...counts.entries()].filter(([other]) => other !== midi).map(([, count]) => count);
    const silent = judgeShare(own.silent, own.asked, baseOf(others, 'silent', 'asked', HAND_SILENT));
    const double = judgeShare(own.doubles, own.sounded, baseOf(others, 'doubles', 'sounded', HAND_DOUBLE));
    const findings: Finding[] = [];
    const measures: Measure[] = [];
    if (silent.share) {
      measures.push({ kind: 'silent-when-gentle', ...silent.share });
      if (silent.watch) findings.push({ kind: 'silent-when-gentle', ...inFinding(silent.share) });
    }
    if (double.share) {
      measures.push({ kind: 'double-when-gentle', ...double.share });
      if (double.watch) findings.push({ kind: 'double-strikes', ...inFinding(double.share) });
    }
    const p = silent.p === null ? double.p : double.p === null ? silent.p : Math.min(silent.p, double.p);
    const watch = silent.watch || double.watch;
    found.set(midi, { ...NO_EVIDENCE, watch, p, findings, measures, couldHaveShown: silent.couldHaveShown });
  }
  return found;
}

function inFinding({ value, ...rest }: Omit<Measure, 'kind'>): Omit<Finding, 'kind'> {
  return { size: value, ...rest };
}

/** The hand's share: its usual one, or the middle one of the other notes where that is more. */
function baseOf<C extends keyof GentleCounts, N extends keyof GentleCounts>(
  others: readonly GentleCounts[],
  count: C,
  of: N,
  usual: number,
): number {
  const shares = others.filter((one) => one[of] >= LEAST_STROKES).map((one) => one[count] / one[of]);
  return shares.length < LEAST_OTHERS ? usual : Math.max(usual, median(shares));
}

function judgeShare(count: number, n: number, base: number) {
  const share: Omit<Measure, 'kind'> | null = n > 0 ? { ...shareEstimate(count, n), unit: 'share', n } : null;
  if (n < LEAST_STROKES) return { share, watch: false, p: null, couldHaveShown: null };
  let limit = 1;
  while (limit <= n && binomialTail(limit, n, base) > LIMIT) limit++;
  return { share, watch: count >= limit, p: binomialTail(count, n, base), couldHaveShown: rateFound(limit, n) };
}
