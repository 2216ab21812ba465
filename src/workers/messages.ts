/**
 * What the page and the analysing worker say to each other: one recording, its progress, one answer; then, if asked, its takes.
 *
 * Bytes and samples travel by transfer, so that a long recording is never held twice.
 */

import type { AnalysisDocument } from '../analysis/document.ts';
import type { RecordedTake } from '../analysis/recordedTakes.ts';
import type { Sound } from '../soundfiles/index.ts';
import type { Seconds } from '../units.ts';

/** From the page. */
export type AnalyseRequest =
  /** Decode and analyse this file. */
  | { readonly kind: 'file'; readonly file: string; readonly bytes: Uint8Array<ArrayBuffer> }
  /** Analyse what the browser has decoded of it. */
  | { readonly kind: 'sound'; readonly file: string; readonly sound: Sound }
  /** Analyse each take of a recording by itself; `samples` are all of it, mono. */
  | { readonly kind: 'takes'; readonly analysis: AnalysisDocument; readonly samples: Float32Array<ArrayBuffer> };

/** From the worker. */
export type AnalyseAnswer =
  | { readonly kind: 'decoding' }
  /** So much of it has been heard. */
  | { readonly kind: 'listening'; readonly seconds: Seconds; readonly of: Seconds }
  /** Only the browser may know this format: it decodes in the page alone. The bytes are given back. */
  | { readonly kind: 'foreign'; readonly bytes: Uint8Array<ArrayBuffer> }
  | { readonly kind: 'heard'; readonly analysis: AnalysisDocument; readonly samples: Float32Array<ArrayBuffer> }
  /** This take of so many is being analysed by itself; from 1. */
  | { readonly kind: 'timing'; readonly take: number; readonly of: number }
  | { readonly kind: 'takes'; readonly takes: readonly RecordedTake[] }
  /** What was found and what was expected. */
  | { readonly kind: 'refused'; readonly found: string; readonly expected: string };
