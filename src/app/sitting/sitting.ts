/**
 * A sitting: one round being heard. What the ear tells goes in; takes are kept, the round is judged, and what the screen
 * shows comes out.
 *
 * A take that ended is durable before the next one's end is worked on; until then its sound is in the store already, but for its
 * last second.
 */

import type { ListenEvent } from '../../analysis/listening/events.ts';
import { PASSAGES_OF, type Pattern, type PlanStep } from '../../piano/plan.ts';
import { RECORD_VERSION, type Piano, type Take, type TakeGap, type Visit } from '../../record/types.ts';
import { StoreError, type Store } from '../../storage/store.ts';
import type { Decibels, Hertz, MidiNote, Seconds } from '../../units.ts';
import type { FromListener, ToListener } from '../../workers/listening.ts';
import { AgainAndAgain } from './againAndAgain.ts';
import type { Refining } from './refiner.ts';
import type { RoundBook } from './roundBook.ts';
import { RunningTake } from './runningTake.ts';
import { strokesOf } from './soFar.ts';
import { TakeKeeper } from './takeKeeper.ts';
import { templateOf } from './template.ts';
import { WHY_NOT } from './whyNot.ts';

type Ended = Extract<ListenEvent, { type: 'take-ended' }>;

/** What a sitting is made of. */
export interface SittingParts {
  readonly store: Store;
  readonly refiner: Refining;
  /** Judges rounds, which takes longer: another worker. */
  readonly judge: Refining;
  readonly book: RoundBook;
  readonly piano: Piano;
  readonly visit: Visit;
  readonly sampleRate: () => Hertz;
  /** To the listening worker. */
  readonly tell: (message: ToListener) => void;
  readonly newId: () => string;
  readonly now: () => Date;
  /** Something is to be shown anew. */
  readonly changed: () => void;
}

/** How the last take ended. */
export interface Finished {
  readonly midi: MidiNote;
  readonly kept: boolean;
  readonly clear: number;
  readonly of: number;
  /** Why it was not kept, or that it is in memory only; else empty. */
  readonly words: string;
}

export interface Levels {
  readonly peakDb: Decibels;
  readonly roomDb: Decibels | null;
  readonly clippedAt: Seconds | null;
  readonly lastStrokeDb: Decibels | null;
}

/** Fewer strokes than this are left out without a word. */
const WORTH_A_WORD = 3;
/** Strokes that clipped are told of so long. */
const CLIPPED_FOR: Seconds = 6;

