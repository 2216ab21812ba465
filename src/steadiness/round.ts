/**
 * A round as it was played: the strokes of each note, parted into looks.
 *
 * A look is what was played before the player looked again: the first pattern of a note (slow, then fast), then each return
 * to it with fresh strokes. At most {@link MOST_LOOKS} count; what is played after belongs to the last. Where the take says
 * what was asked for, that decides: the first `open` take begins a look, later ones with their slow strokes, because a fast passage
 * may end a take and the rest of the pattern then stands in further ones; a control with full return, a gentle one and a bar
 * begin none. Where nothing is known, a take begins a new look when it brings slow strokes after the look before had fast ones,
 * or when it brings fast ones after the note's first look.
 */

import type { Take, Touch } from '../strokes/types.ts';
import type { MidiNote } from '../units.ts';
import type { RecordedStroke } from './measures.ts';

/** A take, with the index of its recording where several are pooled. */
export type RecordedTake = Take & { readonly source?: number };

export const MOST_LOOKS = 3;

/** One note's play in a round. */
export interface NotePlay {
  readonly midi: MidiNote;
  /** Strokes in order of play, a list a look; at most three. */
  readonly looks: readonly (readonly RecordedStroke[])[];
  /** Its takes, by their numbers. */
  readonly takes: ReadonlyMap<number, RecordedTake>;
}

/** A slow stroke begins a new look only in such company. */
const LEAST_SLOW = 3;
/** What is asked for beside the looks. */
const BESIDE = ['full-return', 'gentle', 'bar', 'just-over-half'];

/** The notes of a round, from bass to treble. Strokes without a note are left out; what may be no take is not to be given. */
export function playOf(strokes: readonly RecordedStroke[], takes: readonly RecordedTake[]): NotePlay[] {
  const known = new Map(takes.map((take) => [take.take, take]));
  const byNote = new Map<MidiNote, RecordedStroke[]>();
  for (const stroke of strokes) {
    if (stroke.midi === null) continue;
    const list = byNote.get(stroke.midi);
    if (list) list.push(stroke);
    else byNote.set(stroke.midi, [stroke]);
  }
  return [...byNote.entries()]
    .sort(([a], [b]) => a - b)
    .map(([midi, own]) => ({ midi, looks: looksOf(own, known), takes: takesOf(own, known) }));
}

function takesOf(own: readonly RecordedStroke[], known: ReadonlyMap<number, RecordedTake>): Map<number, RecordedTake> {
  const found = new Map<number, RecordedTake>();
  for (const { take } of own) {
    const one = known.get(take);
    if (one) found.set(take, one);
  }
  return found;
}

function looksOf(own: readonly RecordedStroke[], known: ReadonlyMap<number, RecordedTake>): RecordedStroke[][] {
  const looks: RecordedStroke[][] = [[]];
  const byTake = new Map<number, RecordedStroke[]>();
  for (const stroke of own) {
    const list = byTake.get(stroke.take);
    if (list) list.push(stroke);
    else byTake.set(stroke.take, [stroke]);
  }
  for (const [take, strokes] of byTake) {
    const current = looks[looks.length - 1];
    if (looks.length < MOST_LOOKS && beginsLook(strokes, current, looks.length, known.get(take)?.asked ?? null)) {
      looks.push([...strokes]);
    } else current.push(...strokes);
  }
  return looks;
}

function beginsLook(
  strokes: readonly RecordedStroke[],
  current: readonly RecordedStroke[],
  look: number,
  asked: string | null,
): boolean {
  const heardFast = current.some(({ passage }) => passage === 'fast');
  if (!heardFast) return false;
  if (asked !== null && BESIDE.includes(asked)) return false;
  const slow = strokes.filter(({ passage }) => passage === 'slow').length;
  const fast = strokes.some(({ passage }) => passage === 'fast');
  return slow >= LEAST_SLOW || (look === 1 && (fast || asked === 'open'));
}

/** What pressed most of the round's slow strokes; a finger where nothing is known. */
export function touchOf(strokes: readonly RecordedStroke[], takes: readonly RecordedTake[]): Touch {
  const touches = new Map(takes.map(({ take, touch }) => [take, touch]));
  const slow = strokes.filter(({ passage }) => passage === 'slow');
  const weights = slow.filter(({ take }) => touches.get(take) === 'weight').length;
  return weights > slow.length / 2 ? 'weight' : 'finger';
}
