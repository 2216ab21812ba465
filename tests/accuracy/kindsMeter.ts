/**
 * The meter's part for the kinds of stroke: what is found and what is made up, by level, register, ringing and noise;
 * and whether the probabilities that strokes carry are kept.
 *
 * Kinds are scored as everywhere (`measure.ts`), except that doubles and weak strokes are asked for at one level at a time;
 * what is made up is counted in takes that have none.
 */

import { analyse } from '../../src/analysis/analyse.ts';
import { matchOnsets, pooledRetrieval, type Retrieval } from '../../src/evaluation/matching.ts';
import { scoreKinds } from '../../src/evaluation/kinds.ts';
import type { Stroke, StrokeKind } from '../../src/strokes/types.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { seedOf } from './chance.ts';
import { kindsTake, type KindOptions } from './kindTakes.ts';
import { CLEAN_SNR_DB, record, type TrueStroke } from './material.ts';
import { analyseRecording, KIND_TOLERANCES, kindsByLevel, PAIRING_SECONDS, relativeLevels } from './measure.ts';
import { figure, perCent, type Table } from './table.ts';

/** Three parts of the compass. */
export const PARTS = [
  { name: 'bass', low: 21, high: 47 },
  { name: 'middle', low: 48, high: 71 },
  { name: 'treble', low: 72, high: 108 },
] as const;

/** A stroke with the probability it carries, and whether it happened. */
export interface Stated {
  readonly kind: StrokeKind;
  readonly confidence: number;
  readonly happened: boolean;
}

/** What one take came to. */
export interface KindScore {
  readonly midi: number;
  readonly kinds: Readonly<Record<StrokeKind, Retrieval>>;
  /** Weak strokes (10 to 16 dB under by their true level, clear of the limits by 1.5 dB): found at all, and said to be weak. */
  readonly weak: { readonly n: number; readonly heard: number; readonly said: number };
  /** Strokes said to be weak that were truly less than 8.5 dB under, or no strokes. */
  readonly weakMadeUp: number;
  /** Heard minus true relative level of the fast strokes 8 dB and more under, dB. */
  readonly levelErrors: readonly number[];
  readonly strokes: number;
  readonly stated: readonly Stated[];
}

/** Plays such a take, has it heard, and compares. */
export async function scoreKindsTake(options: KindOptions): Promise<KindScore> {
  const recording = await record(await kindsTake(options));
  return scoreHeard(options.midi, recording.strokes, analyseRecording(recording).strokes);
}

function scoreHeard(midi: number, truth: readonly TrueStroke[], heard: readonly Stroke[]): KindScore {
  const named = kindsByLevel(truth, heard);
  const relative = relativeLevels(truth);
  const near = (at: number, of: readonly { readonly timeSeconds: number }[]): number =>
    of.findIndex(({ timeSeconds }) => Math.abs(timeSeconds - at) <= PAIRING_SECONDS);
  let [n, found, said] = [0, 0, 0];
  const levelErrors: number[] = [];
  truth.forEach(({ timeSeconds }, i) => {
    const db = relative[i];
    if (db === null || db > -8) return;
    const stroke = heard.find((one) => one.onsetSeconds !== null && near(one.timeSeconds, [{ timeSeconds }]) === 0);
    if (stroke?.relativeDb !== null && stroke !== undefined) levelErrors.push(stroke.relativeDb - db);
    if (db > -11.5 || db < -14.5) return;
    n++;
    if (stroke) found++;
    if (stroke?.force === 'weak' && stroke.kind === 'sounded') said++;
  });
  const weakMadeUp = heard.filter(({ force, kind, timeSeconds }) => {
    const at = near(timeSeconds, truth);
    return kind === 'sounded' && force === 'weak' && (at < 0 || (relative[at] ?? -99) > -8.5);
  }).length;
  return {
    midi,
    kinds: scoreKinds(named, heard, KIND_TOLERANCES),
    weak: { n, heard: found, said },
    weakMadeUp,
    levelErrors,
    strokes: truth.length,
    stated: statedOf(named, heard),
  };
}

