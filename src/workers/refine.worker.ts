/** The worker that refines: takes' sound in, their documents out; documents in, the round's judgement out. See `listening.ts`. */

import { analyseTake, gapsOf, resultOf } from '../analysis/listening/keptTake.ts';
import { checkReference, learnReference, readReference } from '../analysis/reference.ts';
import { together } from '../analysis/together.ts';
import type { FromRefiner, ToRefiner } from './listening.ts';

self.addEventListener('message', ({ data }: MessageEvent<ToRefiner>) => {
  let answer: FromRefiner;
  try {
    answer = answerTo(data);
  } catch (error) {
    const message = error instanceof Error ? error.message : String(error);
    answer = { type: 'refused', request: data.request, message };
  }
  self.postMessage(answer);
});

function answerTo(message: ToRefiner): FromRefiner {
  const { request } = message;
  if (message.type === 'refine') {
    const document = analyseTake(message, message);
    const { midi, asked, heard } = message;
    const gaps = gapsOf(message.samples, message.sampleRate);
    const result = { ...resultOf(document, midi, asked, (note) => heard.includes(note)), gaps };
    return { type: 'refined', request, document, result };
  }
  if (message.type === 'learn') {
    return { type: 'learned', request, reference: learnReference(together(message.documents)) };
  }
  if (message.type === 'read-hand') {
    return { type: 'learned', request, reference: readReference(message.text, message.name) };
  }
  const { reference: stored } = message;
  const reference = stored === null ? undefined : checkReference(stored, 'the stored hand');
  return { type: 'judged', request, round: together(message.documents, { reference }) };
}
