/** The worker in which a recording is decoded and analysed, so that the page stays awake meanwhile. See `messages.ts`. */

import { analyse } from '../analysis/analyse.ts';
import type { AnalysisDocument, Warning } from '../analysis/document.ts';
import { recordedTake, takeSpans, type RecordedTake } from '../analysis/recordedTakes.ts';
import { browserSound, lossyWords, readSound, SoundFileError, toMono, type Sound } from '../soundfiles/index.ts';
import type { AnalyseAnswer, AnalyseRequest } from './messages.ts';

self.addEventListener('message', ({ data }: MessageEvent<AnalyseRequest>) => {
  void heard(data).catch(refuse);
});
// A decoder whose WebAssembly cannot be compiled never answers: only this tells.
self.addEventListener('unhandledrejection', ({ reason }) => refuse(reason));

function refuse(error: unknown): void {
  if (error instanceof SoundFileError) answer({ kind: 'refused', found: error.found, expected: error.expected }, []);
  else {
    const found = error instanceof Error ? error.message : String(error);
    answer({ kind: 'refused', found, expected: 'a recording that can be analysed' }, []);
  }
}

async function heard(request: AnalyseRequest): Promise<void> {
  if (request.kind === 'sound') return listen(request.file, request.sound);
  if (request.kind === 'takes') return part(request.analysis, request.samples);
  const { file, bytes } = request;
  answer({ kind: 'decoding' }, []);
  try {
    listen(file, await readSound(bytes));
  } catch (error) {
    const foreign = error instanceof SoundFileError && error.code === 'unsupported' && browserSound(bytes) !== null;
    if (!foreign) throw error;
    answer({ kind: 'foreign', bytes }, [bytes.buffer]);
  }
}

function listen(file: string, sound: Sound): void {
  const mono = toMono(sound);
  const warnings: Warning[] =
    mono.how === 'only'
      ? []
      : [{ code: mono.how === 'mixed' ? 'channels-mixed' : 'channel-chosen', message: mono.reason }];
  const lossy = lossyWords(sound);
  if (lossy) warnings.push({ code: 'lossy', message: lossy });
  const { sampleRate, channels } = sound;
  const of = mono.samples.length / sampleRate;
  const source = { file, sampleRate, channels: channels.length, durationSeconds: of };
  const reached = (seconds: number) => answer({ kind: 'listening', seconds, of }, []);
  reached(0);
  const analysis = analyse(mono.samples, source, { warnings, reached });
  // A copy: the decoder may have handed out shared memory, or more of it than this channel.
  const samples = new Float32Array(mono.samples);
  answer({ kind: 'heard', analysis, samples }, [samples.buffer]);
}

/** Each take of a recording, analysed by itself. */
function part(analysis: AnalysisDocument, samples: Float32Array): void {
  const { file, sampleRate } = analysis.source;
  const spans = takeSpans(analysis, samples.length);
  const takes: RecordedTake[] = [];
  for (const [i, span] of spans.entries()) {
    answer({ kind: 'timing', take: i + 1, of: spans.length }, []);
    const take = recordedTake(samples, sampleRate, span, `${file}, take ${i + 1}`);
    if (take) takes.push(take);
  }
  answer(
    { kind: 'takes', takes },
    takes.map(({ samples: { buffer } }) => buffer),
  );
}

function answer(message: AnalyseAnswer, transfer: Transferable[]): void {
  self.postMessage(message, { transfer });
}
