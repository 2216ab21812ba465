/**
 * The document of one kept take: what `analyse` hears in its sound, with what was asked for entered.
 */

import { fromSound16 } from '../../signal/sound16.ts';
import type { Stroke } from '../../strokes/types.ts';
import type { Hertz, MidiNote } from '../../units.ts';
import { analyse, judged } from '../analyse.ts';
import type { AnalysisDocument } from '../document.ts';
import type { Asked, Touch } from './events.ts';

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
