/** Recordings pooled into one round: nothing lost, nothing across two recordings, notes over all of them. */

import { beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import {
  ERROR_SCHEMA,
  type AnalysisDocument,
  type ErrorDocument,
  type NoteResult,
} from '../../src/analysis/document.ts';
import { together } from '../../src/analysis/together.ts';
import { failedRepeats } from '../../src/steadiness/measures.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { faultsOf } from '../cli/validator.ts';

const error: ErrorDocument = {
  schema: ERROR_SCHEMA,
  file: 'cut.wav',
  code: 'truncated',
  message: 'cut; expected whole',
};

/** A take of A4 (and of D#3 before it) that misses repeats. */
function recorded(file: string, seed: number, gain = 1, midis = [69]): AnalysisDocument {
  const { samples, sampleRate, truth } = makePractice(
    {
      variant: 'training',
      sampleRate: 24000,
      notes: midis.map((midi) => ({
        midi,
        passages: [
          { kind: 'slow', strokes: 5, ratePerSecond: 1.5 },
          { kind: 'fast', strokes: 12 },
        ],
        faults: [{ name: 'missed-repeats', size: 0.25 }],
      })),
    },
    seed,
  );
  const quieter = samples.map((value) => gain * value);
  return analyse(quieter, { file, sampleRate, channels: 1, durationSeconds: truth.durationSeconds });
}

const measure = (note: NoteResult | undefined, kind: string) => note?.measures.find((each) => each.kind === kind);
const a4 = (notes: readonly NoteResult[]) => notes.find(({ midi }) => midi === 69);

describe('together', () => {
  let first: AnalysisDocument;
  let second: AnalysisDocument;
  let soft: AnalysisDocument;
  beforeAll(() => {
    first = recorded('first.wav', 21, 1, [51, 69]);
    second = recorded('second.wav', 22);
    soft = recorded('soft.wav', 22, 0.1);
  }, 60_000);

  it('keeps every stroke and take, with its recording, the takes numbered through', () => {
    const { sources, strokes, takes, warnings } = together([first, error, second]);
    expect(sources).toEqual([first.source, error, second.source]);
    expect(strokes.map(({ timeSeconds }) => timeSeconds)).toEqual(
      [...first.strokes, ...second.strokes].map(({ timeSeconds }) => timeSeconds),
    );
    expect(strokes.map(({ source }) => source)).toEqual([
      ...first.strokes.map(() => 0),
      ...second.strokes.map(() => 2),
    ]);
    expect(new Set(takes.map(({ take }) => take)).size).toBe(first.takes.length + second.takes.length);
    for (const { take, source, midi } of strokes) {
      expect(takes.find((each) => each.take === take)).toMatchObject({ source, midi });
    }
    expect(warnings).toHaveLength(first.warnings.length + second.warnings.length);
  });

  it('keeps to its schema, in JSON too; without the recording of a stroke it does not', () => {
    const pooled = JSON.parse(JSON.stringify(together([first, error, second]))) as Record<string, unknown>;
    expect(faultsOf(pooled)).toEqual([]);
    expect(faultsOf(together([error]))).toEqual([]);
    const [stroke, ...rest] = pooled.strokes as Record<string, unknown>[];
    const nowhere = { ...stroke };
    Reflect.deleteProperty(nowhere, 'source');
    for (const broken of [
      { strokes: [nowhere, ...rest] },
      { sources: undefined },
      { sources: [] },
      { notes: undefined },
    ]) {
      expect(faultsOf({ ...pooled, ...broken })).not.toEqual([]);
    }
  });

  it('counts the repeats of a note over all recordings, and makes no interval across two', () => {
    const pooled = a4(together([first, second]).notes)!;
    const alone = [a4(first.notes)!, a4(second.notes)!];
    for (const kind of ['failed-repeats', 'fast-unevenness', 'slow-unevenness', 'rate']) {
      const ns = alone.map((note) => measure(note, kind)?.n ?? 0);
      expect(ns[0]).toBeGreaterThan(0);
      expect(measure(pooled, kind)!.n, kind).toBe(ns[0] + ns[1]);
    }
    const failed = [first, second].map(
      ({ strokes }) => failedRepeats(strokes.filter(({ midi }) => midi === 69)).failed,
    );
    const share = measure(pooled, 'failed-repeats')!;
    expect(Math.round(share.value * share.n)).toBe(failed[0] + failed[1]);
    expect(failed[0] + failed[1]).toBeGreaterThan(2);
    const [low, high] = share.interval;
    const [lowAlone, highAlone] = measure(alone[0], 'failed-repeats')!.interval;
    expect(high - low).toBeLessThan(highAlone - lowAlone);
  });

  it('takes a recording at another gain for what it is: nothing weaker, no wider spread', () => {
    const [loudly, softly] = [together([first, second]), together([first, soft])].map(({ notes }) => a4(notes)!);
    expect(Math.abs(measure(softly, 'level')!.value - measure(loudly, 'level')!.value)).toBeGreaterThan(5);
    for (const kind of ['failed-repeats', 'fast-level-spread', 'slow-level-spread']) {
      expect(measure(softly, kind)!.value, kind).toBeCloseTo(measure(loudly, kind)!.value, 1);
      expect(measure(softly, kind)!.n, kind).toBe(measure(loudly, kind)!.n);
    }
  });

  it('is, for one recording, that recording', () => {
    const { sources, strokes, notes, takes } = together([first]);
    expect(sources).toEqual([first.source]);
    expect(notes).toEqual(first.notes);
    expect(strokes).toEqual(first.strokes.map((stroke) => ({ ...stroke, source: 0 })));
    expect(takes).toEqual(first.takes.map((take) => ({ ...take, source: 0 })));
  });

  it('numbers the groups of bars through', () => {
    const bar = { group: 1, midis: [60, 62], differencesSeconds: [0], secondDifferenceSeconds: null, refused: null };
    const barred = { ...first, bars: [bar], strokes: first.strokes.map((stroke) => ({ ...stroke, group: 1 })) };
    const pooled = together([barred, barred]);
    expect(pooled.bars.map(({ group, source }) => [group, source])).toEqual([
      [1, 0],
      [2, 1],
    ]);
    for (const { group, source } of pooled.strokes) expect(group).toBe(source + 1);
  });

  it('refuses numbers of another version', () => {
    expect(() => together([first, { ...second, analysisVersion: '0.0.1' }])).toThrow(
      /second\.wav: analysis version 0\.0\.1/,
    );
  });
});
