/** Fresh strokes of notes before they are turned: which lack them, and how they are heard. */

import { openWorklist } from '../../piano/notePlans.ts';
import { withoutFreshBefore } from '../../record/freshBefore.ts';
import type { MidiNote } from '../../units.ts';
import type { Desk } from './desk.ts';

/**
 * The notes still to be turned that have no fair "before", from bass to treble; none before the worklist is open.
 * @throws StoreError (as a rejection).
 */
export async function notesWithoutFresh({ work, sitting }: Pick<Desk, 'work' | 'sitting'>): Promise<MidiNote[]> {
  if (!work || !sitting) return [];
  const { store, visit } = sitting;
  const takes = await store.list('takes', { visitId: visit.id });
  const adjustments = await store.list('adjustments', { visitId: visit.id });
  const marks = await store.list('marks', { visitId: visit.id });
  return withoutFreshBefore({ rounds: work.rounds, adjustments, marks }, takes);
}

/** Hears these notes afresh: in the round on the desk while it is open, else in one of their own. */
export async function hearFresh(desk: Desk, midis: readonly MidiNote[]): Promise<void> {
  const { sitting } = desk;
  if (!sitting || desk.readOnly || midis.length === 0) return;
  if (sitting.book.round.closedAt !== null) {
    await desk.beginNext(openWorklist(midis, sitting.piano));
    return;
  }
  for (const midi of midis) sitting.ask({ midi, asked: 'open' });
  await desk.listen('listen');
}
