/**
 * From the bytes of a file to strokes: decoded in the page, analysed in a worker. Nothing leaves the device.
 */

import type { AnalysisDocument, Warning } from '../analysis/document.ts';
import { SoundFileError, lossyWords, toMono } from '../soundfiles/index.ts';
import type { AnalyseAnswer, AnalyseRequest } from '../workers/messages.ts';
import { decodeSound } from './decodeSound.ts';

/** An analysed recording with its one channel of samples, within about ±1. */
export interface OpenedTake {
  readonly analysis: AnalysisDocument;
  readonly samples: Float32Array;
}

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
 * @throws Refusal (as a rejection) for whatever keeps the file from being heard.
 */
export async function openTake(
  file: string,
  read: () => Promise<ArrayBuffer>,
  signal: AbortSignal,
): Promise<OpenedTake> {
  const bytes = await read().catch((error: unknown) => {
    throw new Refusal(file, `the file could not be fetched (${wordsOf(error)})`, 'a file that can still be opened');
  });
  signal.throwIfAborted();
  const sound = await decodeSound(new Uint8Array(bytes)).catch((error: unknown) => {
    if (error instanceof SoundFileError) throw new Refusal(file, error.found, error.expected);
    throw error;
  });
  signal.throwIfAborted();
  const mono = toMono(sound);
  const warnings: Warning[] =
    mono.how === 'only'
      ? []
      : [{ code: mono.how === 'mixed' ? 'channels-mixed' : 'channel-chosen', message: mono.reason }];
  const lossy = lossyWords(sound);
  if (lossy) warnings.push({ code: 'lossy', message: lossy });
  const { sampleRate, channels } = sound;
  const source = { file, sampleRate, channels: channels.length, durationSeconds: mono.samples.length / sampleRate };
  // A copy only if the decoder handed out shared memory, which cannot be transferred.
  const samples = ownsItsMemory(mono.samples) ? mono.samples : new Float32Array(mono.samples);
  return analyseInWorker({ samples, source, warnings }, signal);
}

function ownsItsMemory(samples: Float32Array): samples is Float32Array<ArrayBuffer> {
  return samples.buffer instanceof ArrayBuffer;
}

function analyseInWorker(request: AnalyseRequest, signal: AbortSignal): Promise<OpenedTake> {
  const { file } = request.source;
  const worker = new Worker(new URL('../workers/analyse.worker.ts', import.meta.url), { type: 'module' });
  return new Promise<OpenedTake>((resolve, reject) => {
    signal.addEventListener('abort', () => reject(signal.reason), { once: true });
    worker.addEventListener('message', ({ data }: MessageEvent<AnalyseAnswer>) => {
      if (data.kind === 'heard') resolve({ analysis: data.analysis, samples: data.samples });
      else reject(new Refusal(file, data.message, 'a recording that can be analysed'));
    });
    worker.addEventListener('error', ({ message }) => {
      const found = `the analysis could not run (${message || 'its part of the page did not load'})`;
      reject(new Refusal(file, found, 'a page that is loaded whole: load it again'));
    });
    worker.postMessage(request, [request.samples.buffer]);
  }).finally(() => worker.terminate());
}

function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
