/**
 * What is measured, for the meter that prints it and for the gate that holds it: one comparer for both, and for the
 * general-purpose tools that the meter sets beside the project.
 *
 * Conventions: an onset is *found* within ±10 ms of the true one, most pairs first. Its *time* is judged on the pairs
 * within ±30 ms, one constant per recording and recorded layer taken out, because an onset as heard is a constant of
 * its note later than the first arrival (16 ms at A0), and because distances between layers are known only as well as
 * their picks. What was not found stays in every distribution as infinite.
 */

import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import { distribution, median, type Distribution } from '../../src/evaluation/distribution.ts';
import { scoreKinds, STROKE_KINDS } from '../../src/evaluation/kinds.ts';
import { matchOnsets, pooledRetrieval, type OnsetMatching, type Retrieval } from '../../src/evaluation/matching.ts';
import { majorityName, scoreNames, type NamedNote, type NamingScore } from '../../src/evaluation/naming.ts';
import { timingErrors, type TimedStroke, type TimingErrors } from '../../src/evaluation/timing.ts';
import { keyName } from '../../src/piano/keys.ts';
import type { StrokeKind } from '../../src/strokes/types.ts';
import { quantile } from '../../src/statistics/order.ts';
import { record, type Plan, type Recording, type TrueStroke } from './material.ts';

export const TOLERANCE_SECONDS = 0.01;
/** Pairs for timing; under half the shortest interval, 71 ms at 14 a second. */
export const PAIRING_SECONDS = 0.03;
/** A silent stroke's time is the beat it was expected at. */
export const BEAT_SECONDS = 0.05;
/** A re-strike further under the others counts as silent; within 1.5 dB of that limit, the level's own error, either is right. */
const SILENT_DB = 16;
const EITHER_DB = 1.5;
/** Recorded strokes are compared with each other where their picks are known at least so well. */
export const KNOWN_PICK_SECONDS = 0.05e-3;

export const REGISTERS = [
  { name: 'A0-B1', low: 21, high: 35 },
  { name: 'C2-B2', low: 36, high: 47 },
  { name: 'C3-B4', low: 48, high: 71 },
  { name: 'C5-B5', low: 72, high: 83 },
  { name: 'C6-C8', low: 84, high: 108 },
] as const;
export type Register = (typeof REGISTERS)[number]['name'];

/** Register of a key. */
export function registerOf(midi: number): Register {
  return REGISTERS.find(({ low, high }) => midi >= low && midi <= high)!.name;
}

/** A stroke as a listener reports it; the analysis document's strokes are such. */
export interface HeardStroke {
  readonly kind: StrokeKind;
  readonly timeSeconds: number;
  readonly onsetSeconds: number | null;
  readonly midi: number | null;
  readonly levelDb: number | null;
  readonly doubt: readonly string[];
}

/** Anything that hears strokes in a recording: the project, or a tool beside it. */
export type Listener = (recording: Recording) => Promise<readonly HeardStroke[]>;

/** Analysis of a recording, from its samples. */
export function analyseRecording({ name, samples, sampleRate }: Recording): AnalysisDocument {
  return analyse(samples, { file: name, sampleRate, channels: 1, durationSeconds: samples.length / sampleRate });
}

/** The project itself as a listener. */
export const project: Listener = (recording) => Promise.resolve(analyseRecording(recording).strokes);

/** What one take came to. */
export interface TakeScore {
  readonly midi: number;
  readonly name: string;
  /** Within ±10 ms. */
  readonly onsets: OnsetMatching;
  /** Paired within ±30 ms; grouped by recording and recorded layer. */
  readonly strokes: readonly TimedStroke[];
  /** The recorded layer's constant against the take's, seconds, for layers whose pick is known well enough. */
  readonly layerOffsets: readonly number[];
  /** Level said minus level laid, one constant per layer taken out, slow strokes on silence only; dB; infinite where none was said. */
  readonly levelErrors: readonly number[];
  readonly kinds: Readonly<Record<StrokeKind, OnsetMatching>>;
  /** Name that most sounded strokes carry. */
  readonly named: number | null;
  /** Range of the ringing that strokes met, dB; `null` where none met any. */
  readonly ringing: readonly [number, number] | null;
}

/** Plays a plan, has it heard, and compares. */
export async function scoreTake(plan: Plan, listener: Listener = project): Promise<TakeScore> {
  const recording = await record(plan);
  return scoreRecording(recording, await listener(recording));
}

