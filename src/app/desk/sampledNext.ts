/** After a round of sampled notes: what it says of the piano, and the round that hears more. */

import { affectedShare, afterSampled, shareWords, type Proposal, type SampledNote } from '../../piano/afterSampled.ts';
import type { Piano } from '../../record/types.ts';
import type { RoundBook } from '../sitting/roundBook.ts';
import { breaksWithin } from '../sitting/breaks.ts';
import type { SampledNext } from '../round/view.ts';
import type { Desk } from './desk.ts';

/** What to hear next; null where the round asked for other notes, is not played to its end, or left nothing to hear. */
export function proposalAfter({ round, notes, wanted }: RoundBook, piano: Piano): Proposal | null {
  const ended = round.closedAt !== null || wanted === null;
  if (round.plan.kind !== 'sampled' || !ended || notes.length === 0) return null;
  return afterSampled(sampledNotes(notes), breaksWithin(piano), piano);
}

/** The proposal as the round's screen shows it. */
export function sampledNext(book: RoundBook, piano: Piano): SampledNext | null {
  const proposal = proposalAfter(book, piano);
  if (!proposal) return null;
  const share = affectedShare(sampledNotes(book.notes));
  return {
    share: share && shareWords(share),
    reason: proposal.reason,
    notes: proposal.plan.steps.length,
    minutes: Math.max(1, Math.round(proposal.minutes)),
  };
}

/** Ends the sampled round and begins the one proposed. */
export async function hearProposed(desk: Desk): Promise<void> {
  const { sitting } = desk;
  const proposal = sitting && !desk.readOnly ? proposalAfter(sitting.book, sitting.piano) : null;
  if (!proposal) return;
  if (sitting?.book.round.closedAt === null) await desk.closeRound();
  await desk.beginNext(proposal.plan);
}

function sampledNotes(notes: RoundBook['notes']): SampledNote[] {
  return notes.map(({ midi, verdict }) => ({
    midi,
    judged: verdict !== 'insufficient',
    flagged: verdict === 'watch' || verdict === 'unstable',
  }));
}
