/**
 * The desk: what is on it now (which screen, which round), and what stands behind it: store, shelves, visit, sitting.
 *
 * One for the whole page. Screens read {@link Desk.snapshot} and call its methods; nothing else is changed by them.
 */

import { holdVisit, takeOverVisit, type HeldVisit } from '../../storage/visitLock.ts';
import { soundToDrop } from '../../record/rounds.ts';
import type { Piano, Round, Visit } from '../../record/types.ts';
import { openStore } from '../../storage/openStore.ts';
import { persist } from '../../storage/browserStore.ts';
import type { Store } from '../../storage/store.ts';
import type { MidiNote } from '../../units.ts';
import type { StartChoices } from '../home/view.ts';
import { RoundBook } from '../sitting/roundBook.ts';
import { Sitting } from '../sitting/sitting.ts';
import { beginRound } from './beginRound.ts';
import { handFrom, handOf } from './hands.ts';
import { Hearing, type Screen } from './hearing.ts';
import { NO_CHOICES, planOf } from './plans.ts';
import { dropOrphans, EMPTY_SHELVES, readShelves, type Shelves } from './shelves.ts';
import { UnreadThings } from './unread.ts';

export class Desk extends Hearing {
  choices: StartChoices = NO_CHOICES;
  shelves: Shelves = EMPTY_SHELVES;
  /** A recording that was dropped or chosen, for the screen of files. */
  file: File | null = null;
  store: Store | null = null;
  readonly unread = new UnreadThings();
  /** The note that is looked at, and where one came from. */
  note: MidiNote | null = null;
  #noteFrom: Screen = 'round';
  /** The rounds of the visit on the desk. */
  rounds: readonly Round[] = [];
  /** What is on the desk is the demo visit. */
  demo = false;
  #opening = false;
  #lock: HeldVisit | null = null;