/** Compares what was heard in a recording with its truth. */
export function scoreRecording(recording: Recording, heard: readonly HeardStroke[]): TakeScore {
  const truth = recording.strokes.filter(({ kind }) => kind === 'sounded');
  const sounded = heard
    .filter(({ kind, onsetSeconds }) => kind !== 'double' && onsetSeconds !== null)
    .sort((a, b) => a.onsetSeconds! - b.onsetSeconds!);
  const trueTimes = truth.map(({ timeSeconds }) => timeSeconds);
  const heardTimes = sounded.map(({ onsetSeconds }) => onsetSeconds!);
  const pairs = matchOnsets(trueTimes, heardTimes, PAIRING_SECONDS).pairs;
  const partner = new Map(pairs.map(({ reference, estimate }) => [reference, sounded[estimate]]));
  const strokes = truth.map((stroke, i): TimedStroke => {
    const found = partner.get(i);
    return {
      group: `${recording.name} layer ${stroke.layer}`,
      referenceSeconds: stroke.timeSeconds,
      estimateSeconds: found?.onsetSeconds ?? null,
      marked: found !== undefined && found.doubt.length > 0,
    };
  });
  const ringing = truth.map(({ ringingDb }) => ringingDb).filter((db): db is number => db !== null);
  return {
    midi: truth[0].midi,
    name: recording.name,
    onsets: matchOnsets(trueTimes, heardTimes, TOLERANCE_SECONDS),
    strokes,
    layerOffsets: layerOffsets(
      recording,
      truth.map((_, i) => partner.get(i)),
    ),
    levelErrors: levelErrors(
      recording,
      truth.map((_, i) => partner.get(i)),
    ),
    kinds: scoreKinds(kindsByLevel(recording.strokes, heard), timed(heard), KIND_TOLERANCES),
    named: majorityName(sounded.map(({ midi }) => midi)),
    ringing: ringing.length ? [Math.min(...ringing), Math.max(...ringing)] : null,
  };
}

/** How far from the truth a stroke of each kind may be reported. */
export const KIND_TOLERANCES = { sounded: PAIRING_SECONDS, silent: BEAT_SECONDS, double: PAIRING_SECONDS } as const;

/**
 * The strokes as the definition names them: a fast stroke more than 16 dB under the upper quartile of the fast ones counts as
 * silent though it sounds; within {@link EITHER_DB} of that limit it is what it was heard as. Ascending in time.
 */
export function kindsByLevel(
  strokes: readonly TrueStroke[],
  heard: readonly HeardStroke[],
): { kind: StrokeKind; timeSeconds: number }[] {
  const relative = relativeLevels(strokes);
  return strokes.map(({ kind, timeSeconds }, i) => {
    const db = relative[i];
    if (kind !== 'sounded' || db === null || db > EITHER_DB - SILENT_DB) return { kind, timeSeconds };
    if (db < -EITHER_DB - SILENT_DB) return { kind: 'silent', timeSeconds };
    const near = heard.find((stroke) => Math.abs(stroke.timeSeconds - timeSeconds) <= PAIRING_SECONDS);
    return { kind: near?.kind === 'sounded' ? 'sounded' : 'silent', timeSeconds };
  });
}

/** True level of each fast stroke against the upper quartile of the recording's fast ones, dB; `null` for others. */
export function relativeLevels(strokes: readonly TrueStroke[]): (number | null)[] {
  const fast = (stroke: TrueStroke): boolean => stroke.kind === 'sounded' && stroke.passage === 'fast';
  const levels = strokes.filter(fast).map(({ levelDb }) => levelDb!);
  if (levels.length === 0) return strokes.map(() => null);
  const reference = quantile(levels, 0.75);
  return strokes.map((stroke) => (fast(stroke) ? stroke.levelDb! - reference : null));
}

/** Strokes by the time that places them, ascending. */
function timed(heard: readonly HeardStroke[]): { kind: StrokeKind; timeSeconds: number }[] {
  return heard
    .map(({ kind, timeSeconds, onsetSeconds }) => ({ kind, timeSeconds: onsetSeconds ?? timeSeconds }))
    .sort((a, b) => a.timeSeconds - b.timeSeconds);
}

type Partners = readonly (HeardStroke | undefined)[];

function layerOffsets({ strokes }: Recording, partners: Partners): number[] {
  const errors = new Map<number, number[]>();
  strokes
    .filter(({ kind }) => kind === 'sounded')
    .forEach(({ layer, timeSeconds, arrivalUncertainty }, i) => {
      const onset = partners[i]?.onsetSeconds ?? null;
      if (onset === null || arrivalUncertainty === null || arrivalUncertainty > KNOWN_PICK_SECONDS) return;
      errors.set(layer, [...(errors.get(layer) ?? []), onset - timeSeconds]);
    });
  if (errors.size < 2) return [];
  const constants = [...errors.values()].map(median);
  return constants.slice(1).map((constant) => constant - constants[0]);
}

