/**
 * From the bytes of a file to strokes: decoded and analysed in a worker. Nothing leaves the device.
 */

import type { AnalysisDocument } from '../analysis/document.ts';
import { SoundFileError } from '../soundfiles/index.ts';
import type { Seconds } from '../units.ts';
import type { AnalyseAnswer, AnalyseRequest } from '../workers/messages.ts';
import { decodeInBrowser } from './decodeSound.ts';

/** An analysed recording with its one channel of samples, within about ±1. */
export interface OpenedTake {
  readonly analysis: AnalysisDocument;
  readonly samples: Float32Array;
}

/** How far the opening of a file has come. */
export type Progress =
  { readonly step: 'decoding' } | { readonly step: 'listening'; readonly seconds: Seconds; readonly of: Seconds };

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

function inWorker(
  file: string,
  bytes: Uint8Array<ArrayBuffer>,
  signal: AbortSignal,
  told: (progress: Progress) => void,
): Promise<OpenedTake> {
  const worker = new Worker(new URL('../workers/analyse.worker.ts', import.meta.url), { type: 'module' });
  const ask = (request: AnalyseRequest, transfer: Transferable[]) => worker.postMessage(request, transfer);
  return new Promise<OpenedTake>((resolve, reject) => {
    signal.addEventListener('abort', () => reject(signal.reason), { once: true });
    worker.addEventListener('message', ({ data }: MessageEvent<AnalyseAnswer>) => {
      switch (data.kind) {
        case 'decoding':
          told({ step: 'decoding' });
          break;
        case 'listening':
          told({ step: 'listening', seconds: data.seconds, of: data.of });
          break;
        case 'foreign':
          decodeInBrowser(data.bytes).then(
            (sound) => ask({ kind: 'sound', file, sound }, []),
            (error: unknown) =>
              reject(error instanceof SoundFileError ? new Refusal(file, error.found, error.expected) : error),
          );
          break;
        case 'heard':
          resolve({ analysis: data.analysis, samples: data.samples });
          break;
        case 'refused':
          reject(new Refusal(file, data.found, data.expected));
      }
    });
    worker.addEventListener('error', ({ message }) => {
      const found = `the analysis could not run (${message || 'its part of the page did not load'})`;
      reject(new Refusal(file, found, 'a page that is loaded whole: load it again'));
    });
    ask({ kind: 'file', file, bytes }, [bytes.buffer]);
  }).finally(() => worker.terminate());
}

function wordsOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
