/**
 * What is measured, for the meter that prints it and for the gate that holds it: one comparer for both.
 *
 * Conventions: onsets are matched within ±10 ms, most pairs first; timing errors have one constant per recording and
 * recorded layer taken out, because distances between layers are known only as well as their picks; what was not found
 * stays in every distribution as infinite.
 */

import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import { distribution, type Distribution } from '../../src/evaluation/distribution.ts';
import { matchOnsets, pooledRetrieval, type OnsetMatching, type Retrieval } from '../../src/evaluation/matching.ts';
import { majorityName, scoreNames, type NamedNote, type NamingScore } from '../../src/evaluation/naming.ts';
import { timingErrors, type TimedStroke, type TimingErrors } from '../../src/evaluation/timing.ts';
import { keyName } from '../../src/piano/keys.ts';
import { record, type Plan, type Recording } from './material.ts';

export const TOLERANCE_SECONDS = 0.01;

export const REGISTERS = [
  { name: 'A0-B1', low: 21, high: 35 },
  { name: 'C2-B2', low: 36, high: 47 },
  { name: 'C3-B4', low: 48, high: 71 },
  { name: 'C5-B5', low: 72, high: 83 },
  { name: 'C6-C8', low: 84, high: 108 },
] as const;

/** Register of a key. */
export function registerOf(midi: number): string {
  return REGISTERS.find(({ low, high }) => midi >= low && midi <= high)!.name;
}

/** Analysis of a recording, from its samples. */
export function analyseRecording({ name, samples, sampleRate }: Recording): AnalysisDocument {
  return analyse(samples, { file: name, sampleRate, channels: 1, durationSeconds: samples.length / sampleRate });
}

/** What one take came to. */
export interface TakeScore {
  readonly midi: number;
  readonly name: string;
  readonly onsets: OnsetMatching;
  readonly strokes: readonly TimedStroke[];
  /** Level said minus level laid, one constant per layer taken out, slow strokes on silence only; dB. */
  readonly levelErrors: readonly number[];
  /** Name that most sounded strokes carry. */
  readonly named: number | null;
  /** Range of the ringing that strokes met, dB; `null` where none met any. */
  readonly ringing: readonly [number, number] | null;
}

/** Plays a plan, analyses it, and compares. */
export async function scoreTake(plan: Plan): Promise<TakeScore> {
  return scoreRecording(await record(plan));
}

/** Compares the analysis of a recording with its truth. */
export function scoreRecording(recording: Recording, document = analyseRecording(recording)): TakeScore {
  const truth = recording.strokes.filter(({ kind }) => kind === 'sounded');
  const heard = document.strokes.filter((stroke) => stroke.kind === 'sounded' && stroke.onsetSeconds !== null);
  const onsets = matchOnsets(
    truth.map(({ timeSeconds }) => timeSeconds),
    heard.map(({ onsetSeconds }) => onsetSeconds!),
    TOLERANCE_SECONDS,
  );
  const partner = new Map(onsets.pairs.map(({ reference, estimate }) => [reference, heard[estimate]]));
  const strokes = truth.map((stroke, i): TimedStroke => {
    const found = partner.get(i);
    return {
      group: `${recording.name} layer ${stroke.layer}`,
      referenceSeconds: stroke.timeSeconds,
      estimateSeconds: found?.onsetSeconds ?? null,
      marked: found !== undefined && found.doubt.length > 0,
    };
  });
  const levels = new Map<number, number[]>();
  truth.forEach((stroke, i) => {
    const level = partner.get(i)?.levelDb;
    if (stroke.passage !== 'slow' || level === undefined || level === null || stroke.levelDb === null) return;
    levels.set(stroke.layer, [...(levels.get(stroke.layer) ?? []), level - stroke.levelDb]);
  });
  const ringing = truth.map(({ ringingDb }) => ringingDb).filter((db): db is number => db !== null);
  return {
    midi: truth[0].midi,
    name: recording.name,
    onsets,
    strokes,
    levelErrors: [...levels.values()].flatMap((errors) => errors.map((error) => error - distribution(errors).median)),
    named: majorityName(heard.map(({ midi }) => midi)),
    ringing: ringing.length ? [Math.min(...ringing), Math.max(...ringing)] : null,
  };
}

/** Several takes counted together. */
export interface Pool {
  readonly onsets: Retrieval;
  readonly timing: TimingErrors;
  /** Of |level error|, dB; `null` without levels. */
  readonly level: Distribution | null;
  readonly takes: number;
}

export function pool(takes: readonly TakeScore[]): Pool {
  const levels = takes.flatMap(({ levelErrors }) => levelErrors.map(Math.abs));
  return {
    onsets: pooledRetrieval(takes.map(({ onsets }) => onsets)),
    timing: timingErrors(takes.flatMap(({ strokes }) => strokes)),
    level: levels.length ? distribution(levels) : null,
    takes: takes.length,
  };
}

/** Pools takes by register, in the order of the compass; registers without takes are left out. */
export function poolByRegister(takes: readonly TakeScore[]): { register: string; pool: Pool }[] {
  return REGISTERS.flatMap(({ name }) => {
    const members = takes.filter(({ midi }) => registerOf(midi) === name);
    return members.length ? [{ register: name, pool: pool(members) }] : [];
  });
}

/** Names of takes, each alone in its recording: nothing else tells how the piano is tuned. */
export async function scoreAlone(plans: readonly Plan[]): Promise<NamingScore> {
  const notes: NamedNote[] = [];
  for (const plan of plans) {
    const { midi, named, name } = await scoreTake(plan);
    notes.push({ reference: midi, estimate: named, label: name });
  }
  return scoreNames(notes);
}

/** Names of many keys in one recording: each key's strokes within ±10 ms, by majority. */
export async function scoreSequence(plan: Plan): Promise<NamingScore> {
  const recording = await record(plan);
  const heard = analyseRecording(recording).strokes.filter(({ onsetSeconds }) => onsetSeconds !== null);
  const keys = [...new Set(recording.strokes.map(({ midi }) => midi))];
  const notes = keys.map((midi): NamedNote => {
    const times = recording.strokes.filter((stroke) => stroke.midi === midi).map(({ timeSeconds }) => timeSeconds);
    const names = times.map(
      (time) => heard.find(({ onsetSeconds }) => Math.abs(onsetSeconds! - time) <= TOLERANCE_SECONDS)?.midi ?? null,
    );
    return { reference: midi, estimate: majorityName(names), label: `${keyName(midi)} in ${plan.name}` };
  });
  return scoreNames(notes);
}