function levelErrors({ strokes }: Recording, partners: Partners): number[] {
  const levels = new Map<number, number[]>();
  strokes
    .filter(({ kind }) => kind === 'sounded')
    .forEach(({ layer, passage, levelDb }, i) => {
      if (passage !== 'slow' || levelDb === null) return;
      const said = partners[i]?.levelDb ?? null;
      levels.set(layer, [...(levels.get(layer) ?? []), said === null ? Infinity : said - levelDb]);
    });
  return [...levels.values()].flatMap((errors) => {
    const constant = median(errors);
    return errors.map((error) => (error === Infinity ? Infinity : error - constant));
  });
}

/** Several takes counted together. */
export interface Pool {
  readonly onsets: Retrieval;
  readonly timing: TimingErrors;
  /** Of |layer constant - constant of the take's first layer|, seconds; `null` where no take mixes layers. */
  readonly layerOffsets: Distribution | null;
  /** Of |level error|, dB; `null` without levels. */
  readonly level: Distribution | null;
  readonly kinds: Readonly<Record<StrokeKind, Retrieval>>;
  readonly names: NamingScore;
  readonly takes: number;
}

/** Pools takes: counts strokes, does not average takes. */
export function pool(takes: readonly TakeScore[]): Pool {
  const absolute = (values: readonly number[]): Distribution | null =>
    values.length ? distribution(values.map(Math.abs)) : null;
  const kinds = STROKE_KINDS.map((kind) => [kind, pooledRetrieval(takes.map((score) => score.kinds[kind]))] as const);
  return {
    onsets: pooledRetrieval(takes.map(({ onsets }) => onsets)),
    timing: timingErrors(takes.flatMap(({ strokes }) => strokes)),
    layerOffsets: absolute(takes.flatMap((score) => score.layerOffsets)),
    level: absolute(takes.flatMap((score) => score.levelErrors)),
    kinds: Object.fromEntries(kinds) as Record<StrokeKind, Retrieval>,
    names: scoreNames(takes.map(({ midi, named, name }) => ({ reference: midi, estimate: named, label: name }))),
    takes: takes.length,
  };
}

/** Pools takes by register, in the order of the compass; registers without takes are left out. */
export function poolByRegister(takes: readonly TakeScore[]): { register: Register; pool: Pool }[] {
  return REGISTERS.flatMap(({ name }) => {
    const members = takes.filter(({ midi }) => registerOf(midi) === name);
    return members.length ? [{ register: name, pool: pool(members) }] : [];
  });
}

/** Names of takes, each alone in its recording: nothing else tells how the piano is tuned. */
export async function scoreAlone(plans: readonly Plan[], listener: Listener = project): Promise<NamingScore> {
  const notes: NamedNote[] = [];
  for (const plan of plans) {
    const recording = await record(plan);
    notes.push(...namedNotes(recording, await listener(recording)));
  }
  return scoreNames(notes);
}

/** Names of many keys in one recording. */
export async function scoreSequence(plan: Plan, listener: Listener = project): Promise<NamingScore> {
  const recording = await record(plan);
  return scoreNames(namedNotes(recording, await listener(recording)));
}

/** Each key's name by majority of its strokes, which are paired within ±30 ms. */
export function namedNotes(recording: Recording, heard: readonly HeardStroke[]): NamedNote[] {
  const sounded = heard
    .filter(({ onsetSeconds }) => onsetSeconds !== null)
    .sort((a, b) => a.onsetSeconds! - b.onsetSeconds!);
  const truth = recording.strokes.filter(({ kind }) => kind === 'sounded');
  const { pairs } = matchOnsets(
    truth.map(({ timeSeconds }) => timeSeconds),
    sounded.map(({ onsetSeconds }) => onsetSeconds!),
    PAIRING_SECONDS,
  );
  const names = new Map<number, (number | null)[]>(truth.map(({ midi }) => [midi, []]));
  const partner = new Map(pairs.map(({ reference, estimate }) => [reference, sounded[estimate].midi]));
  truth.forEach(({ midi }, i) => names.get(midi)!.push(partner.get(i) ?? null));
  return [...names].map(([midi, said]) => ({
    reference: midi,
    estimate: majorityName(said),
    label: `${keyName(midi)}, ${recording.cents} cents, ${recording.snrDb} dB`,
  }));
}
