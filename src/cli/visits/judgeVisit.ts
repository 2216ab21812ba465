/**
 * A visit judged again from its takes, by the same code as in the app: each round from the documents of its takes that count, and the
 * rounds that belong together compared.
 *
 * Takes analysed by another version are analysed again from their sound. Where that is not in the file, the round keeps the verdicts
 * that it had, is compared with nothing, and the report says so.
 */

import { compareDocuments } from '../../analysis/compare.ts';
import { ANALYSIS_VERSION } from '../../analysis/document.ts';
import { zeroOf, type HeardSound } from '../../analysis/oneTemplate.ts';
import { analyseTake } from '../../analysis/listening/keptTake.ts';
import { checkReference, type HandReference } from '../../analysis/reference.ts';
import { Refused } from '../../analysis/refused.ts';
import { together } from '../../analysis/together.ts';
import { compassRound } from '../../pictures/compass/compassNote.ts';
import { beforeSide, countedTakes, workBetween } from '../../record/beforeSide.ts';
import { saidOf, summaryOf } from '../../record/rounds.ts';
import type { Round, Take } from '../../record/types.ts';
import { pairsToCompare, type ComparedRounds, type JudgedRound, type ReportedVisit } from '../../report/visit.ts';
import type { MidiNote, Seconds } from '../../units.ts';
import type { OpenedVisit } from './openVisits.ts';

/** Judges a visit. `told` hears what is being done, for a person who waits. */
export async function judgeVisit(opened: OpenedVisit, told: (what: string) => void = () => {}): Promise<ReportedVisit> {
  const { things, invented } = opened;
  const remarks: string[] = [];
  const reference = handOf(opened, remarks);
  const takes = await freshTakes(opened, told);
  const inOrder = [...things.rounds].sort((a, b) => a.number - b.number);
  const judged: JudgedRound[] = [];
  let rounds: readonly Round[] = inOrder;
  for (const round of inOrder) {
    told(`judging round ${round.number} of ${inOrder.length}`);
    const own = countedTakes(round, { ...things, takes, rounds });
    const stale = own.find(({ heard }) => heard.analysisVersion !== ANALYSIS_VERSION);
    if (stale) {
      remarks.push(
        `Round ${round.number} was judged by another version of the analysis (${stale.heard.analysisVersion}), and its sound is not at hand: its verdicts stand as they were, and nothing is compared with it.`,
      );
      continue;
    }
    const judgedRound =
      own.length === 0
        ? null
        : together(
            own.map(({ heard }) => heard),
            { reference },
          );
    if (judgedRound) judged.push({ number: round.number, document: judgedRound });
    const midis = [...new Set(own.map(({ midi }) => midi))];
    const summary = judgedRound && summaryOf(judgedRound, midis, compassRound(judgedRound).notes);
    rounds = rounds.map((one) => (one.id === round.id ? { ...one, summary } : one));
  }
  const whole = { ...things, takes, rounds };
  told('comparing');
  const compared: ComparedRounds[] = [];
  for (const { before, after } of pairsToCompare(whole)) {
    const [first, last] = [before, after].map((number) => rounds.find((one) => one.number === number)!);
    const side = beforeSide(first, whole);
    const known = new Map(judged.map(({ number, document: own }) => [number, own]));
    if (![...side.rounds, last].every(({ number }) => known.has(number))) continue;
    const earlier =
      side.rounds.length === 1
        ? known.get(before)!
        : together(
            side.takes.map(({ heard }) => heard),
            { reference },
          );
    const document = compareDocuments(earlier, known.get(after)!, {
      reference,
      zeros: await zerosOf(side.takes, countedTakes(last, whole), opened),
      said: { before: saidOf(first, things.visit), after: saidOf(last, things.visit) },
      fresh: side.fresh,
      ...workBetween(before, after, things.piano, things.adjustments),
    });
    compared.push({ before, after, document });
  }
  const utcOffsetMinutes = -new Date(things.visit.startedAt).getTimezoneOffset();
  return { ...whole, judged, compared, remarks, utcOffsetMinutes, invented };
}

/** The zero of each note between two rounds, where the file has sound of both: see analysis/oneTemplate. One note at a time. */
async function zerosOf(
  earlier: readonly Take[],
  later: readonly Take[],
  opened: OpenedVisit,
): Promise<Map<MidiNote, Seconds>> {
  const soundsOf = async (takes: readonly Take[]): Promise<HeardSound[]> => {
    const sounds = await Promise.all(takes.map(({ id }) => opened.sound(id)));
    return takes.flatMap(({ sampleRate, heard: { strokes } }, i) => {
      const samples = sounds[i];
      return samples ? [{ sampleRate, samples, strokes }] : [];
    });
  };
  const zeros = new Map<MidiNote, Seconds>();
  for (const midi of new Set(earlier.map((take) => take.midi))) {
    const before = await soundsOf(earlier.filter((take) => take.midi === midi));
    const after = await soundsOf(later.filter((take) => take.midi === midi));
    const late = before.length > 0 && after.length > 0 ? zeroOf(midi, null, before, after) : null;
    if (late !== null) zeros.set(midi, late);
  }
  return zeros;
}

function handOf({ things }: OpenedVisit, remarks: string[]): HandReference | undefined {
  if (things.reference === null) {
    if (things.visit.referenceId !== null)
      remarks.push('The stored hand is not in the file: the notes are held against each other alone.');
    return undefined;
  }
  try {
    return checkReference(things.reference.reference, things.reference.name);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    remarks.push('The stored hand is of another version of the analysis: the notes are held against each other alone.');
    return undefined;
  }
}

/** The takes, those of another analysis version heard again where their sound is there. */
async function freshTakes({ things, sound }: OpenedVisit, told: (what: string) => void): Promise<Take[]> {
  const fresh: Take[] = [];
  for (const take of things.takes) {
    const samples = take.heard.analysisVersion === ANALYSIS_VERSION ? null : await sound(take.id);
    if (samples === null) {
      fresh.push(take);
      continue;
    }
    told(`hearing take ${take.number} again`);
    const { sampleRate, asked, touch } = take;
    const { file } = take.heard.source;
    fresh.push({ ...take, heard: analyseTake({ samples, sampleRate, file }, { asked, touch, firstNote: null }) });
  }
  return fresh;
}
