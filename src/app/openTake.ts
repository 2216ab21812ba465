/**
 * From the bytes of a file to strokes, and from those to takes: decoded and analysed in a worker. Nothing leaves the device.
 */

import type { AnalysisDocument } from '../analysis/document.ts';
import type { RecordedTake } from '../analysis/recordedTakes.ts';
import { SoundFileError } from '../soundfiles/index.ts';
import type { Seconds } from '../units.ts';
import type { AnalyseAnswer, AnalyseRequest } from '../workers/messages.ts';
import { decodeInBrowser } from './decodeSound.ts';

/** An analysed recording with its one channel of samples, within about ±1. */
export interface OpenedTake {
  readonly analysis: AnalysisDocument;
  readonly samples: Float32Array<ArrayBuffer>;
}

/** How far the opening of a file has come. */
export type Progress =
  | { readonly step: 'decoding' }
  | { readonly step: 'listening'; readonly seconds: Seconds; readonly of: Seconds }
  /** Takes, from 1, each analysed by itself. */
  | { readonly step: 'timing'; readonly take: number; readonly of: number };

/** Why a file could not be opened, in words for a person. */
export class Refusal extends Error {
  override readonly name = 'Refusal';
  constructor(
    readonly file: string,
    readonly found: string,
    readonly expected: string,
  ) {
    super(`${file}: ${found}; expected ${expected}`);
  }
}

/**
 * Reads, decodes and analyses one recording.
 *
 * @param file name of the file, for messages and for the document.
 * @param read gives the bytes of the whole file.
 * @param signal gives up: the worker is ended and the promise rejects with the signal's reason.
 * @param told how far it has come.
 * @throws Refusal (as a rejection) for whatever keeps the file from being heard.
 */
export async function openTake(
  file: string,
  read: () => Promise<ArrayBuffer>,
  signal: AbortSignal,
  told: (progress: Progress) => void,
): Promise<OpenedTake> {
  const bytes = await read().catch((error: unknown) => {
    throw new Refusal(file, `the file could not be fetched (${wordsOf(error)})`, 'a file that can still be opened');
  });
  signal.throwIfAborted();
  return inWorker(file, new Uint8Array(bytes), signal, told);
}

/**
 * Analyses each take of a recording by itself, as takes are kept; in order of time, none where no string was struck.
 *
 * @param opened the recording; a copy of its samples goes to the worker.
 * @param signal and `told` as for {@link openTake}.
 * @throws Refusal (as a rejection) where the analysis cannot run.
 */
export async function takesOf(
  { analysis, samples }: OpenedTake,
  signal: AbortSignal,
  told: (progress: Progress) => void,
): Promise<readonly RecordedTake[]> {
  const { file } = analysis.source;
  return withWorker<readonly RecordedTake[]>(file, signal, { kind: 'takes', analysis, samples }, [], (answer, done) => {
    if (answer.kind === 'timing') told({ step: 'timing', take: answer.take, of: answer.of });
    else if (answer.kind === 'takes') done(answer.takes);
  });
}

function inWorker(
  file: string,
  bytes: Uint8Array<ArrayBuffer>,
  signal: AbortSignal,
  told: (progress: Progress) => void,
): Promise<OpenedTake> {
  const request: AnalyseRequest = { kind: 'file', file, bytes };
  return withWorker<OpenedTake>(file, signal, request, [bytes.buffer], (answer, done, refuse, ask) => {
    switch (answer.kind) {
      case 'decoding':
        told({ step: 'decoding' });
        break;
      case 'listening':
        told({ step: 'listening', seconds: answer.seconds, of: answer.of });
        break;
      case 'foreign':
        decodeInBrowser(answer.bytes).then(
          (sound) => ask({ kind: 'sound', file, sound }),
          (error: unknown) =>
            refuse(error instanceof SoundFileError ? new Refusal(file, error.found, error.expected) : error),
        );
        break;
      case 'heard':
        done({ analysis: answer.analysis, samples: answer.samples });
    }
  });
}

/** Asks a worker of its own, which ends with the promise. */
function withWorker<Result>(
  file: string,
  signal: AbortSignal,
  request: AnalyseRequest,
  transfer: Transferable[],
  answered: (
    answer: AnalyseAnswer,
    done: (result: Result) => void,
    refuse: (reason: unknown) => void,
    ask: (request: AnalyseRequest) => void,
  ) => void,
): Promise<Result> {
  signal.throwIfAborted();
  const worker = new Worker(new URL('../workers/analyse.worker.ts', import.meta.url), { type: 'module' });
  return new Promise<Result>((resolve, reject) => {
    signal.addEventListener('abort', () => reject(signal.reason), { once: true });
    worker.addEventListener('message', ({ data }: MessageEvent<AnalyseAnswer>) => {
      if (data.kind === 'refused') reject(new Refusal(file, data.found, data.expected));
      else answered(data, resolve, reject, (next) => worker.postMessage(next));
    });
    worker.addEventListener('error', ({ message }) => {
      const found = `the analysis could not run (${message || 'its part of the page did not load'})`;
      reject(new Refusal(file, found, 'a page that is loaded whole: load it again'));
    });
    worker.postMessage(request, transfer);
  }).finally(() => worker.terminate());
}

function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
