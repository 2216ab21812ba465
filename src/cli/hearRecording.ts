/** One recording, from its name to what was heard in it. */

import { analyse } from '../analysis/analyse.ts';
import { ERROR_SCHEMA, type AnalysisDocument, type ErrorDocument } from '../analysis/document.ts';
import type { HandReference } from '../analysis/reference.ts';
import { SoundFileError } from '../soundfiles/index.ts';
import { readRecording } from './input.ts';

export interface HearOptions {
  /** The key played first, MIDI. */
  readonly firstNote?: number;
  readonly reference?: HandReference;
  /** The sound is wanted as well. */
  readonly keepSound: boolean;
}

export interface HeardRecording {
  readonly document: AnalysisDocument | ErrorDocument;
  /** Mono; null where it could not be read or is not wanted. */
  readonly sound: { readonly samples: Float32Array; readonly sampleRate: number } | null;
}

/** Reads and analyses a recording; one that cannot be read becomes the document that says so. */
export async function hearRecording(
  file: string,
  { firstNote, reference, keepSound }: HearOptions,
): Promise<HeardRecording> {
  try {
    const { samples, source, warnings } = await readRecording(file);
    const document = analyse(samples, source, { firstNote, reference, warnings });
    return { document, sound: keepSound ? { samples, sampleRate: source.sampleRate } : null };
  } catch (error) {
    if (!(error instanceof SoundFileError)) throw error;
    return { document: { schema: ERROR_SCHEMA, file, code: error.code, message: error.message }, sound: null };
  }
}
