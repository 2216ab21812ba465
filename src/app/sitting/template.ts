/**
 * The template of a note: the slow strokes by which it was first timed on this piano. Kept with the piano, so that a later
 * round's shift of the same note does not carry the scatter of two zeros.
 */

import { newTemplate } from '../../record/newThings.ts';
import type { NoteTemplate, Take } from '../../record/types.ts';
import type { Seconds } from '../../units.ts';

const LEAST_STROKES = 5;
const BEFORE: Seconds = 0.3;
const AFTER: Seconds = 1;
/** Longer than eight slow strokes need; what is beyond is left out. */
const LONGEST: Seconds = 12;

/** The template that a take makes; null where it has too few slow strokes that sounded. */
export function templateOf(
  take: Take,
  sound: Int16Array<ArrayBuffer>,
  pianoId: string,
  id: string,
): NoteTemplate | null {
  const { sampleRate, midi } = take;
  const onsets = take.heard.strokes
    .filter((stroke) => stroke.midi === midi && stroke.passage === 'slow' && stroke.kind === 'sounded')
    .flatMap(({ onsetSeconds }) => (onsetSeconds === null ? [] : [onsetSeconds]));
  if (onsets.length < LEAST_STROKES) return null;
  const from = Math.max(0, Math.round((onsets[0] - BEFORE) * sampleRate));
  const last = Math.min(onsets[onsets.length - 1] + AFTER, onsets[0] - BEFORE + LONGEST);
  const samples = sound.slice(from, Math.round(last * sampleRate));
  const strokes = onsets
    .map((seconds) => Math.round(seconds * sampleRate) - from)
    .filter((frame) => frame < samples.length);
  return newTemplate({ id, pianoId, midi, takeId: take.id, sampleRate, strokes, samples });
}
