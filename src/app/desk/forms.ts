/**
 * The forms as the desk does them: which one is open, over which screen, and what is typed into it kept as it is typed.
 *
 * What can be read is written at once, in the order in which it was typed; what cannot be read stays in its field, and is there again
 * when the form is opened anew, as long as the page lives.
 */

import { newGaugeReading, newPiano } from '../../record/newThings.ts';
import type { GaugeKind, GaugeReading, Piano, Visit } from '../../record/types.ts';
import type { Store } from '../../storage/store.ts';
import type { MidiNote, Millimetres } from '../../units.ts';
import type { LengthUnit } from '../fields/readFields.ts';
import { pianoDraft, readPiano, type PianoDraft } from '../piano/pianoForm.ts';
import { readVisit, visitDraft, type VisitDraft } from '../visit/visitForm.ts';
import { newId, type Desk } from './desk.ts';
import type { Screen } from './hearing.ts';

interface Opened {
  readonly store: Store;
  /** What is shown again when it is left. */
  readonly from: Screen;
  readonly back: OpenForm | null;
}
export interface PianoForm extends Opened {
  readonly screen: 'piano';
  readonly piano: Piano;
  readonly draft: PianoDraft;
  /** What lengths in the draft are written in. */
  readonly unit: LengthUnit;
}
export interface VisitForm extends Opened {
  readonly screen: 'visit';
  readonly piano: Piano;
  readonly visit: Visit;
  readonly draft: VisitDraft;
}
export interface GaugeForm extends Opened {
  readonly screen: 'gauges';
  readonly piano: Piano;
  readonly visit: Visit;
  readonly midi: MidiNote;
}
export type OpenForm = PianoForm | VisitForm | GaugeForm;

/** What is being written for a desk, one thing after the other. */
const writing = new WeakMap<Desk, Promise<void>>();
/** Fields that could not be read when their form was left, by the thing's id. */
const unread = new WeakMap<Desk, Map<string, Readonly<Record<string, unknown>>>>();

/** What was typed of a visit that is just beginning. */
const beginning = new WeakMap<Desk, VisitDraft>();

/** Writes after what is being written, so that what was typed last is what stays. */
function inTurn(desk: Desk, work: () => Promise<unknown>): Promise<void> {
  const before = writing.get(desk) ?? Promise.resolve();
  const done = before.then(() => desk.attempt(work));
  writing.set(desk, done);
  return done;
}

function show(desk: Desk, form: OpenForm): void {
  desk.form = form;
  desk.go(form.screen);
}

/** Over what a form is opened now. */
function over(desk: Desk): Pick<Opened, 'from' | 'back'> {
  return { from: desk.screen, back: desk.form };
}

/** Opens the form of the piano that is chosen before a round, made where it is new; it needs a name. */
export async function openChosenPiano(desk: Desk, unit: LengthUnit): Promise<void> {
  const { store, choices } = desk;
  const name = choices.pianoName.trim();
  if (!store || (choices.pianoId === null && name === '')) return;
  await desk.attempt(async () => {
    let piano = desk.piano;
    if (!piano) {
      piano = newPiano({ id: newId(), name, place: choices.place.trim() || null });
      await store.put('pianos', piano);
      desk.choices = { ...choices, pianoId: piano.id };
      await desk.keptChanged();
    }
    openPiano(desk, store, piano, unit);
  });
}

/** Begins the round as chosen. What could not be read of its visit stands in the visit's form, to be put right there. */
export async function startRound(desk: Desk): Promise<void> {
  const { visit: draft } = desk.choices;
  if (draft) beginning.set(desk, draft);
  // Until the microphone is open, which may take its time.
  await desk.start();
  rememberBeginning(desk);
}

/** Hands what was typed before the round over to the visit that began with it. */
function rememberBeginning(desk: Desk): void {
  const draft = beginning.get(desk);
  const visit = desk.sitting?.visit;
  if (draft && visit) remember(desk, visit.id, draft, readVisit(draft, visit).faults);
  beginning.delete(desk);
}

/** Opens the form of the piano on the desk. */
export function openPianoOnDesk(desk: Desk, unit: LengthUnit): void {
  const { sitting } = desk;
  if (sitting) openPiano(desk, sitting.store, sitting.piano, unit);
}

function openPiano(desk: Desk, store: Store, piano: Piano, unit: LengthUnit): void {
  const draft = { ...pianoDraft(piano, unit), ...unread.get(desk)?.get(piano.id) };
  show(desk, { screen: 'piano', store, ...over(desk), piano, draft, unit });
}

