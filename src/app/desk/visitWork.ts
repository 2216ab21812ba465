/**
 * The work of the visit on the desk: what was turned, decided and timed, and the plan that hears it again.
 *
 * Everything is written before it is shown; nothing is ever removed: what is taken back stays, counted by nothing.
 */

import { afterAdjustment } from '../../piano/notePlans.ts';
import type { NotePlan } from '../../piano/plan.ts';
import { turnWords, type Operation, type WorkOrder } from '../../piano/operations.ts';
import { newAdjustment, newMark, newWorkTime } from '../../record/newThings.ts';
import type { Adjustment, Piano, Round, Visit, WorkMark, WorkTime } from '../../record/types.ts';
import { toAskIn, workNotes, type AskedNote, type WorkNote } from '../../record/worklist.ts';
import type { Store } from '../../storage/store.ts';
import type { Notice } from '../listen/view.ts';
import type { Sitting } from '../sitting/sitting.ts';
import { spokenName } from '../words.ts';
import type { MidiNote } from '../../units.ts';
import type { TurnSaid } from '../work/view.ts';

interface WorkPlace {
  readonly store: Store;
  readonly visit: Visit;
  readonly newId: () => string;
}

export class VisitWork {
  #adjustments: Adjustment[] = [];
  #marks: WorkMark[] = [];
  #hours: WorkTime[] = [];

  private constructor(
    readonly place: WorkPlace,
    public piano: Piano,
    /** With the summaries that they have by now. */
    readonly rounds: readonly Round[],
  ) {}

  /** Reads what is kept of a visit's work. @throws StoreError (as a rejection), as all below. */
  static async read(
    store: Store,
    visit: Visit,
    piano: Piano,
    rounds: readonly Round[],
    newId: () => string,
  ): Promise<VisitWork> {
    const work = new VisitWork({ store, visit, newId }, piano, rounds);
    const of = { visitId: visit.id };
    work.#adjustments = await store.list('adjustments', of);
    work.#marks = await store.list('marks', of);
    work.#hours = await store.list('hours', of);
    return work;
  }

  /** As {@link read}, with the round that is being heard as it is judged now. */
  static ofSitting(sitting: Sitting, rounds: readonly Round[], newId: () => string): Promise<VisitWork> {
    const { store, visit, piano, book } = sitting;
    const judged = rounds.map((round) =>
      round.id === book.round.id && book.summary ? { ...round, summary: book.summary } : round,
    );
    return VisitWork.read(store, visit, piano, judged, newId);
  }

  get notes(): WorkNote[] {
    return workNotes(this.#visit);
  }

  get hours(): readonly WorkTime[] {
    return this.#hours;
  }

  get now(): string {
    return new Date().toISOString();
  }

  /** Notes of which it must be asked whether they were adjusted, should they be played in that round. */
  toAskIn(round: Round): AskedNote[] {
    return toAskIn(round, this.#visit);
  }

  /** Marks a note adjusted. What was turned can be said later. */
  async adjust(midi: MidiNote): Promise<void> {
    await this.#keepAdjustment(midi, this.now, this.#lastHeard(midi, Infinity));
  }

  /** Says what was turned. */
  async say(id: string, { what, way, eighths, millimetres, words }: TurnSaid): Promise<void> {
    const known = this.#adjustments.find((one) => one.id === id);
    if (!known) return;
    const length = millimetres === null ? null : `${millimetres} mm`;
    const said = turnWords(what, what === 'other' ? words || null : way, eighths, length);
    await this.#replaceAdjustment({ ...known, what, way, eighths, millimetres, words: said });
  }

  async undo(id: string): Promise<void> {
    const known = this.#adjustments.find((one) => one.id === id);
    if (known) await this.#replaceAdjustment({ ...known, undone: true });
  }

  async mark(midi: MidiNote, kind: WorkMark['kind']): Promise<void> {
    const { store, visit, newId } = this.place;
    const mark = newMark({ id: newId(), visitId: visit.id, midi, at: this.now, kind });
    await store.put('marks', mark);
    this.#marks = [...this.#marks, mark];
  }

  /** Answers whether a note was adjusted before it was played in `round`. */
  async answer(midi: MidiNote, round: Round, adjusted: boolean): Promise<void> {
    if (!adjusted) return this.mark(midi, 'not-adjusted');
    await this.#keepAdjustment(midi, round.startedAt, this.#lastHeard(midi, round.number));
  }

  /** Begins to time an operation; ends what runs. One alone runs at a time. */
  async time(operation: Operation): Promise<void> {
    const { store, visit, newId } = this.place;
    const running = this.#hours.filter(({ endedAt }) => endedAt === null);
    for (const stretch of running) {
      const ended = { ...stretch, endedAt: this.now };
      await store.put('hours', ended);
      this.#hours = this.#hours.map((one) => (one.id === ended.id ? ended : one));
    }
    if (running.some((stretch) => stretch.operation === operation)) return;
    const begun = newWorkTime({ id: newId(), visitId: visit.id, operation, startedAt: this.now });
    await store.put('hours', begun);
    this.#hours = [...this.#hours, begun];
  }

  async order(order: WorkOrder): Promise<void> {
    this.piano = { ...this.piano, order };
    await this.place.store.put('pianos', this.piano);
  }

  /** What to hear now: the adjusted notes that nobody heard since, with neighbours and untouched ones. Null where there are none. */
  planAfter(): NotePlan | null {
    const turned = this.notes.filter(({ state }) => state === 'adjusted').map(({ midi }) => midi);
    if (turned.length === 0) return null;
    const touched = new Set(this.notes.map(({ midi }) => midi));
    const steady = this.rounds.flatMap(({ summary }) =>
      (summary?.verdicts ?? []).filter(({ midi, verdict }) => verdict === 'steady' && !touched.has(midi)),
    );
    const { lowest, highest } = this.piano;
    return afterAdjustment(turned, [...new Set(steady.map(({ midi }) => midi))], { lowest, highest });
  }

  get #visit() {
    return { rounds: this.rounds, adjustments: this.#adjustments, marks: this.#marks };
  }

  /** Number of the last round below `before` that heard a note; 0 where none did. */
  #lastHeard(midi: MidiNote, before: number): number {
    return this.rounds
      .filter(({ number, summary }) => number < before && summary?.verdicts.some((note) => note.midi === midi))
      .reduce((last, { number }) => Math.max(last, number), 0);
  }

  async #keepAdjustment(midi: MidiNote, at: string, afterRound: number): Promise<void> {
    const { store, visit, newId } = this.place;
    const adjustment = newAdjustment({ id: newId(), visitId: visit.id, midi, at, afterRound, what: 'other' });
    await store.put('adjustments', adjustment);
    this.#adjustments = [...this.#adjustments, adjustment];
  }

  async #replaceAdjustment(adjustment: Adjustment): Promise<void> {
    await this.place.store.put('adjustments', adjustment);
    this.#adjustments = this.#adjustments.map((one) => (one.id === adjustment.id ? adjustment : one));
  }
}

/** What is told where takes wait for an answer; null where none do. */
export function waitNotice(asked: readonly AskedNote[]): Notice | null {
  if (asked.length === 0) return null;
  const names = asked.map(({ midi }) => spokenName(midi)).join(', ');
  return {
    code: 'asked',
    title: `${names}: adjusted since round ${asked[0].round}?`,
    text: 'What you played of it is kept and counts for neither side until you answer on the worklist.',
    stops: false,
    actions: [{ id: 'work', label: 'Worklist' }],
  };
}
