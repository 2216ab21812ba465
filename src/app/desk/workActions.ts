/** What a technician does on the worklist, as the desk does it. */

import type { WorkOrder } from '../../piano/operations.ts';
import type { Round } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';
import { newId, type Desk } from './desk.ts';
import { VisitWork } from './visitWork.ts';

/** Reads the work of the visit on the desk anew. */
export async function readWork(desk: Desk): Promise<void> {
  const { sitting } = desk;
  if (!sitting) return;
  await desk.attempt(async () => {
    desk.work = await VisitWork.ofSitting(sitting, desk.rounds, newId);
  });
}

/** Opens the worklist of the visit on the desk. */
export async function openWork(desk: Desk): Promise<void> {
  if (!desk.sitting) return;
  await readWork(desk);
  desk.go('work');
}

/** Does something on it; where the visit may only be read, nothing. */
export async function atWork(desk: Desk, does: (work: VisitWork) => Promise<unknown>): Promise<void> {
  const { work } = desk;
  if (work && !desk.readOnly) await desk.attempt(() => does(work));
}

/** Chooses the working order, which is the piano's. */
export async function chooseOrder(desk: Desk, order: WorkOrder): Promise<void> {
  await atWork(desk, (work) => work.order(order));
  if (desk.work) desk.sitting?.renew({ piano: desk.work.piano });
}

/** Marks a note adjusted. The round that heard it as it was ends with that. */
export async function adjust(desk: Desk, midi: MidiNote): Promise<void> {
  if (!desk.readOnly && desk.sitting?.book.round.closedAt === null) await desk.closeRound();
  await atWork(desk, (work) => work.adjust(midi));
}

/** Marks a note adjusted where it stands, and asks on the worklist what was turned. */
export async function adjustFromNote(desk: Desk, midi: MidiNote): Promise<void> {
  await adjust(desk, midi);
  desk.toTell = midi;
  await openWork(desk);
}

/** The same while playing: listening goes on. */
export async function answerWhilePlaying(desk: Desk, midi: MidiNote, adjusted: boolean): Promise<void> {
  const { sitting } = desk;
  if (!sitting) return;
  await readWork(desk);
  await desk.attempt(async () => {
    await desk.work?.answer(midi, sitting.book.round, adjusted);
    sitting.answered(midi);
  });
}

/** Answers whether a note was adjusted before it was played; its takes count from then on. */
export async function answerAdjusted(desk: Desk, midi: MidiNote, adjusted: boolean): Promise<void> {
  const round = desk.sitting?.book.round;
  if (!round) return;
  await atWork(desk, (work) => work.answer(midi, round, adjusted));
  await desk.chooseRound(round.id);
  await openWork(desk);
}

/** Begins a round that hears what was adjusted. */
export async function hearAgain(desk: Desk): Promise<void> {
  const plan = desk.work?.planAfter();
  if (plan) await desk.beginNext(plan);
}

/** Opens a note of the worklist, from the newest round that heard it. */
export async function openFromWork(desk: Desk, midi: MidiNote): Promise<void> {
  const { work, sitting } = desk;
  if (!work || !sitting) return;
  const heard = work.rounds.filter(({ summary }) => summary?.verdicts.some((note) => note.midi === midi));
  const newest = heard.reduce<Round | null>((last, one) => (last && last.number > one.number ? last : one), null);
  // Nobody heard it: there is nothing to open.
  if (!newest) return;
  if (newest.id !== sitting.book.round.id) await desk.chooseRound(newest.id);
  desk.openNote(midi);
}

/** Back from a note; the worklist stands on the newest round again. */
export async function backFromNote(desk: Desk): Promise<void> {
  desk.leaveNote();
  const last = desk.rounds.at(-1);
  if (desk.screen === 'work' && last && last.id !== desk.sitting?.book.round.id) await desk.chooseRound(last.id);
}