/** Keeps the piano as its form has it now. */
export function typePiano(desk: Desk, draft: PianoDraft): void {
  const { form } = desk;
  if (form?.screen !== 'piano' || desk.readOnly) return;
  const { piano } = readPiano(draft, form.piano, form.unit);
  desk.form = { ...form, draft, piano };
  desk.sitting?.renew({ piano });
  if (desk.work) desk.work.piano = piano;
  void inTurn(desk, () => form.store.put('pianos', piano));
}

/** Writes the lengths of an open piano form in another unit; what could not be read stays as it was typed. */
export function inUnit(desk: Desk, unit: LengthUnit): void {
  const { form } = desk;
  if (form?.screen !== 'piano' || form.unit === unit) return;
  const { faults } = readPiano(form.draft, form.piano, form.unit);
  desk.form = { ...form, draft: { ...pianoDraft(form.piano, unit), ...only(form.draft, faults) }, unit };
  desk.go('piano');
}

/** Opens the form of the visit on the desk. */
export function openVisitForm(desk: Desk): void {
  const { sitting } = desk;
  if (!sitting) return;
  rememberBeginning(desk);
  const { store, piano, visit } = sitting;
  const draft = { ...visitDraft(visit), ...unread.get(desk)?.get(visit.id) };
  show(desk, { screen: 'visit', store, ...over(desk), piano, visit, draft });
}

/** Keeps the visit as its form has it now. The round on the desk keeps how it was begun; the next one takes what stands now. */
export function typeVisit(desk: Desk, draft: VisitDraft): void {
  const { form } = desk;
  if (form?.screen !== 'visit' || desk.readOnly) return;
  const { visit } = readVisit(draft, form.visit);
  desk.form = { ...form, draft, visit };
  desk.sitting?.renew({ visit });
  void inTurn(desk, () => form.store.put('visits', visit));
}

/** Opens the gauge readings of a note; without one, of the note that was read last, or the lowest key. */
export function openGauges(desk: Desk, midi: MidiNote | null): void {
  const { sitting } = desk;
  if (!sitting) return;
  const { store, piano, visit } = sitting;
  const last = desk.readings.findLast(({ undone }) => !undone);
  show(desk, { screen: 'gauges', store, ...over(desk), piano, visit, midi: midi ?? last?.midi ?? piano.lowest });
}

/** Turns to the readings of another note. */
export function gaugesOf(desk: Desk, midi: MidiNote): void {
  const { form } = desk;
  if (form?.screen === 'gauges') show(desk, { ...form, midi });
}

/** Keeps a reading; an earlier one of the same kind stays in the record, and counts no more. */
export function keepReading(
  desk: Desk,
  midi: MidiNote,
  when: GaugeReading['when'],
  kind: GaugeKind,
  millimetres: Millimetres,
): void {
  const { form } = desk;
  if (form?.screen !== 'gauges' || desk.readOnly) return;
  const at = new Date().toISOString();
  const reading = newGaugeReading({ id: newId(), visitId: form.visit.id, midi, at, when, kind, millimetres });
  desk.readings = [...desk.readings, reading];
  void inTurn(desk, () => form.store.put('gauges', reading));
}

/** Takes a reading back: it stays in the record, and counts no more. */
export function takeReadingBack(desk: Desk, id: string): void {
  const { form } = desk;
  const known = desk.readings.find((reading) => reading.id === id);
  if (form?.screen !== 'gauges' || !known || desk.readOnly) return;
  const undone = { ...known, undone: true };
  desk.readings = desk.readings.map((reading) => (reading.id === id ? undone : reading));
  void inTurn(desk, () => form.store.put('gauges', undone));
}

/** Leaves the open form; what could not be read is remembered. */
export async function leaveForm(desk: Desk): Promise<void> {
  const { form } = desk;
  if (!form) return;
  if (form.screen === 'piano')
    remember(desk, form.piano.id, form.draft, readPiano(form.draft, form.piano, form.unit).faults);
  if (form.screen === 'visit') remember(desk, form.visit.id, form.draft, readVisit(form.draft, form.visit).faults);
  await writing.get(desk);
  if (form.screen !== 'gauges') await desk.keptChanged();
  // Another form beneath shows what is kept now.
  const { back } = form;
  desk.form = back?.screen === 'visit' && desk.sitting ? { ...back, piano: desk.sitting.piano } : back;
  desk.go(form.from);
}

function remember(desk: Desk, id: string, draft: object, faults: object): void {
  const of = unread.get(desk) ?? new Map<string, Readonly<Record<string, unknown>>>();
  of.set(id, only(draft, faults));
  unread.set(desk, of);
}

/** The fields of a draft that others name. */
function only(draft: object, fields: object): Readonly<Record<string, unknown>> {
  return Object.fromEntries(Object.entries(draft).filter(([field]) => field in fields));
}
