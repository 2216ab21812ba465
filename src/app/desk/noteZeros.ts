/**
 * The zero of each note kept between two rounds: both are timed by the template that the piano keeps of the note.
 *
 * One note at a time, because its sound is large. A note is left out where one round's sound is gone, or was taken at another
 * rate; the comparison then says what its two zeros may have done.
 */

import type { HeardSound } from '../../analysis/oneTemplate.ts';
import type { NoteTemplate, Take } from '../../record/types.ts';
import type { MidiNote, Seconds } from '../../units.ts';
import type { Store } from '../../storage/store.ts';
import type { Refining } from '../sitting/refiner.ts';

/** What was found already, by the takes. */
const known = new WeakMap<Store, Map<string, Seconds | null>>();

/**
 * By how much each note's onsets are later in one round than in an earlier one of the same piano, against one template.
 * @param earlier - takes of the earlier round that count
 * @param later - those of the later one
 * @throws RefinerError, StoreError (as a rejection)
 */
export async function noteZeros(
  store: Store,
  pianoId: string,
  earlier: readonly Take[],
  later: readonly Take[],
  refiner: Refining,
): Promise<[MidiNote, Seconds][]> {
  const found = known.get(store) ?? new Map<string, Seconds | null>();
  known.set(store, found);
  const heard = new Set(later.map(({ midi }) => midi));
  const midis = [...new Set(earlier.map(({ midi }) => midi))].filter((midi) => heard.has(midi)).sort((a, b) => a - b);
  let templates: ReadonlyMap<MidiNote, NoteTemplate> | null = null;
  const zeros: [MidiNote, Seconds][] = [];
  for (const midi of midis) {
    const [before, after] = [earlier, later].map((takes) => takes.filter((take) => take.midi === midi));
    const label = [...before, ...after].map(({ id, pieces }) => `${id} ${pieces}`).join(' ');
    if (!found.has(label)) {
      templates ??= new Map((await store.list('templates', { pianoId })).map((each) => [each.midi, each]));
      const template = templates.get(midi) ?? null;
      const sounds = {
        before: await soundsOf(before, template, (id) => store.sound(id)),
        after: await soundsOf(after, template, (id) => store.sound(id)),
      };
      const possible = sounds.before.length > 0 && sounds.after.length > 0;
      const late = possible ? (await refiner.ask({ type: 'zero', midi, template, ...sounds })).late : null;
      found.set(label, late);
    }
    const late = found.get(label) ?? null;
    if (late !== null) zeros.push([midi, late]);
  }
  return zeros;
}

/** The sound of takes with what was heard in it; of the take that gave the template, its own where the rest is gone. */
async function soundsOf(
  takes: readonly Take[],
  template: NoteTemplate | null,
  sound: (takeId: string) => Promise<Int16Array<ArrayBuffer> | null>,
): Promise<HeardSound[]> {
  const sounds: HeardSound[] = [];
  for (const take of takes) {
    const { id, sampleRate, heard } = take;
    const samples = await sound(id);
    if (samples) sounds.push({ sampleRate, samples, strokes: heard.strokes });
    else if (template?.takeId === id) sounds.push(ofTemplate(take, template));
  }
  return sounds;
}

/** The strokes of a take, on the clock of the template that was cut from it. */
function ofTemplate({ heard, sampleRate }: Take, { midi, strokes, samples }: NoteTemplate): HeardSound {
  const first = heard.strokes.find(
    (stroke) =>
      stroke.midi === midi && stroke.passage === 'slow' && stroke.kind === 'sounded' && stroke.onsetSeconds !== null,
  );
  const from = first ? (Math.round(first.onsetSeconds! * sampleRate) - strokes[0]) / sampleRate : 0;
  const shifted = heard.strokes.map((stroke) => ({
    ...stroke,
    timeSeconds: stroke.timeSeconds - from,
    onsetSeconds: stroke.onsetSeconds === null ? null : stroke.onsetSeconds - from,
  }));
  return {
    sampleRate,
    samples,
    strokes: shifted.filter(({ timeSeconds }) => timeSeconds * sampleRate < samples.length),
  };
}
