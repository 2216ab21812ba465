/**
 * What is kept: piano, visit, round, take, template, hand reference, adjustment, gauge reading, mark of the worklist, hours.
 *
 * Conventions: ids are opaque strings; times are ISO 8601 in UTC; lengths are millimetres; what is not known is null.
 * Every kept thing carries the version of its schema, and every number that analysis made the version of the analysis.
 */

import type { AnalysisDocument, Verdict } from '../analysis/document.ts';
import type { Frames, Hertz, MidiNote, Millimetres } from '../units.ts';

export const RECORD_VERSION = 2;

interface Kept {
  readonly recordVersion: typeof RECORD_VERSION;
  readonly id: string;
}

export interface Piano extends Kept {
  readonly name: string;
  readonly place: string | null;
  readonly kind: 'grand' | 'upright';
  readonly lengthCm: number | null;
  readonly lowest: MidiNote;
  readonly highest: MidiNote;
  /** First key of every section after the lowest one. */
  readonly breaks: readonly MidiNote[];
  readonly highestDamper: MidiNote | null;
  readonly targets: Readonly<Record<GaugeKind, Millimetres | null>>;
  /** Which of the two working orders it is set in. */
  readonly order: 'blow-first' | 'dip-first';
}

export const GAUGE_KINDS = ['dip', 'blow', 'let-off', 'drop', 'aftertouch', 'check'] as const;
export type GaugeKind = (typeof GAUGE_KINDS)[number];

/** What sound is kept: of all takes, of flagged notes, or none once the round is closed. */
export const KEEP_AUDIO = ['all', 'flagged', 'none'] as const;
export type KeepAudio = (typeof KEEP_AUDIO)[number];

export interface Visit extends Kept {
  readonly pianoId: string;
  readonly startedAt: string;
  readonly endedAt: string | null;
  readonly temperatureC: number | null;
  readonly humidityPercent: number | null;
  readonly lid: 'closed' | 'half' | 'open' | 'off' | null;
  readonly microphone: string | null;
  readonly microphonePlace: string | null;
  readonly player: string | null;
  readonly notes: string;
  readonly keepAudio: KeepAudio;
  /** The stored hand that its rounds are held against. */
  readonly referenceId: string | null;
  /** What was looked at before the first round; items are those of the readiness list. */
  readonly readiness: readonly { readonly item: string; readonly state: 'in-order' | 'put-right' | 'open' }[];
  /** New parts that have yet to settle, in the technician's words; empty where none. */
  readonly newParts: string;
}

/** What a round can ask for. */
export const PLAN_KINDS = [
  'free',
  'one-note',
  'hand-picked',
  'section',
  'compass',
  'sampled',
  'open-worklist',
  'after-adjustment',
] as const;

/** Strokes of one way of playing that failed, of so many. */
export interface FailedStrokes {
  readonly silent: number;
  readonly weak: number;
  readonly double: number;
  readonly of: number;
}

/** One note on the line of all notes. */
export interface LineNote {
  readonly midi: MidiNote;
  /** Quick repeats, and strokes as soft as will speak; null: not played. */
  readonly repeats: FailedStrokes | null;
  readonly gentle: FailedStrokes | null;
  /** Each usable slow stroke, in 100 of the travel time from the note's own middle. */
  readonly offsets: readonly number[];
  /** What was found of it: repeats that fail again and again, a rest that wanders. */
  readonly failsAgain: boolean;
  readonly wanders: boolean;
}

/** A note to see to, in words as its round was judged. */
export interface FlaggedNote {
  readonly midi: MidiNote;
  /** How soon to look at it, 0 to 1. */
  readonly score: number;
  /** Kinds of its findings, the decisive first. */
  readonly findings: readonly string[];
  /** What the hand feels and what seems to be; what that rests on; what to look at, the first thing first; what to mind. */
  readonly line: string;
  readonly evidence: readonly string[];
  readonly next: readonly string[];
  readonly cautions: readonly string[];
  /** Parts of the action to look at, the first thing first. */
  readonly parts: readonly string[];
}

/** What must stay the same between two rounds, or they do not compare. */
export interface RoundSetting {
  readonly microphone: string | null;
  readonly microphonePlace: string | null;
  readonly player: string | null;
  readonly referenceId: string | null;
}

export interface Round extends Kept {
  readonly visitId: string;
  /** From 1 within the visit. */
  readonly number: number;
  readonly startedAt: string;
  /** Verdicts are provisional until then. */
  readonly closedAt: string | null;
  /** How it was played, as said when it began; null where the visit says it. */
  readonly setting: RoundSetting | null;
  readonly plan: {
    readonly kind: (typeof PLAN_KINDS)[number];
    readonly steps: readonly { readonly midi: MidiNote; readonly asked: Asked }[];
  };
  /** Its verdicts as last judged: for lists of visits, which need not judge again. */
  readonly summary: {
    readonly analysisVersion: string;
    readonly verdicts: readonly { readonly midi: MidiNote; readonly verdict: Verdict }[];
    /** What the worklist says of the flagged notes. */
    readonly flagged: readonly FlaggedNote[];
    /** What a line of all notes is drawn from; empty where the round was judged by an older program. */
    readonly line: readonly LineNote[];
  } | null;
}

