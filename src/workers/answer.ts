/** What the refining worker answers to a request: the analysis behind the messages, without the worker. */

import { compareDocuments } from '../analysis/compare.ts';
import { analyseTake, gapsOf, resultOf } from '../analysis/listening/keptTake.ts';
import { zeroOf } from '../analysis/oneTemplate.ts';
import { checkReference, learnReference, readReference, type HandReference } from '../analysis/reference.ts';
import { together } from '../analysis/together.ts';
import type { FromRefiner, ToRefiner } from './listening.ts';

/** Answers one request; what is refused is an answer too. */
export function answer(message: ToRefiner): FromRefiner {
  const { request } = message;
  try {
    switch (message.type) {
      case 'refine': {
        const document = analyseTake(message, message);
        const gaps = gapsOf(message.samples, message.sampleRate);
        const { midi, asked, heard } = message;
        const result = { ...resultOf(document, midi, asked, (note) => heard.includes(note)), gaps };
        return { type: 'refined', request, document, result };
      }
      case 'judge': {
        const reference = handOf(message.reference);
        return { type: 'judged', request, round: together(message.documents, { reference }) };
      }
      case 'compare': {
        const reference = handOf(message.reference);
        const [before, after] = [message.before, message.after].map((takes) => together(takes, { reference }));
        const { said, fresh, worked, breaks } = message;
        const zeros = new Map(message.zeros);
        const comparison = compareDocuments(before, after, { reference, zeros, said, fresh, worked, breaks });
        return { type: 'compared', request, before, comparison };
      }
      case 'zero': {
        const { midi, template, before, after } = message;
        return { type: 'zero', request, late: zeroOf(midi, template, before, after) };
      }
      case 'learn':
        return { type: 'learned', request, reference: learnReference(together(message.documents)) };
      case 'read-hand':
        return { type: 'learned', request, reference: readReference(message.text, message.name) };
    }
  } catch (error) {
    return { type: 'refused', request, message: error instanceof Error ? error.message : String(error) };
  }
}

function handOf(stored: unknown): HandReference | undefined {
  return stored === null ? undefined : checkReference(stored, 'the stored hand');
}
