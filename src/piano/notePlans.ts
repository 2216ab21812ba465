/**
 * Making note plans: which notes a round asks for, from bass to treble; how long they take; what comes next.
 *
 * Every plan made here asks for the usual pattern, slow then fast; open notes are added at its end as the round shows them.
 */

import { HIGHEST_KEY, isKey, keyName, parseKeyName } from './keys.ts';
import { PASSAGES_OF, type NotePlan, type Pattern, type PlanKind, type PlanStep } from './plan.ts';
import { KEYS_88, USUAL_BREAKS, assertCompass, sectionsOf, type Compass } from './sections.ts';
import type { MidiNote, Seconds } from '../units.ts';

/** Notes on either side of the one in question: a dozen others is the least that the hand is learned from. */
const BESIDE = 6;
/**
 * From the last stroke of a note to the first of the next: the pause that ends a take and the finger's way. An assumption of
 * this program, no outside source.
 */
export const PAUSE_PER_NOTE: Seconds = 3;
/** The bar is lifted, turned end for end and left to come to rest. An assumption, as above. */
const TURNING_THE_BAR: Seconds = 5;
/** A note is opened at most so often: with its first pattern that makes three looks. */
const MOST_OPEN = 2;
const B = 11;
const E = 4;

/** Any note that is played; nothing is asked for. */
export const FREE_PLAN: NotePlan = { kind: 'free', steps: [] };

/** What a round has shown of a note so far. */
export interface ShownNote {
  readonly midi: MidiNote;
  /** Silent and weak repeats in its newest look. */
  readonly failedRepeats: number;
  readonly verdict: 'steady' | 'watch' | 'unstable' | 'insufficient' | null;
}

/**
 * One note in question among others that feel right: `beside` on either side, and where the compass ends or notes are
 * left out, more from further away and from the other side, so that twice `beside` others stand with it.
 *
 * @param leftOut - notes that do not feel right, and so are nothing to hold the one against.
 * @throws RangeError if the note is no key of the piano, or `beside` no whole number from 1.
 */
export function oneNote(
  midi: MidiNote,
  compass: Compass = KEYS_88,
  { beside = BESIDE, leftOut = [] }: { readonly beside?: number; readonly leftOut?: readonly MidiNote[] } = {},
): NotePlan {
  assertOn(midi, compass);
  if (!Number.isInteger(beside) || beside < 1) {
    throw new RangeError(`${beside} notes on either side; expected a whole number from 1`);
  }
  const others = keysOf(compass).filter((key) => key !== midi && !leftOut.includes(key));
  const below = others.filter((key) => key < midi).reverse();
  const above = others.filter((key) => key > midi);
  const low = below.slice(0, Math.max(beside, 2 * beside - above.length));
  const high = above.slice(0, Math.max(beside, 2 * beside - below.length));
  return planOf('one-note', [...low, midi, ...high]);
}

/**
 * The notes given, from bass to treble, each once.
 * @throws RangeError if there is none, or one is no key of the piano.
 */
export function handPicked(midis: readonly MidiNote[], compass: Compass = KEYS_88): NotePlan {
  if (midis.length === 0) throw new RangeError('no note is picked; expected one at least');
  for (const midi of midis) assertOn(midi, compass);
  return planOf('hand-picked', midis);
}

/**
 * All notes of one section.
 *
 * @param index - from 0, the bass.
 * @throws RangeError as {@link sectionsOf}, and if there is no such section.
 */
export function section(breaks: readonly MidiNote[], index: number, compass: Compass = KEYS_88): NotePlan {
  const sections = sectionsOf(breaks, compass);
  const asked = sections[index];
  if (!asked) throw new RangeError(`section ${index}; expected a whole number from 0 to ${sections.length - 1}`);
  return planOf('section', keysOf(asked));
}

/**
 * All notes of the piano.
 * @throws RangeError if the ends are no keys, or stand the wrong way round.
 */
export function compass(lowest: MidiNote = KEYS_88.lowest, highest: MidiNote = KEYS_88.highest): NotePlan {
  assertCompass({ lowest, highest });
  return planOf('compass', keysOf({ lowest, highest }));
}

/**
 * The sampled notes: B and E of each octave and both ends of each section (common practice: these are set with a gauge and
 * the others matched to them).
 * @throws RangeError as {@link sectionsOf}.
 */
