/**
 * New things for the record. Id and time come from the caller; what is not said gets the plainest value: not known, none, no.
 *
 * Nothing is checked here: the store checks whatever it is given.
 */

import {
  RECORD_VERSION,
  type Adjustment,
  type GaugeReading,
  type NoteTemplate,
  type Piano,
  type Round,
  type StoredReference,
  type Take,
  type Visit,
  type WorkMark,
  type WorkTime,
} from './types.ts';

/** What must be said of a thing, and what may be. */
type Said<T, Must extends keyof T> = Pick<T, Must> & Partial<Omit<T, Must | 'recordVersion'>>;

const recordVersion = RECORD_VERSION;

/** A piano: a grand of 88 keys (21 to 108) of which no more is known. */
export function newPiano(said: Said<Piano, 'id' | 'name'>): Piano {
  return {
    place: null,
    kind: 'grand',
    lengthCm: null,
    lowest: 21,
    highest: 108,
    breaks: [],
    highestDamper: null,
    targets: { dip: null, blow: null, 'let-off': null, drop: null, aftertouch: null, check: null },
    order: 'blow-first',
    ...said,
    recordVersion,
  };
}

/** A visit that begins at `startedAt`; all sound is kept. */
export function newVisit(said: Said<Visit, 'id' | 'pianoId' | 'startedAt'>): Visit {
  return {
    endedAt: null,
    temperatureC: null,
    humidityPercent: null,
    lid: null,
    microphone: null,
    microphonePlace: null,
    player: null,
    notes: '',
    keepAudio: 'all',
    referenceId: null,
    readiness: [],
    newParts: '',
    ...said,
    recordVersion,
  };
}

/** An open round, not yet judged; played freely unless a plan is given. */
export function newRound(said: Said<Round, 'id' | 'visitId' | 'number' | 'startedAt'>): Round {
  return { closedAt: null, setting: null, plan: { kind: 'free', steps: [] }, summary: null, ...said, recordVersion };
}

/** A finished take: slow and fast with a finger, without gaps, neither undone nor jammed. */
export function newTake(
  said: Said<
    Take,
    'id' | 'visitId' | 'roundId' | 'number' | 'midi' | 'startedAt' | 'sampleRate' | 'frames' | 'pieces' | 'heard'
  >,
): Take {
  return { asked: 'slow-fast', touch: 'finger', gaps: [], undone: false, jammed: false, ...said, recordVersion };
}

/** The attack by which a note is timed. */
export function newTemplate(said: Said<NoteTemplate, keyof Omit<NoteTemplate, 'recordVersion'>>): NoteTemplate {
  return { ...said, recordVersion };
}

/** A learned hand. */
export function newReference(said: Said<StoredReference, 'id' | 'name' | 'learnedAt' | 'reference'>): StoredReference {
  return { ...said, recordVersion };
}

/** An adjustment of which only the part is known. */
export function newAdjustment(
  said: Said<Adjustment, 'id' | 'visitId' | 'midi' | 'at' | 'afterRound' | 'what'>,
): Adjustment {
  return { way: null, eighths: null, millimetres: null, words: '', undone: false, ...said, recordVersion };
}

/** A reading of a gauge. */
export function newGaugeReading(
  said: Said<GaugeReading, 'id' | 'visitId' | 'midi' | 'at' | 'when' | 'kind' | 'millimetres'>,
): GaugeReading {
  return { undone: false, ...said, recordVersion };
}

/** A mark of the worklist. */
export function newMark(said: Said<WorkMark, keyof Omit<WorkMark, 'recordVersion'>>): WorkMark {
  return { ...said, recordVersion };
}

/** A stretch of work that begins. */
export function newWorkTime(said: Said<WorkTime, 'id' | 'visitId' | 'operation' | 'startedAt'>): WorkTime {
  return { endedAt: null, ...said, recordVersion };
}
