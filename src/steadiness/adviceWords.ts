/**
 * What the player should know of the round as a whole, one or two sentences: what was found, and what to do.
 */

import { counted, plainFigure, saidShare } from './naturalWords.ts';
import type { AdviceCode } from './kinds.ts';

/** What the sentences can name; each is left out where it is not known. */
export interface AdviceFacts {
  /** Notes that can be compared. */
  readonly notes?: number;
  /** Notes that were played at all. */
  readonly played?: number;
  /** Share of slow strokes that went astray. */
  readonly slipShare?: number;
  /** Drift of the travel times from the first stroke to the last, in 100. */
  readonly driftPercent?: number;
  /** How much this hand scatters against the stored one, times. */
  readonly handRatio?: number;
}

/** The sentence of a piece of advice. */
export function adviceMessage(code: AdviceCode, facts: AdviceFacts = {}): string {
  const { notes, played, slipShare, driftPercent, handRatio } = facts;
  switch (code) {
    case 'few-notes': {
      if (notes !== undefined && played !== undefined && played > notes) {
        return `Of ${counted(played, 'note')}, ${notes === 0 ? 'none' : `only ${notes}`} had enough slow strokes timed from the finger\u2019s contact, so the hand is not known and little can be told apart from it. Let a curved fingertip fall from about a finger\u2019s width; play a dozen notes so, or give the hand as learned before.`;
      }
      const only =
        notes === undefined || notes === 0
          ? 'There are too few notes'
          : `There ${notes === 1 ? 'is' : 'are'} only ${counted(notes, 'note')}`;
      return `${only} to learn the hand from, so little can be told apart from it. Play about a dozen notes that are known to be in order, or give the hand as learned before.`;
    }
    case 'no-firm-reference':
      return 'No firm reference on this piano: more than half of the notes seem off. Learn the hand on another piano, or on a dozen notes known to be in order.';
    case 'other-hand': {
      const by = handRatio === undefined ? '' : `: it scatters ${handRatio.toFixed(1)} times as much`;
      return `This does not seem to be the hand that was learned${by}. Learn it again with the same player, touch and place of the microphone.`;
    }
    case 'let-up-more':
      return 'Let the key up a little more: repeats fail on too many notes, so they call no note unstable in this round.';
    case 'let-up-less':
      return 'Let up a little less; repeats are not tested. Where the key comes up far, even a weak spring repeats: the tone must go on ringing between the strokes.';
    case 'mixed-touch':
      return 'The notes were played with different touches; travel times are taken from the commoner one only. Keep to one touch in a round.';
    case 'drift': {
      const by = driftPercent === undefined ? '' : ` by ${plainFigure(driftPercent)} in 100`;
      return `The travel times drifted${by} over the round, so notes played early and late compare less well. Pause, and keep touch and microphone as they were.`;
    }
    case 'slips': {
      const share = slipShare === undefined ? 'Many' : `About ${saidShare(slipShare)}`;
      return `${share} slow strokes went astray. Play more slowly, the key let right up, and wait before each stroke.`;
    }
    case 'soft-contacts-missing':
      return 'The finger\u2019s contact is missing mostly at the softer strokes, so the times of the louder ones stand for all. Let a curved fingertip fall from about a finger\u2019s width.';
  }
}