export function sampled(breaks: readonly MidiNote[] = USUAL_BREAKS, compass: Compass = KEYS_88): NotePlan {
  const ends = sectionsOf(breaks, compass).flatMap(({ lowest, highest }) => [lowest, highest]);
  const samples = keysOf(compass).filter((midi) => midi % 12 === B || midi % 12 === E);
  return planOf('sampled', [...samples, ...ends]);
}

/** Notes that nobody touched, heard again beside those that were turned: they say how far the hand itself has changed. */
export const UNTOUCHED = 10;

/**
 * What to hear after work: the turned notes, a neighbour on either side of each, and ten that nobody touched, spread over the
 * compass. Seat each turned note with a few firm blows first (common practice, no source).
 *
 * @param turned - one at least.
 * @param inOrder - notes heard before and found in order; where they are fewer than ten, sampled notes fill them up.
 * @throws RangeError if nothing was turned, or a note is no key of the piano.
 */
export function afterAdjustment(
  turned: readonly MidiNote[],
  inOrder: readonly MidiNote[],
  compass: Compass = KEYS_88,
): NotePlan {
  if (turned.length === 0) throw new RangeError('no note was turned; expected one at least');
  for (const midi of turned) assertOn(midi, compass);
  const keys = keysOf(compass);
  const left = (midi: MidiNote) => keys.findLast((key) => key < midi && !turned.includes(key));
  const right = (midi: MidiNote) => keys.find((key) => key > midi && !turned.includes(key));
  const beside = turned.flatMap((midi) => [left(midi), right(midi)]).filter((midi) => midi !== undefined);
  const taken = new Set([...turned, ...beside]);
  const free = (midis: readonly MidiNote[]) => midis.filter((midi) => keys.includes(midi) && !taken.has(midi));
  const known = spread(inOrderOf(free(inOrder)), UNTOUCHED);
  const more = free(keys.filter((midi) => midi % 12 === B || midi % 12 === E)).filter((midi) => !known.includes(midi));
  const untouched = [...known, ...spread(more, UNTOUCHED - known.length)];
  return planOf('after-adjustment', [...turned, ...beside, ...untouched]);
}

/**
 * The open notes of the worklist, each asked for with fresh strokes: those that raised the doubt are no fair "before".
 * @throws RangeError if there is none, or one is no key of the piano.
 */
export function openWorklist(midis: readonly MidiNote[], compass: Compass = KEYS_88): NotePlan {
  if (midis.length === 0) throw new RangeError('no note is open; expected one at least');
  for (const midi of midis) assertOn(midi, compass);
  return { kind: 'open-worklist', steps: inOrderOf(midis).map((midi) => ({ midi, asked: 'open' })) };
}

/** So many of them, evenly spread; all where there are fewer. */
export function spread(midis: readonly MidiNote[], count: number): MidiNote[] {
  if (midis.length <= count) return [...midis];
  return Array.from({ length: count }, (_, i) => midis[Math.floor(((i + 0.5) * midis.length) / count)]);
}

/**
 * Reads notes and stretches of notes, such as "A4, C#5 Bb2-D3": from bass to treble, each once.
 * @throws RangeError naming the part that was not understood, or that this piano has not.
 */
export function parseNoteList(text: string, compass: Compass = KEYS_88): MidiNote[] {
  const plain = text
    .replaceAll('♯', '#')
    .replaceAll('♭', 'b')
    .replace(/\s*[-–]\s*/g, '-');
  const parts = plain.split(/[\s,;]+/).filter((part) => part !== '');
  if (parts.length === 0) throw new RangeError('no note is named; expected names such as "A4, C#5 Bb2-D3"');
  return inOrderOf(parts.flatMap((part) => keysNamed(part, compass)));
}

function keysNamed(part: string, compass: Compass): MidiNote[] {
  const ends = part.split('-');
  if (ends.length > 2) throw new RangeError(`"${part}" is no stretch of notes; expected two names such as "Bb2-D3"`);
  const keys = ends.map((name) => keyNamed(name, part));
  for (const key of keys) assertOn(key, compass, part);
  return keysOf({ lowest: Math.min(...keys), highest: Math.max(...keys) });
}

function keyNamed(name: string, part: string): MidiNote {
  try {
    return parseKeyName(name);
  } catch (error) {
    if (!(error instanceof RangeError) || name === part) throw error;
    throw new RangeError(`in "${part}": ${error.message}`, { cause: error });
  }
}

