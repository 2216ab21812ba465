/**
 * The takes of a recording, as they are kept: each note's stretch of it, analysed by itself.
 *
 * The whole recording is analysed first, to find where each take stands. A stretch is then analysed as a kept take is, so
 * that what was heard in a take can be heard again from its own sound.
 */

import { toSound16 } from '../signal/sound16.ts';
import type { Doubt } from '../strokes/types.ts';
import type { Frames, Hertz, MidiNote, Seconds } from '../units.ts';
import type { AnalysisDocument } from './document.ts';
import { analyseTake, gapsOf, resultOf, type TakeAsked, type TakeResult } from './listening/keptTake.ts';

/** Where one take of a recording stands: frames from `from` up to `to`. */
export interface TakeSpan {
  readonly midi: MidiNote;
  readonly from: Frames;
  readonly to: Frames;
}

/** One take of a recording with its own sound. */
export interface RecordedTake extends TakeSpan {
  readonly sampleRate: Hertz;
  /** 16 bit, mono; `to - from` of them. */
  readonly samples: Int16Array<ArrayBuffer>;
  /** What was heard in them. */
  readonly heard: AnalysisDocument;
  readonly gaps: TakeResult['gaps'];
}

/** Sound before a take's first stroke: its contact, and the room. */
const LEAD: Seconds = 0.8;
/** After its last stroke, where nothing else comes before. */
const TAIL: Seconds = 2.5;
/** Before the next take begins: the attack of its first stroke has begun by then. */
const BEFORE_NEXT: Seconds = 0.05;
/** Doubts that a take is one of a single string: with one of them on every stroke it is no take of a note. */
const NO_STRING: readonly Doubt[] = ['other-sound', 'several-notes'];
/** Slow and fast with a finger: a recording does not say otherwise. */
const KNOWN: TakeAsked = { asked: 'slow-fast', touch: 'finger', firstNote: null };

/**
 * The stretches of a recording's takes, in order of time; they do not overlap. Takes without a note, and those that are other
 * sound or several keys at once throughout, have none.
 *
 * @param document what was heard in the whole recording.
 * @param frames length of the recording, at the document's sample rate.
 */
export function takeSpans({ source, takes, strokes }: AnalysisDocument, frames: Frames): TakeSpan[] {
  const { sampleRate } = source;
  const end = frames / sampleRate;
  const found = takes
    .flatMap((take) => {
      const own = strokes.filter((stroke) => stroke.take === take.take);
      const midi = take.midi ?? own.find((stroke) => stroke.midi !== null)?.midi ?? null;
      const none = own.every(({ doubt }) => doubt.some((reason) => NO_STRING.includes(reason)));
      if (midi === null || none) return [];
      const times = own.flatMap(({ timeSeconds, contactSeconds }) => [timeSeconds, contactSeconds ?? timeSeconds]);
      return [{ midi, first: Math.min(...times), last: Math.max(...times) }];
    })
    .sort((a, b) => a.first - b.first);
  let free = 0;
  return found.flatMap(({ midi, first, last }, i): TakeSpan[] => {
    const next = found[i + 1]?.first ?? Infinity;
    const from = Math.max(free, Math.round(Math.max(0, first - LEAD) * sampleRate));
    const wished = Math.min(last + TAIL, Math.max(last, next - BEFORE_NEXT), end);
    const to = Math.min(frames, Math.round(wished * sampleRate));
    if (to <= from) return [];
    free = to;
    return [{ midi, from, to }];
  });
}

/**
 * Analyses one stretch by itself; null where no take of a single string is heard in it.
 *
 * @param samples the whole recording, mono, within about ±1.
 * @param file name for the document's source.
 * @throws RangeError for a sample rate outside 8 to 96 kHz.
 */
export function recordedTake(
  samples: Float32Array,
  sampleRate: Hertz,
  span: TakeSpan,
  file: string,
): RecordedTake | null {
  const sound = toSound16(samples.subarray(span.from, span.to));
  const hear = (firstNote: MidiNote | null) => {
    const heard = analyseTake({ samples: sound, sampleRate, file }, { ...KNOWN, firstNote });
    return { heard, result: resultOf(heard, span.midi, KNOWN.asked, () => true) };
  };
  let { heard, result } = hear(null);
  // The whole recording names a note by its neighbours as well: a take alone can be taken for another.
  if (result.midi !== span.midi) ({ heard, result } = hear(span.midi));
  if (result.worth === 'no-struck-string' || result.worth === 'several-notes') return null;
  return { ...span, midi: result.midi, sampleRate, samples: sound, heard, gaps: gapsOf(sound, sampleRate) };
}
