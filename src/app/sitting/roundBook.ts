/**
 * The book of one round: its takes as they are kept, what was judged of them, and what the plan still wants.
 *
 * Nothing is in the book that is not in the store, but for takes that the store refused: those are held by the keeper.
 */

import type { AnalysisDocument, NoteResult, PooledDocument } from '../../analysis/document.ts';
import { minutes, nextStep, stepsLeft, withOpenNotes, type ShownNote } from '../../piano/notePlans.ts';
import { compassRound } from '../../pictures/compass/compassNote.ts';
import type { NotePlan, Pattern, PlanStep } from '../../piano/plan.ts';
import { donePatterns } from '../../piano/progress.ts';
import { summaryOf } from '../../record/rounds.ts';
import type { Round, StoredReference, Take } from '../../record/types.ts';
import type { AskedNote } from '../../record/worklist.ts';
import type { MidiNote } from '../../units.ts';
import type { Refining } from './refiner.ts';
import { fastRuns, strokesOf, type ShownStroke } from './soFar.ts';

export class RoundBook {
  #takes: Take[];
  #judged: PooledDocument | null = null;
  /** Their takes wait: nobody said yet whether they were adjusted. */
  #withheld: readonly AskedNote[] = [];
  #skipped: PlanStep[] = [];
  /** Steps put in by hand, before those of the plan. */
  #asked: PlanStep[] = [];

  constructor(
    public round: Round,
    takes: readonly Take[],
    readonly reference: StoredReference | null,
  ) {
    this.#takes = [...takes];
  }

  /** Takes that count, in order of play. */
  get takes(): readonly Take[] {
    return this.#played.filter(({ midi }) => !this.#withheld.some((asked) => asked.midi === midi));
  }

  /** By which microphone it is heard from now on; the same round, or a new one where that is another. */
  heardBy(label: string | null): Round {
    const { setting } = this.round;
    // The same device, chosen by itself or as the usual one.
    const microphone = label?.replace(/^(default|communications) - /i, '') ?? null;
    if (microphone === null || setting === null || setting.microphone === microphone) return this.round;
    this.round = { ...this.round, setting: { ...setting, microphone } };
    return this.round;
  }

