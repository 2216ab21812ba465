/** The meter's tables about other sounds: undoubted strokes a minute, takes in trouble, and the warnings given. */

import { scoreNames } from '../../src/evaluation/naming.ts';
import { toolPresent } from './debianSounds.ts';
import { pool, scoreRecording } from './measure.ts';
import { HALVES, OTHER_SOUNDS, type Half, type OtherSound } from './otherSounds.ts';
import { figure, perCent, type Table } from './table.ts';
import { NO_TAKES, TROUBLES, type Trouble } from './troubled.ts';
import { counted, heardIn, isUndoubted, perMinute, type Heard } from './undoubted.ts';

/** Sounds that can be made here, and the kinds that cannot. */
export function makeable<T extends Pick<OtherSound, 'needs'> & { name: string }>(
  all: readonly T[],
): { sounds: T[]; missing: string[] } {
  const present = (one: T): boolean => one.needs === null || toolPresent(one.needs);
  const missing = all.filter((one) => !present(one));
  return {
    sounds: all.filter(present),
    missing: [...new Set(missing.map(({ needs, name }) => `${needs} is not installed: "${name}" is left out.`))],
  };
}

async function heardOf(sounds: readonly OtherSound[]): Promise<{ sound: OtherSound; heard: Heard }[]> {
  const all: { sound: OtherSound; heard: Heard }[] = [];
  for (const sound of sounds) all.push({ sound, heard: counted(heardIn(await sound.make(), sound.name)) });
  return all;
}

const UNDOUBTED = 'An undoubted stroke has an empty doubt list and a confidence of 0.5 or more.';

function rowsOf(all: readonly { sound: OtherSound; heard: Heard }[], by: 'kind' | 'name'): string[][] {
  return [...new Set(all.map(({ sound }) => sound[by]))].map((kind) => {
    const ofHalf = (half: Half): Heard[] =>
      all.filter(({ sound }) => sound[by] === kind && sound.half === half).map(({ heard }) => heard);
    const own = all.filter(({ sound }) => sound[by] === kind).map(({ heard }) => heard);
    const cell = (half: Half): string => (ofHalf(half).length ? figure(perMinute(ofHalf(half)), 1) : '-');
    const seconds = own.reduce((sum, one) => sum + one.seconds, 0);
    return [
      kind,
      figure(seconds / 60, 1),
      ...HALVES.map(cell),
      figure((60 * own.reduce((sum, one) => sum + one.doubted, 0)) / seconds, 1),
      `${own.reduce((sum, one) => sum + one.judged, 0)}`,
      [...new Set(own.flatMap(({ warnings }) => warnings))].join(' '),
    ];
  });
}

const HEAD = [
  'sound',
  'minutes',
  'undoubted a minute: chosen',
  'judged',
  'doubted a minute',
  'notes with a verdict',
  'warnings',
];

/** Everything that is no piano. */
export async function otherSounds(): Promise<Table> {
  const { sounds, missing } = makeable(OTHER_SOUNDS);
  const all = await heardOf(sounds);
  const total = HALVES.map((half) =>
    perMinute(all.filter(({ sound }) => sound.half === half).map(({ heard }) => heard)),
  );
  return {
    title: 'Other sounds',
    rests: `Undoubted strokes a minute from what is no piano; goal 1. ${UNDOUBTED} Thresholds were chosen on one half, the other is only read.`,
    head: HEAD,
    rows: rowsOf(all, 'kind'),
    notes: [
      `all together: chosen half ${figure(total[0], 2)}, judged half ${figure(total[1], 2)} a minute`,
      ...missing,
    ],
  };
}

/** A piano that plays no takes. */
export async function pianoWithoutTakes(): Promise<Table> {
  return {
    title: 'A piano, but no takes',
    rests: `Chords, a scale, a melody of real tones. ${UNDOUBTED} Single notes of a tune may be right; no verdict may rest on them.`,
    head: HEAD,
    rows: rowsOf(await heardOf(NO_TAKES), 'kind'),
  };
}

/** One condition over some keys. */
export async function inTrouble(trouble: Trouble, keys: readonly number[], half: Half) {
  const scores = [];
  const names = [];
  let falseOnes = 0;
  let sure = 0;
  let found = 0;
  let seconds = 0;
  const warnings = new Set<string>();
  for (const midi of keys) {
    const recording = await trouble.take(midi, half);
    const { strokes, warnings: given } = heardIn(recording.samples, recording.name);
    const score = scoreRecording(recording, strokes);
    scores.push(score);
    names.push({ reference: midi, estimate: score.named, label: recording.name });
    for (const { code } of given) warnings.add(code);
    seconds += recording.samples.length / recording.sampleRate;
    for (const stroke of strokes.filter((one) => one.kind === 'sounded')) {
      const isTrue = recording.strokes.some(
        ({ kind, timeSeconds }) => kind === 'sounded' && Math.abs(timeSeconds - stroke.timeSeconds) < 0.03,
      );
      if (isTrue) found++;
      if (isTrue && isUndoubted(stroke)) sure++;
      if (!isTrue && isUndoubted(stroke)) falseOnes++;
    }
  }
  return {
    onsets: pool(scores).onsets,
    names: scoreNames(names),
    falseAMinute: (60 * falseOnes) / seconds,
    sureShare: sure / Math.max(1, found),
    warnings: [...warnings],
  };
}

/** Takes under bad conditions. */
export async function takesInTrouble(keys: readonly number[]): Promise<Table> {
  const { sounds, missing } = makeable(TROUBLES);
  const rows: string[][] = [];
  for (const trouble of sounds) {
    for (const half of HALVES) {
      const own = keys.filter((_, i) => (i % 2 === 0) === (half === 'chosen'));
      const { onsets, names, falseAMinute, sureShare, warnings } = await inTrouble(trouble, own, half);
      rows.push([
        `${trouble.name}, ${half}`,
        figure(onsets.fMeasure, 3),
        perCent(names.share),
        perCent(sureShare),
        figure(falseAMinute, 1),
        warnings.join(' '),
      ]);
    }
  }
  return {
    title: 'Takes in trouble',
    rests: `${keys.length} keys, 20 strokes each, half of the keys to a half. ${UNDOUBTED} A false one lies more than 30 ms from every stroke.`,
    head: ['trouble', 'F ±10 ms', 'names %', 'undoubted of those found %', 'false undoubted a minute', 'warnings'],
    rows,
    notes: missing,
  };
}