/** Each heard stroke with its probability, and whether one of its kind happened there. */
function statedOf(truth: readonly { kind: StrokeKind; timeSeconds: number }[], heard: readonly Stroke[]): Stated[] {
  return (['sounded', 'silent', 'double'] as const).flatMap((kind) => {
    const of = heard.filter((stroke) => stroke.kind === kind);
    const { pairs } = matchOnsets(
      truth.filter((stroke) => stroke.kind === kind).map(({ timeSeconds }) => timeSeconds),
      of.map(({ timeSeconds }) => timeSeconds),
      KIND_TOLERANCES[kind],
    );
    const hit = new Set(pairs.map(({ estimate }) => estimate));
    return of.map(({ confidence }, i) => ({ kind, confidence, happened: hit.has(i) }));
  });
}

/** One condition of the table. */
interface Row {
  readonly name: string;
  readonly levelDb: number;
  readonly ringDb: number;
  readonly snrDb: number;
}

const LEVELS = [-6, -10, -12, -14, -16, -18, -24] as const;
const ROWS: readonly Row[] = [
  ...LEVELS.map((levelDb) => ({ name: `${levelDb} dB`, levelDb, ringDb: -10, snrDb: 30 })),
  ...[-5, -20].map((ringDb) => ({ name: `-12 dB, ringing ${ringDb} dB`, levelDb: -12, ringDb, snrDb: 30 })),
  ...[CLEAN_SNR_DB, 20, 12].map((snrDb) => ({
    name: `-12 dB, ${snrDb === CLEAN_SNR_DB ? 'clean' : `noise ${snrDb} dB`}`,
    levelDb: -12,
    ringDb: -10,
    snrDb,
  })),
];

/** Everything that the kinds are measured by. */
export interface KindsMeasured {
  readonly rows: readonly { readonly name: string; readonly takes: readonly KindScore[] }[];
  readonly control: readonly KindScore[];
}

/** Measures all conditions on `keys`. */
export async function measureKinds(keys: readonly number[]): Promise<KindsMeasured> {
  const rows: { name: string; takes: KindScore[] }[] = [];
  for (const { name, levelDb, ringDb, snrDb } of ROWS) {
    const takes: KindScore[] = [];
    for (const midi of keys) {
      takes.push(await scoreKindsTake({ midi, levelDb, ringDb, snrDb, seed: seedOf(midi, -levelDb, -ringDb, snrDb) }));
    }
    rows.push({ name, takes });
  }
  const control: KindScore[] = [];
  for (const midi of keys) {
    for (const [ringDb, snrDb, echoesDb] of [
      [-10, 30, 0],
      [-5, 20, 6],
    ] as const) {
      const seed = seedOf(midi, -ringDb, snrDb, 7);
      control.push(await scoreKindsTake({ midi, levelDb: -12, ringDb, snrDb, seed, control: true, echoesDb }));
    }
  }
  return { rows, control };
}

const part = (takes: readonly KindScore[], name: string): KindScore[] => {
  const { low, high } = PARTS.find((one) => one.name === name)!;
  return takes.filter(({ midi }) => midi >= low && midi <= high);
};

/** Found and made up, by condition and part of the compass. */
export function kindsTable({ rows, control }: KindsMeasured): Table {
  const cells = (takes: readonly KindScore[]): string[] => {
    const of = (kind: StrokeKind): Retrieval => pooledRetrieval(takes.map(({ kinds }) => kinds[kind]));
    const weak = takes.reduce(
      (sum, { weak: w }) => ({ n: sum.n + w.n, heard: sum.heard + w.heard, said: sum.said + w.said }),
      { n: 0, heard: 0, said: 0 },
    );
    const errors = takes.flatMap(({ levelErrors }) => levelErrors.map(Math.abs)).sort((a, b) => a - b);
    const [double, silent] = [of('double'), of('silent')];
    return [
      ...[double, silent].flatMap((found) => [perCent(found.recall, 0), perCent(found.precision, 0)]),
      weak.n ? `${weak.heard} and ${weak.said} of ${weak.n}` : '-',
      errors.length ? figure(errors[Math.floor(0.9 * (errors.length - 1))], 1) : '-',
    ];
  };
  const madeUp = PARTS.map(({ name }) => {
    const takes = part(control, name);
    const sum = (count: (score: KindScore) => number): number => takes.reduce((total, one) => total + count(one), 0);
    const each = (kind: StrokeKind): number => sum(({ kinds }) => kinds[kind].extras);
    const strokes = sum((one) => one.strokes);
    return `${name}: ${each('double')} doubles, ${each('silent')} silent, ${sum((one) => one.weakMadeUp)} weak in ${strokes} strokes`;
  });
  return {
    title: 'Kinds of stroke, by level, ringing and noise',
    rests:
      `${rows[0].takes.length} keys; strokes of the loud layer, doubles and weak strokes of the soft one at the level said, 6 a ` +
      'second, ringing -10 dB and noise 30 dB where nothing else is said; every stroke has its key-bottom knock 0 to 35 ms after ' +
      'it. Weak: those truly 11.5 to 14.5 dB under, heard at all, and called weak. Level: error of strokes 8 dB and more under, 90 %.',
    head: ['faults at', 'part', 'doubles %', 'precision %', 'silent %', 'precision %', 'weak', 'level dB'],
    rows: rows.flatMap(({ name, takes }) => PARTS.map((one) => [name, one.name, ...cells(part(takes, one.name))])),
    notes: madeUp.map((line) => `Made up where there is none, half of it in a room twice as loud: ${line}.`),
  };
}