  /** Those that count or wait, in order of play. */
  get #played(): readonly Take[] {
    return this.#takes.filter(({ undone, jammed }) => !undone && !jammed);
  }

  /** Leaves the takes of these notes out, those still to come as well, until others are given. */
  withhold(asked: readonly AskedNote[]): void {
    this.#withheld = asked;
  }

  /** The takes of this note count from now on. */
  release(midi: MidiNote): void {
    this.#withheld = this.#withheld.filter((asked) => asked.midi !== midi);
  }

  /** Notes with takes that wait, with the round that flagged each. */
  get waiting(): readonly AskedNote[] {
    return this.#withheld.filter((asked) => this.#played.some(({ midi }) => midi === asked.midi));
  }

  /** Number of the next take of the round. */
  get nextNumber(): number {
    return this.#takes.reduce((last, { number }) => Math.max(last, number), 0) + 1;
  }

  /** Notes that have a take, whether or not it waits: the ear knows them. */
  get playedNotes(): MidiNote[] {
    return [...new Set(this.#played.map(({ midi }) => midi))];
  }

  /** Notes that have a take that counts, in order of pitch. */
  get heard(): MidiNote[] {
    return [...new Set(this.takes.map(({ midi }) => midi))].sort((a, b) => a - b);
  }

  /** The round as judged last; null before the first take. */
  get judged(): PooledDocument | null {
    return this.#judged;
  }

  /** Results of the notes that have a take. */
  get notes(): readonly NoteResult[] {
    const heard = new Set(this.heard);
    return this.#judged?.notes.filter(({ midi }) => heard.has(midi)) ?? [];
  }

  /** The plan with what the round has asked for since: open notes at its end. */
  get plan(): NotePlan {
    const { kind, steps } = this.round.plan;
    return withOpenNotes({ kind, steps }, this.#shown(), this.#done());
  }

  /** The round's verdicts, for the list of visits. */
  get summary(): Round['summary'] {
    return this.#judged && summaryOf(this.#judged, this.heard, compassRound(this.#judged).notes);
  }

  /** What to play now; null where nothing is asked for. */
  get wanted(): PlanStep | null {
    return (
      stepsLeft({ kind: 'hand-picked', steps: this.#asked }, this.#donePlayed())[0] ?? nextStep(this.plan, this.#done())
    );
  }

  /** What comes after. */
  get after(): PlanStep | null {
    const wanted = this.wanted;
    if (!wanted) return null;
    const left = stepsLeft(this.plan, this.#done());
    return left.find(({ midi }) => midi !== wanted.midi) ?? null;
  }

  /** Steps done and in all, and how long the rest will take; null without a plan. */
  get progress(): { done: number; of: number; minutesLeft: number } | null {
    const plan = this.plan;
    if (plan.steps.length === 0) return null;
    const left = stepsLeft(plan, this.#done()).length;
    return { done: plan.steps.length - left, of: plan.steps.length, minutesLeft: minutes(plan, this.#done()) };
  }

  /** What a take of this note was asked for, whichever is wanted now. */
  askedOf(midi: MidiNote): Pattern {
    const { wanted } = this;
    if (wanted?.midi === midi) return wanted.asked;
    return stepsLeft(this.plan, this.#done()).find((step) => step.midi === midi)?.asked ?? 'slow-fast';
  }

  /** Strokes of earlier takes that belong to the pattern which this note is in the middle of. */
  earlierStrokes(midi: MidiNote, asked: Pattern): ShownStroke[] {
    const own = this.#played.filter((take) => take.midi === midi && take.asked === asked);
    const done = donePatterns(own.map(playedOf)).length;
    if (done > 0 && asked !== 'open') return [];
    const from = own.findLastIndex((take) => playedOf(take).slow >= LEAST_SLOW);
    const last = own.slice(Math.max(0, from));
    return donePatterns(last.map(playedOf)).length > 0 ? [] : last.flatMap((take) => strokesOf(take.heard, midi));
  }

  /** Puts a step before all others. */
  ask(step: PlanStep): void {
    this.#asked.push(step);
  }

  /** Passes over what is wanted now. */
  skip(): void {
    const { wanted } = this;
    if (!wanted) return;
    const at = this.#asked.findIndex(({ midi, asked }) => midi === wanted.midi && asked === wanted.asked);
    if (at >= 0) this.#asked.splice(at, 1);
    else this.#skipped.push(wanted);
  }

  /** @param passedOver the take was ended by passing over its note. */
  add(take: Take, passedOver = false): void {
    this.#takes.push(take);
    if (passedOver) return;
    // A note that was passed over and is played after all is passed over no more.
    this.#skipped = this.#skipped.filter(({ midi }) => midi !== take.midi);
  }

  replace(take: Take): void {
    this.#takes = this.#takes.map((own) => (own.id === take.id ? take : own));
  }

  /** The player said of one of its takes that the key jams. */
  jams(midi: MidiNote): boolean {
    return this.#takes.some((take) => take.midi === midi && take.jammed && !take.undone);
  }

  /** The last take that was not taken back. */
  get last(): Take | null {
    return this.#played.at(-1) ?? null;
  }

  /** Judges the round as it stands. Rejects as {@link Refining.ask}. */
  async judge(refiner: Refining): Promise<void> {
    const { takes } = this;
    if (takes.length === 0) {
      this.#judged = null;
      return;
    }
    const documents: AnalysisDocument[] = takes.map(({ heard }) => heard);
    const reference = this.reference?.reference ?? null;
    this.#judged = (await refiner.ask({ type: 'judge', documents, reference })).round;
  }

  #shown(): ShownNote[] {
    return this.notes.map(({ midi, verdict }) => ({ midi, verdict, failedRepeats: this.#failedRepeats(midi) }));
  }

  #failedRepeats(midi: MidiNote): number {
    const last = this.takes.filter((take) => take.midi === midi).at(-1);
    return last ? strokesOf(last.heard, midi).filter(({ fast, kind }) => fast && kind !== 'sounded').length : 0;
  }

  #donePlayed(): PlanStep[] {
    return donePatterns(this.#played.map(playedOf));
  }

  #done(): PlanStep[] {
    return [...this.#donePlayed(), ...this.#skipped];
  }
}

const LEAST_SLOW = 5;

function playedOf({ midi, asked, heard }: Take) {
  const strokes = strokesOf(heard, midi);
  const slow = strokes.filter(({ fast, kind }) => !fast && kind === 'sounded').length;
  return { midi, asked, slow, fastPassages: fastRuns(strokes).length };
}