export type Asked = 'slow-fast' | 'open' | 'gentle' | 'just-over-half' | 'full-return' | 'bar';

/** A place where sound is missing, frames of the kept sound. */
export interface TakeGap {
  readonly frame: Frames;
  readonly frames: Frames;
  /** The audio clock jumped (its place is filled with zeros), or the device put in zeros or a block twice. */
  readonly kind: 'clock' | 'zeros' | 'repeated';
}

export interface Take extends Kept {
  readonly visitId: string;
  readonly roundId: string;
  /** From 1 within the round, in order of play. */
  readonly number: number;
  readonly midi: MidiNote;
  readonly asked: Asked;
  readonly touch: 'finger' | 'weight' | 'bar';
  readonly startedAt: string;
  readonly sampleRate: Hertz;
  readonly frames: Frames;
  /** Pieces of sound kept for it: see {@link SoundPiece}. 0 once dropped. */
  readonly pieces: number;
  readonly gaps: readonly TakeGap[];
  /** What was heard in its sound: the document of `evenfall analyse` for it, `asked` and `touch` entered. */
  readonly heard: AnalysisDocument;
  /** Taken back by the player: kept, but counted by nothing. */
  readonly undone: boolean;
  /** The player said that the key jams. */
  readonly jammed: boolean;
}

/** A stretch of a take's sound: 16 bit, mono, at the take's rate; stretches follow each other without gap. */
export interface SoundPiece {
  readonly takeId: string;
  /** From 0. */
  readonly index: number;
  readonly samples: Int16Array<ArrayBuffer>;
}

/** The attack by which the strokes of a note were timed in the round that first had it. */
export interface NoteTemplate extends Kept {
  readonly pianoId: string;
  readonly midi: MidiNote;
  readonly takeId: string;
  readonly sampleRate: Hertz;
  /** Slow strokes of that take, frames of `samples`. */
  readonly strokes: readonly Frames[];
  readonly samples: Int16Array<ArrayBuffer>;
}

export interface StoredReference extends Kept {
  /** Said by the player: whose hand, which microphone place. */
  readonly name: string;
  readonly learnedAt: string;
  /** The document `evenfall.reference/1`. */
  readonly reference: { readonly schema: string; readonly analysisVersion: string } & Readonly<Record<string, unknown>>;
}

export interface Adjustment extends Kept {
  readonly visitId: string;
  readonly midi: MidiNote;
  readonly at: string;
  /** The last round that heard the note as it was before. */
  readonly afterRound: number;
  readonly what: 'lever' | 'jack' | 'spring' | 'centre' | 'line' | 'let-off' | 'drop' | 'check' | 'dip' | 'other';
  readonly way: string | null;
  readonly eighths: number | null;
  readonly millimetres: Millimetres | null;
  readonly words: string;
  /** Taken back: kept, but counted by nothing. */
  readonly undone: boolean;
}

/** What was decided of a note on the worklist; the last one holds. */
export interface WorkMark extends Kept {
  readonly visitId: string;
  readonly midi: MidiNote;
  readonly at: string;
  /**
   * `not-adjusted`: the answer to the question whether it was, so that its later takes count with the earlier ones. `reopened` takes
   * `done` and `left-as-is` back.
   */
  readonly kind: 'done' | 'left-as-is' | 'reopened' | 'not-adjusted';
}

/** A stretch of work on one operation. */
export interface WorkTime extends Kept {
  readonly visitId: string;
  /** One of the worklist's operations. */
  readonly operation: string;
  readonly startedAt: string;
  /** Null while it runs. */
  readonly endedAt: string | null;
}

export interface GaugeReading extends Kept {
  readonly visitId: string;
  readonly midi: MidiNote;
  readonly at: string;
  readonly when: 'before' | 'after';
  readonly kind: GaugeKind;
  readonly millimetres: Millimetres;
  /** Taken back: kept, but counted by nothing. */
  readonly undone: boolean;
}

/** The kinds of thing that are kept one by one, by id. */
export interface Shelves {
  readonly pianos: Piano;
  readonly visits: Visit;
  readonly rounds: Round;
  readonly takes: Take;
  readonly templates: NoteTemplate;
  readonly references: StoredReference;
  readonly adjustments: Adjustment;
  readonly gauges: GaugeReading;
  readonly marks: WorkMark;
  readonly hours: WorkTime;
}
export type Shelf = keyof Shelves;
