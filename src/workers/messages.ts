/**
 * What the page and the analysing worker say to each other: one request, one answer.
 *
 * The samples travel by transfer in both directions, so that a long recording is never held twice.
 */

import type { AnalysisDocument, Source, Warning } from '../analysis/document.ts';

/** From the page: analyse this. */
export interface AnalyseRequest {
  /** Mono, nominally within ±1, at `source.sampleRate`. Transferred. */
  readonly samples: Float32Array<ArrayBuffer>;
  readonly source: Source;
  /** What the reading of the file already has to say. */
  readonly warnings: readonly Warning[];
}

/** From the worker: the analysis with the samples given back, or why there is none. */
export type AnalyseAnswer =
  | { readonly kind: 'heard'; readonly analysis: AnalysisDocument; readonly samples: Float32Array<ArrayBuffer> }
  | { readonly kind: 'refused'; readonly message: string };
