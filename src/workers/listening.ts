/**
 * What the page, the listening worker and the refining worker say to each other.
 *
 * The listening worker gets the sound straight from the audio thread over a port of its own, so that a busy page loses nothing.
 * It names notes, cuts takes and hands their sound on. The refining worker analyses: the running take again and again as
 * strokes come, each finished take once, and the round.
 */

import type { ComparisonDocument, RoundSaid } from '../analysis/compare.ts';
import type { AnalysisDocument, PooledDocument } from '../analysis/document.ts';
import type { Asked, ListenEvent, Touch } from '../analysis/listening/events.ts';
import type { TakeResult } from '../analysis/listening/keptTake.ts';
import type { ListenerOptions } from '../analysis/listening/listener.ts';
import type { HeardSound, KeptTemplate } from '../analysis/oneTemplate.ts';
import type { HandReference } from '../analysis/reference.ts';
import type { Hertz, MidiNote, Seconds } from '../units.ts';

export type { Asked, ListenEvent, Touch };

/** To the listening worker. */
export type ToListener =
  /** Begin: `port` brings the sound of the audio thread. Transferred. Again after the microphone was opened again. */
  | ({ readonly type: 'begin'; readonly port: MessagePort } & ListenerOptions)
  /** What is asked from the next take on. */
  | { readonly type: 'ask'; readonly asked: Asked; readonly touch: Touch; readonly fastWanted: number }
  /** The note has no take in this round any more. */
  | { readonly type: 'forget'; readonly midi: MidiNote }
  /** What was refined of the running take's sound so far: see Listener.refined. */
  | {
      readonly type: 'refined';
      readonly take: number;
      readonly times: readonly Seconds[];
      readonly analysed: Seconds;
    }
  /** Ends the running take now: it is kept if it counts. */
  | { readonly type: 'cut' }
  /** Ends the running take, hears on, but begins none until `go-on`. */
  | { readonly type: 'rest' }
  | { readonly type: 'go-on' }
  /** Asks for the running take's sound so far: answered by `so-far`. */
  | { readonly type: 'so-far' }
  /** Asks for the sound of the last seconds: answered by `recent`. */
  | { readonly type: 'recent' };

/** From the listening worker. */
export type FromListener =
  | ListenEvent
  /** The running take's sound so far; null while none runs. Transferred. */
  | {
      readonly type: 'so-far';
      readonly running: {
        readonly take: number;
        readonly midi: MidiNote;
        readonly asked: Asked;
        readonly touch: Touch;
        readonly samples: Int16Array<ArrayBuffer>;
      } | null;
    }
  /** The sound of the last seconds. Transferred. */
  | { readonly type: 'recent'; readonly samples: Int16Array<ArrayBuffer> }
  /** Listening broke: `message` says how, for a report. */
  | { readonly type: 'failed'; readonly message: string };

/** To the refining worker. Each is answered once, with the same `request`; in order. */
export type ToRefiner =
  | {
      readonly type: 'refine';
      readonly request: number;
      /** The take's sound, so far or whole. */
      readonly samples: Int16Array<ArrayBuffer>;
      readonly sampleRate: Hertz;
      readonly file: string;
      readonly asked: Asked;
      readonly touch: Touch;
      /** The note, where the piano stands so far off that it must be told. */
      readonly firstNote: MidiNote | null;
      /** Its name while it was played, and the notes that have a take in this round. */
      readonly midi: MidiNote;
      readonly heard: readonly MidiNote[];
    }
  /** Judges a round from its takes' documents, held against a stored hand (`evenfall.reference/1`) where there is one. */
  | {
      readonly type: 'judge';
      readonly request: number;
      readonly documents: readonly AnalysisDocument[];
      readonly reference: unknown;
    }
  /** Compares two rounds from their takes' documents: before the work, and after. */
  | {
      readonly type: 'compare';
      readonly request: number;
      readonly before: readonly AnalysisDocument[];
      readonly after: readonly AnalysisDocument[];
      readonly reference: unknown;
      /** Notes timed by one template in both, and by how much after is later: see `zero`. */
      readonly zeros: readonly (readonly [MidiNote, Seconds])[];
      /** How each was played, as said. */
      readonly said: { readonly before: RoundSaid; readonly after: RoundSaid };
      /** Notes of which all of before is fresh. */
      readonly fresh: readonly MidiNote[];
      /** Notes turned in between; not given: not known. */
      readonly worked?: readonly MidiNote[];
      /** First keys of the piano's sections after the lowest; not given: the usual ones. */
      readonly breaks?: readonly MidiNote[];
    }
  /** By how much a note's onsets are later in one round than in the other, against one template. One note at a time, for its sound is large. */
  | {
      readonly type: 'zero';
      readonly request: number;
      readonly midi: MidiNote;
      readonly template: KeptTemplate | null;
      readonly before: readonly HeardSound[];
      readonly after: readonly HeardSound[];
    }
  /** Learns the hand from takes of notes known to be in order. */
  | { readonly type: 'learn'; readonly request: number; readonly documents: readonly AnalysisDocument[] }
  /** Reads a hand from a file's text; answered like `learn`. */
  | { readonly type: 'read-hand'; readonly request: number; readonly text: string; readonly name: string };

export type FromRefiner =
  | {
      readonly type: 'refined';
      readonly request: number;
      readonly document: AnalysisDocument;
      readonly result: TakeResult;
    }
  | { readonly type: 'judged'; readonly request: number; readonly round: PooledDocument }
  | {
      readonly type: 'compared';
      readonly request: number;
      /** The round before, judged. */
      readonly before: PooledDocument;
      readonly comparison: ComparisonDocument;
    }
  /** Null where that cannot be said. */
  | { readonly type: 'zero'; readonly request: number; readonly late: Seconds | null }
  | { readonly type: 'learned'; readonly request: number; readonly reference: HandReference }
  /** `message`: what was found and what was expected. */
  | { readonly type: 'refused'; readonly request: number; readonly message: string };