  /** Opens the store and reads the shelves. */
  async open(): Promise<void> {
    // React's strict mode mounts twice while developing.
    if (this.#opening) return;
    this.#opening = true;
    const opened = await openStore({
      told: {
        trouble: (error) => this.warn('store', 'The record of this device', error),
        leftOut: (...thing) => {
          if (this.unread.add(...thing)) this.tell('left-out', 'Something kept here cannot be read', this.unread.words);
        },
      },
    });
    this.store = opened.store;
    if (opened.passing) this.warn('store', 'This device keeps no record', opened.passing);
    await this.attempt(async () => {
      for (const told of await dropOrphans(opened.store)) this.tell(...told);
    });
    await this.#readShelves();
    this.changed();
  }

  go(screen: Screen): void {
    this.screen = screen;
    this.changed();
  }

  openFile(file: File | null): void {
    this.file = file;
    this.go('file');
  }

  async home(): Promise<void> {
    await this.attempt(() => this.#putAway());
    await this.#readShelves();
  }

  choose(choices: StartChoices): void {
    this.choices = choices;
    this.changed();
  }

  get piano(): Piano | null {
    return this.shelves.pianos.find(({ id }) => id === this.choices.pianoId) ?? null;
  }

  /** Makes the round as chosen, and goes to the sound check. */
  async start(): Promise<void> {
    const store = this.#needed();
    const { choices } = this;
    const plan = planOf(choices, this.piano);
    if (!plan) return;
    await this.attempt(async () => {
      void persist();
      const now = new Date().toISOString();
      const { piano, visit, round } = await beginRound(store, this.shelves, choices, plan, now, newId);
      await this.#layOut(piano, visit, round);
      await this.listen('check');
    });
  }

  /** Lays a visit's last round on the desk. */
  async openVisit(visitId: string): Promise<void> {
    const found = this.shelves.visits.find(({ visit }) => visit.id === visitId);
    const round = found?.rounds.at(-1);
    if (!found || !round) return;
    await this.attempt(async () => {
      await this.#layOut(found.piano, found.visit, round);
      this.screen = 'round';
    });
  }

  /** Lays the demo visit on the desk: it stands in memory, to be looked at. */
  async openDemo(): Promise<void> {
    await this.attempt(async () => {
      const { openDemo } = await import('./demo.ts');
      const { store, piano, visit } = await openDemo();
      const rounds = await store.list('rounds', { visitId: visit.id });
      this.readOnly = this.demo = true;
      await this.#seat(store, piano, visit, rounds[rounds.length - 1]);
      this.screen = 'round';
    });
  }

  openNote(midi: MidiNote): void {
    if (this.screen !== 'note') this.#noteFrom = this.screen;
    this.note = midi;
    this.go('note');
  }

  leaveNote(): void {
    this.go(this.#noteFrom);
  }

  /** Asks for a note anew, in the pattern for open notes, and goes on listening. */
  async playAgain(midi: MidiNote): Promise<void> {
    this.sitting?.ask({ midi, asked: 'open' });
    await this.listen('listen');
  }

  /** Lays another round of the visit on the desk. */
  async chooseRound(id: string): Promise<void> {
    const { sitting } = this;
    const round = this.rounds.find((one) => one.id === id);
    if (!sitting || !round) return;
    await this.attempt(() => this.#seat(sitting.store, sitting.piano, sitting.visit, round));
  }

  /** A backup was brought in, or a visit removed. */
  async keptChanged(): Promise<void> {
    await this.#readShelves();
  }

  /** Ends the round: verdicts stand, and the sound that was not to be kept is dropped. */
  async closeRound(): Promise<void> {
    const { sitting } = this;
    if (!sitting) return;
    await this.closeEar();
    await this.attempt(async () => {
      const store = this.#needed();
      await sitting.keepAll();
      const round = { ...sitting.book.round, closedAt: new Date().toISOString(), summary: sitting.book.summary };
      await store.put('rounds', round);
      const takes = await store.list('takes', { roundId: round.id });
      for (const id of soundToDrop(round, takes, sitting.visit.keepAudio)) await store.dropSound(id);
      await this.#layOut(sitting.piano, sitting.visit, round);
    });
  }

  /** Learns the hand from this round, whose notes the player knows to be in order. */
  async keepHand(name: string): Promise<void> {
    const { sitting } = this;
    if (!sitting) return;
    await this.attempt(async () => {
      await this.#needed().put('references', await handOf(sitting.book, this.judging(), name, newId()));
      await this.#readShelves();
    });
  }

  /** A hand that was learned elsewhere (`evenfall.reference/1`): checked, stored and chosen. */
  async takeHand(file: File): Promise<void> {
    await this.attempt(async () => {
      const stored = await handFrom(file, this.refining(), newId());
      await this.#needed().put('references', stored);
      await this.#readShelves();
      this.choices = { ...this.choices, referenceId: stored.id };
    });
  }

  /** Takes the visit over from another tab. */
  async takeOver(): Promise<void> {
    const { sitting } = this;
    if (!sitting) return;
    this.#lock = await takeOverVisit(sitting.visit.id, () => this.#lost());
    this.readOnly = false;
    await this.attempt(async () => {
      // The other tab may have closed the round meanwhile.
      const round = (await this.#needed().get('rounds', sitting.book.round.id)) ?? sitting.book.round;
      await this.#layOut(sitting.piano, sitting.visit, round);
    });
  }

  async undo(): Promise<void> {
    await this.attempt(async () => this.sitting?.undo());
  }

  /** Takes that are in memory only, as files of the player's own. */
  async saveHeld(): Promise<void> {
    const { sitting } = this;
    if (!sitting) return;
    await this.attempt(async () => {
      const { saveTakes } = await import('./saveTakes.ts');
      saveTakes(sitting.keeper.held);
      sitting.keeper.letGo();
    });
  }

  /** The round with its takes, judged; locked for this tab, or to be read only. */
  async #layOut(piano: Piano, visit: Visit, round: Round): Promise<void> {
    const store = this.#needed();
    if (this.#lock === null || this.sitting?.visit.id !== visit.id) {
      this.#lock?.release();
      this.#lock = null;
      const held = await holdVisit(visit.id, () => this.#lost());
      this.readOnly = held === 'elsewhere';
      if (held !== 'elsewhere') this.#lock = held;
    }
    await this.#seat(store, piano, visit, round);
  }

  async #seat(store: Store, piano: Piano, visit: Visit, round: Round): Promise<void> {
    this.rounds = await store.list('rounds', { visitId: visit.id });
    const reference = visit.referenceId === null ? null : await store.get('references', visit.referenceId);
    const book = new RoundBook(round, await store.list('takes', { roundId: round.id }), reference);
    await book
      .judge(this.judging())
      .catch((cause: unknown) => this.warn('judge', 'This round cannot be judged', cause));
    this.sitting = new Sitting({
      store,
      refiner: this.refining(),
      judge: this.judging(),
      book,
      piano,
      visit,
      sampleRate: () => this.ear?.sampleRate ?? 48000,
      tell: (message) => this.ear?.tell(message),
      newId,
      now: () => new Date(),
      changed: () => this.changed(),
    });
  }

  #lost(): void {
    this.#lock = null;
    this.readOnly = true;
    void this.closeEar().then(() => this.stopListening());
  }

  async #putAway(): Promise<void> {
    if (this.screen === 'listen') this.screen = 'round';
    await this.closeEar();
    const { sitting } = this;
    await sitting?.keepAll();
    if (sitting && !this.readOnly && sitting.book.round.closedAt === null) {
      await this.attempt(async () =>
        this.#needed().put('rounds', { ...sitting.book.round, summary: sitting.book.summary }),
      );
    }
    this.#lock?.release();
    this.#lock = null;
    this.readOnly = this.demo = false;
    this.sitting = null;
    this.screen = 'home';
  }

  async #readShelves(): Promise<void> {
    const store = this.store;
    if (!store) return;
    await this.attempt(async () => {
      this.shelves = await readShelves(store);
    });
  }

  #needed(): Store {
    if (!this.store) throw new Error('the store is not open yet');
    return this.store;
  }
}

function newId(): string {
  return crypto.randomUUID();
}