/**
 * The steps that are still to be played, in order. A take that fits no step, or a step that was played before, changes
 * nothing.
 *
 * @param done - what was played or passed over, in any order: one entry for a take.
 */
export function stepsLeft(plan: NotePlan, done: readonly PlanStep[]): PlanStep[] {
  const spare = counted(done);
  return plan.steps.filter((step) => {
    const played = spare.get(labelOf(step)) ?? 0;
    if (played > 0) spare.set(labelOf(step), played - 1);
    return played === 0;
  });
}

/** What to play next, or null when nothing is left; always null for a free plan. */
export function nextStep(plan: NotePlan, done: readonly PlanStep[]): PlanStep | null {
  return stepsLeft(plan, done)[0] ?? null;
}

/**
 * Minutes of play that a plan takes: strokes wanted at the rates asked for, and {@link PAUSE_PER_NOTE} after each step.
 * Rests of the hand, stray notes and notes played again are not in it.
 *
 * @param done - left out of the count, as in {@link stepsLeft}.
 */
export function minutes(plan: NotePlan, done: readonly PlanStep[] = []): number {
  return stepsLeft(plan, done).reduce((sum, { asked }) => sum + secondsOf(asked), 0) / 60;
}

function secondsOf(asked: Pattern): Seconds {
  const passages = PASSAGES_OF[asked];
  const playing = passages.reduce((sum, { wanted, rate }) => sum + wanted / rate, 0);
  return playing + PAUSE_PER_NOTE + (asked === 'bar' ? TURNING_THE_BAR * (passages.length - 1) : 0);
}

/**
 * The steps to add for open notes, from bass to treble: an `open` step for a note with a silent or weak repeat, or of which
 * the verdict is watch. At most two a note; the second only once the first was played, and none for a note that its fresh
 * strokes have shown to be unstable.
 */
export function openSteps(plan: NotePlan, shown: readonly ShownNote[], done: readonly PlanStep[]): PlanStep[] {
  const asked = counted(plan.steps);
  const left = counted(stepsLeft(plan, done));
  const opened = shown.filter(({ midi, failedRepeats, verdict }) => {
    const label = labelOf({ midi, asked: 'open' });
    const times = asked.get(label) ?? 0;
    const settled = verdict === 'unstable' && times > 0;
    const open = verdict === 'watch' || (failedRepeats > 0 && !settled);
    return open && times < MOST_OPEN && !left.has(label);
  });
  return inOrderOf(opened.map(({ midi }) => midi)).map((midi) => ({ midi, asked: 'open' }));
}

/** The plan with {@link openSteps} at its end; the same plan if there are none. */
export function withOpenNotes(plan: NotePlan, shown: readonly ShownNote[], done: readonly PlanStep[]): NotePlan {
  const more = openSteps(plan, shown, done);
  return more.length === 0 ? plan : { ...plan, steps: [...plan.steps, ...more] };
}

function planOf(kind: PlanKind, midis: readonly MidiNote[]): NotePlan {
  return { kind, steps: inOrderOf(midis).map((midi) => ({ midi, asked: 'slow-fast' })) };
}

function inOrderOf(midis: readonly MidiNote[]): MidiNote[] {
  return [...new Set(midis)].sort((a, b) => a - b);
}

function keysOf({ lowest, highest }: Compass): MidiNote[] {
  return Array.from({ length: highest - lowest + 1 }, (_, i) => lowest + i);
}

function labelOf({ midi, asked }: PlanStep): string {
  return `${midi} ${asked}`;
}

function counted(steps: readonly PlanStep[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const step of steps) counts.set(labelOf(step), (counts.get(labelOf(step)) ?? 0) + 1);
  return counts;
}

/** `part`: what the person wrote, for the message. */
function assertOn(midi: MidiNote, compass: Compass, part?: string): void {
  assertCompass(compass);
  if (!isKey(midi))
    throw new RangeError(`${midi} is no piano key; expected a whole number from 21 (A0) to ${HIGHEST_KEY} (C8)`);
  if (midi < compass.lowest || midi > compass.highest) {
    const span = `${keyName(compass.lowest)} to ${keyName(compass.highest)}`;
    throw new RangeError(
      `${part === undefined ? '' : `"${part}": `}${keyName(midi)} is not on this piano; expected ${span}`,
    );
  }
}
