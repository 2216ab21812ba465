/**
 * Recordings as one visit: each name a round in the order given, its takes cut out and heard by themselves, as the app does with
 * recordings that are opened in it. What was turned in between is not known.
 */

import { randomUUID } from 'node:crypto';
import { analyse } from '../../analysis/analyse.ts';
import { recordedTake, takeSpans, type RecordedTake } from '../../analysis/recordedTakes.ts';
import { newMark, newPiano, newRound, newTake, newVisit } from '../../record/newThings.ts';
import type { Round, Take } from '../../record/types.ts';
import { SoundFileError } from '../../soundfiles/index.ts';
import { readRecording } from '../input.ts';
import { Refusal } from '../refusal.ts';
import { filesOf } from '../rounds.ts';
import type { OpenedVisit } from './openVisits.ts';

/**
 * Hears the recordings.
 * @param names - recordings, or folders of them; at least one
 * @param now - ISO 8601 in UTC: a file does not surely say when it was played
 * @throws Refusal for one that cannot be read, or in which no note is heard.
 */
export async function recordedVisit(
  names: readonly string[],
  now: string,
  told: (what: string) => void = () => {},
): Promise<OpenedVisit> {
  const piano = newPiano({ id: randomUUID(), name: `from ${names.join(' and ')}` });
  const visit = newVisit({ id: randomUUID(), pianoId: piano.id, startedAt: now, endedAt: now });
  const rounds: Round[] = [];
  const takes: Take[] = [];
  const sounds = new Map<string, Int16Array<ArrayBuffer>>();
  for (const [i, name] of names.entries()) {
    const round = newRound({ id: randomUUID(), visitId: visit.id, number: i + 1, startedAt: now, closedAt: now });
    rounds.push(round);
    const heard: RecordedTake[] = [];
    for (const file of await filesOf([name])) heard.push(...(await takesIn(file, told)));
    if (heard.length === 0)
      throw new Refusal(name, 'no note of a piano in it', 'notes played slowly and fast, one after the other');
    for (const [k, { midi, sampleRate, samples, heard: document, gaps }] of heard.entries()) {
      const id = randomUUID();
      sounds.set(id, samples);
      const own = { id, visitId: visit.id, roundId: round.id, number: k + 1, midi, startedAt: now };
      takes.push(newTake({ ...own, sampleRate, frames: samples.length, pieces: 1, gaps, heard: document }));
    }
  }
  // Nobody can be asked whether a note was adjusted in between: each round counts as it was played.
  const marks = [...new Set(takes.map(({ midi }) => midi))].map((midi) =>
    newMark({ id: randomUUID(), visitId: visit.id, midi, at: now, kind: 'not-adjusted' }),
  );
  const things = { piano, visit, rounds, takes, adjustments: [], gauges: [], marks, hours: [], reference: null };
  return { things, invented: false, sound: async (id) => sounds.get(id) ?? null };
}

async function takesIn(file: string, told: (what: string) => void): Promise<RecordedTake[]> {
  told(`hearing ${file}`);
  try {
    const { samples, source } = await readRecording(file);
    const document = analyse(samples, source);
    return takeSpans(document, samples.length).flatMap(
      (span, i) => recordedTake(samples, source.sampleRate, span, `${file}, take ${i + 1}`) ?? [],
    );
  } catch (error) {
    if (!(error instanceof SoundFileError)) throw error;
    throw new Refusal(file, error.found, error.expected);
  }
}