export class Sitting {
  readonly keeper: TakeKeeper;
  running: RunningTake | null = null;
  finished: Finished | null = null;
  /** A note played once, left out. */
  stray: { readonly midi: MidiNote; readonly at: number } | null = null;
  levels: Levels = { peakDb: -120, roomDb: null, clippedAt: null, lastStrokeDb: null };
  /** Gaps of the sound in the running take, or in the last one. */
  gaps = 0;
  paused = false;
  /** When the hand last rested, and for how long it has played since. */
  restedAt: number;
  #ending: Promise<void> = Promise.resolve();
  readonly #judging = new AgainAndAgain(
    () => this.#judge(),
    () => this.parts.changed(),
  );
  /** Notes of this piano that have a template; null until asked. */
  #templates: Set<MidiNote> | null = null;

  constructor(private parts: SittingParts) {
    this.keeper = new TakeKeeper(parts.store);
    this.restedAt = parts.now().getTime();
    this.#askForWanted();
  }

  get book(): RoundBook {
    return this.parts.book;
  }

  get visit(): Visit {
    return this.parts.visit;
  }

  get store(): Store {
    return this.parts.store;
  }

  /** A take's sound as it is kept; null where none is. */
  sound(takeId: string): Promise<Int16Array<ArrayBuffer> | null> {
    return this.parts.store.sound(takeId);
  }

  /** By which microphone it is heard from now on: kept with the round, so that two rounds know whether they compare. */
  async heardBy(microphone: string | null): Promise<void> {
    const { store, book } = this.parts;
    const known = book.round;
    const round = book.heardBy(microphone);
    // Where the store refuses now, it is written when the round is put away.
    if (round !== known) await store.put('rounds', { ...round, summary: book.summary }).catch(() => undefined);
  }

  get piano(): Piano {
    return this.parts.piano;
  }

  /** Piano or visit as they are said to be by now. */
  renew(change: Partial<Pick<SittingParts, 'piano' | 'visit'>>): void {
    this.parts = { ...this.parts, ...change };
  }

  /** All that is being kept has been, and judged. */
  async settled(): Promise<void> {
    await this.#ending;
    await this.#judging.running;
  }

  /** Whether the verdicts are those before the last take. */
  get judging(): boolean {
    return this.#judging.running !== null;
  }

  /** What the listening worker says. */
  heard(event: FromListener): void {
    const { running } = this;
    switch (event.type) {
      case 'level': {
        const now = this.parts.now().getTime() / 1000;
        const before = this.levels.clippedAt;
        const clippedAt = event.clipped ? now : before !== null && now - before < CLIPPED_FOR ? before : null;
        this.levels = { ...this.levels, peakDb: event.peakDb, roomDb: event.roomDb, clippedAt };
        break;
      }
      case 'struck':
        running?.struck(event.frame, event.levelDb);
        break;
      case 'named':
        running?.named(event.frame);
        break;
      case 'take-begun':
        this.#begin(event);
        break;
      case 'stroke':
        this.levels = { ...this.levels, lastStrokeDb: event.stroke.levelDb };
        if (running?.take === event.take) running.stroke(event.stroke);
        break;
      case 'stray':
        this.stray = { midi: event.midi, at: this.parts.now().getTime() };
        break;
      case 'piece':
        if (running?.take === event.take) {
          this.keeper.piece({ takeId: running.id, index: event.index, samples: event.samples });
        }
        break;
      case 'gap':
        this.gaps++;
        break;
      case 'so-far':
        // A refinement that is refused or closed leaves what the audio thread said.
        void running?.soFar(event).catch(() => undefined);
        return;
      case 'take-ended':
        if (running?.take === event.take) this.#end(running, event);
        break;
      default:
        return;
    }
    this.parts.changed();
  }

  undo(): Promise<void> {
    return this.#then(async () => {
      const { last } = this.book;
      if (!last) return;
      const undone = { ...last, undone: true };
      if (!this.keeper.replaceHeld(undone)) await this.parts.store.put('takes', undone);
      this.book.replace(undone);
      if (!this.book.playedNotes.includes(last.midi)) this.parts.tell({ type: 'forget', midi: last.midi });
      this.finished = null;
      this.#judging.ask();
      this.#askForWanted();
    });
  }

  pause(): void {
    this.paused = true;
    this.parts.tell({ type: 'rest' });
    this.parts.changed();
  }

  goOn(): void {
    this.paused = false;
    this.restedAt = this.parts.now().getTime();
    // The ear may have come after the sitting: it does not know yet.
    this.#askForWanted();
    this.parts.tell({ type: 'go-on' });
    this.parts.changed();
  }

  /** Tries once more to keep the takes that are in memory only. */
  retry(): Promise<void> {
    return this.#then(() => this.keeper.retry());
  }

  /** Waits for what is being kept, and tries the rest once more. @throws StoreError (as a rejection) where takes stay in memory only. */
  async keepAll(): Promise<void> {
    await this.settled();
    if (this.keeper.held.length > 0) await this.retry();
    const { failure, held } = this.keeper;
    if (held.length === 0) return;
    const remedy = 'Make room, or go on listening and save the take as a file there.';
    throw new StoreError(failure?.code ?? 'failed', 'A take is held in memory only.', remedy);
  }

  /** Passes over the wanted note; a take of it that runs is ended and kept if it counts. */
  skip(): void {
    if (this.running) this.#passedOver.add(this.running.id);
    this.parts.tell({ type: 'cut' });
    void this.#then(async () => {
      this.book.skip();
      this.#askForWanted();
    });
  }

  /** It was said whether this note had been adjusted: its takes count. */
  answered(midi: MidiNote): void {
    this.book.release(midi);
    this.#judging.ask();
    this.parts.changed();
  }

  /** Plays a note so next. */
  ask(step: PlanStep): void {
    this.book.ask(step);
    this.#askForWanted();
    this.parts.changed();
  }

  /** This key jams: what is played of it counts for nothing, and is kept with that mark. */
  jams(): void {
    const { running } = this;
    if (running) this.#jammed.add(running.id);
    // Another note than the wanted one may jam: the wanted one stays wanted.
    if (running && running.midi !== this.book.wanted?.midi) this.parts.tell({ type: 'cut' });
    else this.skip();
  }
  readonly #jammed = new Set<string>();
  /** Running takes that were ended by passing over their note: they do not bring it back. */
  readonly #passedOver = new Set<string>();

  #begin(begun: Extract<ListenEvent, { type: 'take-begun' }>): void {
    const { parts } = this;
    const asked: Pattern = this.book.askedOf(begun.midi);
    const changed = () => parts.changed();
    this.running = new RunningTake(
      parts.newId(),
      begun,
      asked,
      parts.sampleRate(),
      parts.refiner,
      (message) => parts.tell(message),
      changed,
    );
    if (asked !== begun.asked) this.#tellAsked(asked);
    this.finished = null;
    this.stray = null;
    this.gaps = 0;
  }

  #end(running: RunningTake, ended: Ended): void {
    this.running = null;
    const startedAt = new Date(this.parts.now().getTime() - (1000 * ended.samples.length) / running.sampleRate);
    void this.#then(() => this.#finish(running, ended, startedAt.toISOString()));
  }

  async #finish(running: RunningTake, ended: Ended, startedAt: string): Promise<void> {
    const { parts, book } = this;
    const { asked, id, sampleRate } = running;
    const touch = asked === 'bar' ? 'bar' : ended.touch;
    const answer = await parts.refiner
      .ask({
        type: 'refine',
        samples: ended.samples,
        sampleRate,
        file: `${id}.wav`,
        asked,
        touch,
        firstNote: ended.farTuning ? ended.midi : null,
        midi: ended.midi,
        heard: book.playedNotes,
      })
      .catch(() => null);
    const worth = answer?.result.worth ?? 'no-struck-string';
    const jammed = this.#jammed.has(id);
    if (!answer || (worth !== 'enough' && !jammed)) {
      this.keeper.drop(id);
      const strokes = running.strokes.length;
      if (strokes >= WORTH_A_WORD && worth !== 'enough') {
        this.finished = { midi: ended.midi, kept: false, clear: 0, of: strokes, words: WHY_NOT[worth] };
      }
      this.#askForWanted();
      return;
    }
    const { document, result } = answer;
    const clock = ended.gaps.map((gap): TakeGap => ({ ...gap, kind: 'clock' }));
    // The zeros in the place of what never came are found as well: they are told once.
    const found = result.gaps.filter(({ frame }) => !clock.some((gap) => Math.abs(gap.frame - frame) <= gap.frames));
    const gaps = [...clock, ...found].sort((a, b) => a.frame - b.frame);
    this.gaps = gaps.length;
    const take: Take = {
      recordVersion: RECORD_VERSION,
      id,
      visitId: parts.visit.id,
      roundId: book.round.id,
      number: book.nextNumber,
      midi: worth === 'enough' ? result.midi : ended.midi,
      asked,
      touch,
      startedAt,
      sampleRate,
      frames: ended.samples.length,
      pieces: ended.pieces,
      gaps,
      heard: document,
      undone: false,
      jammed,
    };
    const kept = await this.keeper.finish(take, ended.samples);
    if (kept && !take.jammed) await this.#keepTemplate(take, ended.samples);
    book.add(take, this.#passedOver.has(id));
    const strokes = strokesOf(document, take.midi);
    this.finished = {
      midi: take.midi,
      kept: true,
      clear: strokes.filter(({ clear }) => clear).length,
      of: strokes.filter(({ kind }) => kind !== 'silent').length,
      words: kept ? '' : 'held in memory only',
    };
    this.#judging.ask();
    this.#askForWanted();
  }

  /** The first take of a note on this piano leaves its template. */
  async #keepTemplate(take: Take, sound: Int16Array<ArrayBuffer>): Promise<void> {
    const { store, piano, newId } = this.parts;
    try {
      this.#templates ??= new Set((await store.list('templates', { pianoId: piano.id })).map(({ midi }) => midi));
      if (this.#templates.has(take.midi)) return;
      const template = templateOf(take, sound, piano.id, newId());
      if (!template) return;
      await store.put('templates', template);
      this.#templates.add(take.midi);
    } catch {
      // The take is kept; without a template a later round is timed by its own.
    }
  }

  /** By a worker of its own: a whole piano takes seconds, and the next take's strokes are not to wait for it. */
  async #judge(): Promise<void> {
    // Judging may be refused, as for another analysis version; the takes are kept all the same.
    await this.book.judge(this.parts.judge).catch(() => undefined);
    // An open note may be asked for now.
    this.#askForWanted();
  }

  /** Tells the listening worker what is asked next. */
  #askForWanted(): void {
    this.#tellAsked(this.book.wanted?.asked ?? 'slow-fast');
  }

  #tellAsked(asked: Pattern): void {
    const fastWanted = PASSAGES_OF[asked].find(({ kind }) => kind === 'fast')?.wanted ?? Infinity;
    this.parts.tell({ type: 'ask', asked, touch: asked === 'bar' ? 'bar' : 'finger', fastWanted });
  }

  /** One thing after the other: ends of takes, undoing, skipping. */
  #then(work: () => Promise<void>): Promise<void> {
    const done = this.#ending.then(work).finally(() => this.parts.changed());
    // What fails is told to whoever asked for it, and to nobody who waits for the rest.
    this.#ending = done.catch(() => undefined);
    return done;
  }
}
