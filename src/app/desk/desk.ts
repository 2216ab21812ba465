/**
 * The desk: what is on it now (which screen, which round), and what stands behind it: store, shelves, visit, sitting.
 *
 * One for the whole page. Screens read {@link Desk.snapshot} and call its methods; nothing else is changed by them.
 */

import { holdVisit, takeOverVisit, type HeldVisit } from '../../storage/visitLock.ts';
import { soundToDrop } from '../../record/rounds.ts';
import type { NotePlan } from '../../piano/plan.ts';
import type { GaugeReading, Piano, Round, Visit } from '../../record/types.ts';
import type { ReportedVisit } from '../../report/visit.ts';
import { openStore } from '../../storage/openStore.ts';
import { persist } from '../../storage/browserStore.ts';
import type { Store } from '../../storage/store.ts';
import type { MidiNote } from '../../units.ts';
import type { CompassLook } from '../compass/view.ts';
import type { StartChoices } from '../home/view.ts';
import { RoundBook } from '../sitting/roundBook.ts';
import { Sitting } from '../sitting/sitting.ts';
import { beginRound, nextRound } from './beginRound.ts';
import { handFrom, handOf } from './hands.ts';
import type { OpenForm } from './forms.ts';
import { Hearing, type Screen } from './hearing.ts';
import type { KeepChoice } from '../round/view.ts';
import type { ReadRecordings } from '../readRecordings.ts';
import type { SeatedRound } from './recordedRound.ts';
import { NO_CHOICES, planOf } from './plans.ts';
import { dropOrphans, EMPTY_SHELVES, readShelves, type Shelves } from './shelves.ts';
import { UnreadThings } from './unread.ts';
import { VisitWork } from './visitWork.ts';

/** Begins the code of what is told of a file that is in no round. */
const LEFT_FILE = 'left-file-';

export class Desk extends Hearing {
  choices: StartChoices = NO_CHOICES;
  shelves: Shelves = EMPTY_SHELVES;
  /** Recordings that were dropped, for the screen of files. */
  files: readonly File[] = [];
  store: Store | null = null;
  readonly unread = new UnreadThings();
  /** The note that is looked at, and where one came from. */
  note: MidiNote | null = null;
  /** How the compass was looked at last. */
  look: CompassLook | null = null;
  readonly looked = (look: CompassLook) => void (this.look = look);
  #noteFrom: Screen = 'round';
  /** The rounds of the visit on the desk. */
  rounds: readonly Round[] = [];
  /** What is on the desk is the demo visit. */
  demo = false;
  /** What is on the desk came as recordings and is in memory only; `said` of the files as such. Null: it did not, or is kept. */
  recorded: { readonly seated: SeatedRound; readonly said: readonly string[] } | null = null;
  /** It is being written. */
  keeping = false;
  /** The worklist of the visit on the desk, once it was opened. */
  work: VisitWork | null = null;
  /** A note just marked adjusted, of which the worklist asks what was turned. */
  toTell: MidiNote | null = null;
  /** The form that is open, and the gauge readings of the visit on the desk. */
  form: OpenForm | null = null;
  readings: readonly GaugeReading[] = [];
  /** The report of the visit on the desk, once it was made. */
  report: ReportedVisit | null = null;
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

  openFiles(files: readonly File[]): void {
    this.files = files;
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
      this.choices = { ...choices, visit: null };
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

  /**
   * Lays recordings on the desk as one round: it stands in memory, until it is kept. What could not be read is told.
   * @param signal gives up: the desk is then as it was.
   */
  async openRecorded({ recordings, left }: ReadRecordings, signal: AbortSignal): Promise<void> {
    await this.attempt(async () => {
      const { recordedRound } = await import('./recordedRound.ts');
      const seated = await recordedRound(recordings, new Date().toISOString(), newId);
      if (signal.aborted) return;
      await this.#seat(seated.store, seated.piano, seated.visit, seated.round);
      if (signal.aborted) {
        if (this.sitting?.visit.id === seated.visit.id) this.sitting = null;
        return;
      }
      const warnings = recordings.flatMap((recording) => recording.warnings.map(({ message }) => message));
      this.readOnly = true;
      this.recorded = { seated, said: [...new Set(warnings)] };
      for (const { file, found, expected } of left) {
        this.tell(`${LEFT_FILE}${file}`, `${file} is not in this round`, `Found ${found}; expected ${expected}.`);
      }
      this.screen = 'round';
    });
    // Why it failed is told there.
    if (this.screen === 'file' && !signal.aborted) await this.home();
  }

  /** Keeps the recordings on the desk as a closed round of today's visit, which it then is. */
  async keepRound(choice: KeepChoice): Promise<void> {
    const { recorded, sitting } = this;
    if (!recorded || !sitting || this.keeping) return;
    this.keeping = true;
    this.changed();
    await this.attempt(async () => {
      void persist();
      const { keepRecorded } = await import('./recordedRound.ts');
      // What other tabs have done meanwhile counts as well.
      this.shelves = await readShelves(this.#needed());
      const { summary } = sitting.book;
      const now = new Date().toISOString();
      const kept = await keepRecorded(this.#needed(), this.shelves, recorded.seated, summary, choice, now, newId);
      this.recorded = null;
      await this.#layOut(kept.piano, kept.visit, kept.round);
    });
    this.keeping = false;
    await this.#readShelves();
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

  /** Begins the next round of the visit on the desk, and goes to the sound check. */
  async beginNext(plan: NotePlan): Promise<void> {
    const { sitting } = this;
    if (!sitting || this.readOnly) return;
    await this.attempt(async () => {
      const round = await nextRound(this.#needed(), sitting, this.rounds, plan, newId);
      await this.#layOut(sitting.piano, sitting.visit, round);
      await this.listen('check');
    });
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
      // The other tab may have closed the round meanwhile, or said more of piano and visit.
      const round = (await this.#needed().get('rounds', sitting.book.round.id)) ?? sitting.book.round;
      const piano = (await this.#needed().get('pianos', sitting.piano.id)) ?? sitting.piano;
      const visit = (await this.#needed().get('visits', sitting.visit.id)) ?? sitting.visit;
      await this.#layOut(piano, visit, round);
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
    this.readings = await store.list('gauges', { visitId: visit.id });
    const { referenceId } = round.setting ?? visit;
    const reference = referenceId === null ? null : await store.get('references', referenceId);
    const book = new RoundBook(round, await store.list('takes', { roundId: round.id }), reference);
    book.withhold((await VisitWork.read(store, visit, piano, this.rounds, newId)).toAskIn(round));
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
    this.recorded = null;
    this.work = this.form = this.report = null;
    this.notices = this.notices.filter(({ code }) => !code.startsWith(LEFT_FILE));
    this.sitting = this.note = this.look = null;
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

export function newId(): string {
  return crypto.randomUUID();
}