const BINS = [0, 0.5, 0.7, 0.8, 0.9, 0.95, 0.99, 1.001] as const;

/** Stated probability against the share that happened. */
export function reliability(sets: readonly { readonly name: string; readonly stated: readonly Stated[] }[]): Table {
  return {
    title: 'Are the probabilities kept?',
    rests:
      'Strokes by the probability they carry: how many, the mean that was stated, and the share that happened. Fitted on practice ' +
      'recordings of the training variant alone.',
    head: ['from', 'kind', 'stated', 'strokes', 'mean stated %', 'happened %'],
    rows: sets.flatMap(({ name, stated }) =>
      (['sounded', 'silent', 'double'] as const).flatMap((kind) =>
        BINS.slice(1).flatMap((to, b) => {
          const of = stated.filter((s) => s.kind === kind && s.confidence >= BINS[b] && s.confidence < to);
          if (of.length === 0) return [];
          const mean = of.reduce((sum, { confidence }) => sum + confidence, 0) / of.length;
          const share = of.filter(({ happened }) => happened).length / of.length;
          const bin = `${BINS[b]} to ${Math.min(1, to)}`;
          return [[name, kind, bin, `${of.length}`, perCent(mean), perCent(share)]];
        }),
      ),
    ),
  };
}

/** The keys practised on; the other variant is taken a key higher. */
export const PRACTICE_KEYS: readonly number[] = Array.from({ length: 12 }, (_, i) => 24 + 7 * i);

/** What strokes of practice recordings state: notes with every fault of the kinds, one recording a note. */
export function statedInPractice(variant: 'training' | 'judging', keys: readonly number[], snrDb: number): Stated[] {
  return keys.flatMap((midi) => {
    const passages = [
      { kind: 'slow', strokes: 8 },
      { kind: 'fast', strokes: 12 },
      { kind: 'fast', strokes: 12 },
    ] as const;
    const faults = [
      { name: 'missed-repeats', size: 0.1 },
      { name: 'weak-repeats', size: 0.1 },
      { name: 'double-strikes', size: 0.15 },
    ] as const;
    const { samples, sampleRate, truth } = makePractice(
      { variant, snrDb, notes: [{ midi, passages, faults }] },
      midi + (variant === 'training' ? 1000 : 2000),
    );
    const source = { file: 'practice', sampleRate, channels: 1, durationSeconds: truth.durationSeconds };
    return statedOf(practiceKinds(truth.strokes), analyse(samples, source).strokes);
  });
}

/** Practice strokes as the definition names them: fast ones more than 16 dB under their upper quartile are silent. */
function practiceKinds(
  strokes: ReturnType<typeof makePractice>['truth']['strokes'],
): { kind: StrokeKind; timeSeconds: number }[] {
  const fast = strokes
    .filter(({ kind, passage }) => kind === 'sounded' && passage === 'fast')
    .map(({ levelDb }) => levelDb!)
    .sort((a, b) => a - b);
  const reference = fast[Math.floor(0.75 * (fast.length - 1))];
  return strokes.map(({ kind, passage, levelDb, timeSeconds }) => ({
    kind: kind === 'sounded' && passage === 'fast' && levelDb! < reference - 16 ? 'silent' : kind,
    timeSeconds,
  }));
}
