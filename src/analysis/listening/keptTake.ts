/**
 * The document of one kept take: what `analyse` hears in its sound, with what was asked for entered.
 */

import { fromSound16 } from '../../signal/sound16.ts';
import { worthOf } from '../../strokes/taking.ts';
import type { Doubt, Stroke } from '../../strokes/types.ts';
import type { Frames, Hertz, MidiNote } from '../../units.ts';
import { analyse, judged } from '../analyse.ts';
import type { AnalysisDocument } from '../document.ts';
import { findGaps } from '../gaps.ts';
import type { Asked, TakeWorth, Touch } from './events.ts';

export interface TakeSound {
  /** 16 bit, mono. */
  readonly samples: Int16Array;
  readonly sampleRate: Hertz;
  /** Name for the document's source. */
  readonly file: string;
}

export interface TakeAsked {
  readonly asked: Asked;
  readonly touch: Touch;
  /** The note, where the piano stands so far off that it must be told; else null. */
  readonly firstNote: MidiNote | null;
}

/**
 * Analyses a take's sound. `asked` and `touch` are entered in its takes; slow strokes that were asked for as gentle ones, or
 * under a bar, stand in that passage.
 * @throws RangeError for a sample rate outside 8 to 96 kHz.
 */
export function analyseTake({ samples, sampleRate, file }: TakeSound, known: TakeAsked): AnalysisDocument {
  const source = { file, sampleRate, channels: 1, durationSeconds: samples.length / sampleRate };
  const heard = analyse(fromSound16(samples), source, { firstNote: known.firstNote ?? undefined });
  return withAsked(heard, known);
}

/** Enters what was asked; judged anew, because verdicts depend on it. */
function withAsked(heard: AnalysisDocument, { asked, touch }: TakeAsked): AnalysisDocument {
  const takes = heard.takes.map((take) => ({ ...take, asked, touch }));
  const strokes = heard.strokes.map((stroke) => placed(stroke, asked));
  return { ...heard, takes, strokes, ...judged(strokes, takes) };
}

function placed(stroke: Stroke, asked: Asked): Stroke {
  if ((asked !== 'gentle' && asked !== 'bar') || stroke.passage !== 'slow') return stroke;
  return { ...stroke, passage: asked };
}

/** What a take came to once it was analysed. */
export interface TakeResult {
  /** Its note as analysed, which rests on more than its name while it was played. */
  readonly midi: MidiNote;
  readonly worth: TakeWorth;
  /** Where the device put in zeros or played a block twice. */
  readonly gaps: readonly { readonly frame: Frames; readonly frames: Frames; readonly kind: 'zeros' | 'repeated' }[];
}

/** The gaps of a take's sound, in frames. */
export function gapsOf(samples: Int16Array, sampleRate: Hertz): TakeResult['gaps'] {
  return findGaps(fromSound16(samples), sampleRate).map(({ seconds, lengthSeconds, kind }) => ({
    frame: Math.round(seconds * sampleRate),
    frames: Math.round(lengthSeconds * sampleRate),
    kind,
  }));
}

/**
 * Whether a take counts, from its document. `midi`: its name while it was played; `isHeard`: whether a note has a take in
 * the round already.
 */
export function resultOf(
  { strokes }: AnalysisDocument,
  midi: MidiNote,
  asked: Asked,
  isHeard: (midi: MidiNote) => boolean,
): Omit<TakeResult, 'gaps'> {
  const own = ownStrokes(strokes, midi);
  if (own.length === 0) return { midi, worth: 'no-struck-string' };
  const name = own[0].midi!;
  // Several keys at once are no chord where a bar was asked for.
  const against = (doubt: Doubt) => own.filter((stroke) => stroke.doubt.includes(doubt)).length > own.length / 2;
  if (asked !== 'bar' && against('several-notes')) return { midi: name, worth: 'several-notes' };
  if (against('other-sound')) return { midi: name, worth: 'no-struck-string' };
  const times = own.filter(({ kind }) => kind === 'sounded').map(({ timeSeconds }) => timeSeconds);
  return { midi: name, worth: worthOf(times, asked, isHeard(name)) };
}

/** The strokes of the note, or, where it has none, of the one that has most. */
function ownStrokes(strokes: readonly Stroke[], midi: MidiNote): Stroke[] {
  const byNote = new Map<MidiNote, Stroke[]>();
  for (const stroke of strokes) {
    if (stroke.midi !== null) byNote.set(stroke.midi, [...(byNote.get(stroke.midi) ?? []), stroke]);
  }
  return byNote.get(midi) ?? [...byNote.values()].sort((a, b) => b.length - a.length)[0] ?? [];
}
