/** The JSON Schema of the analysis document, held against the TypeScript lists, real documents and broken ones. */

import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import {
  ADVICE_CODES,
  ANALYSIS_SCHEMA,
  ERROR_SCHEMA,
  FINDING_KINDS,
  MEASURE_KINDS,
  UNITS,
  VERDICTS,
  WARNING_CODES,
} from '../../src/analysis/document.ts';
import type {
  Advice,
  AnalysisDocument,
  Bar,
  ErrorDocument,
  Finding,
  Hand,
  Measure,
  NoteResult,
  Source,
  Warning,
} from '../../src/analysis/document.ts';
import type { BaseRates } from '../../src/steadiness/evidence.ts';
import { REFERENCES, REPEAT_PATTERNS, RETURNS, UNUSED } from '../../src/steadiness/kinds.ts';
import type { NoteWords } from '../../src/steadiness/words.ts';
import { SOUND_ERROR_CODES } from '../../src/soundfiles/index.ts';
import {
  ABSENCES,
  ASKED,
  DOUBTS,
  FORCES,
  PASSAGES,
  PRECEDING_KINDS,
  STROKE_KINDS,
  TOUCHES,
} from '../../src/strokes/types.ts';
import type { Preceding, Stroke, Take } from '../../src/strokes/types.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { definitions, faultsOf } from './validator.ts';

const accepts = (candidate: unknown) => faultsOf(candidate).length === 0;

/** A real analysis: one note that misses repeats, so that every list but the bars holds something. */
function realDocument(): AnalysisDocument {
  const { samples, sampleRate, truth } = makePractice(
    {
      variant: 'training',
      sampleRate: 24000,
      notes: [
        {
          midi: 69,
          passages: [
            { kind: 'slow', strokes: 5, ratePerSecond: 1.5 },
            { kind: 'fast', strokes: 12 },
            { kind: 'fast', strokes: 12 },
          ],
          faults: [{ name: 'missed-repeats', size: 0.3 }],
        },
      ],
    },
    7,
  );
  const source = { file: 'practice.wav', sampleRate, channels: 2, durationSeconds: truth.durationSeconds };
  return analyse(samples, source, { warnings: [{ code: 'channels-mixed', message: 'Channels 1, 2 are mixed.' }] });
}

const bar: Bar = {
  group: 1,
  midis: [60, 62, 64],
  differencesSeconds: [1e-4, -2e-4],
  secondDifferenceSeconds: 3e-4,
  refused: null,
};
const error: ErrorDocument = { schema: ERROR_SCHEMA, file: 'x.wav', code: 'truncated', message: 'cut; expected whole' };
const document: AnalysisDocument = { ...realDocument(), bars: [bar] };

describe('the closed lists', () => {
  it.each([
    ['strokeKind', STROKE_KINDS],
    ['absence', ABSENCES],
    ['doubt', DOUBTS],
    ['warningCode', WARNING_CODES],
    ['errorCode', SOUND_ERROR_CODES],
    ['measureKind', MEASURE_KINDS],
    ['findingKind', FINDING_KINDS],
    ['unit', UNITS],
    ['repeatPattern', REPEAT_PATTERNS],
    ['unusedReason', UNUSED],
    ['adviceCode', ADVICE_CODES],
  ])('%s is the list of the program', (name, list) => {
    expect(definitions[name].enum).toEqual(list);
  });

  it.each([
    ['stroke', 'passage', [...PASSAGES, null]],
    ['stroke', 'force', [...FORCES, null]],
    ['preceding', 'kind', PRECEDING_KINDS],
    ['take', 'asked', [...ASKED, null]],
    ['take', 'touch', [...TOUCHES, null]],
    ['note', 'verdict', VERDICTS],
    ['hand', 'reference', REFERENCES],
    ['hand', 'repeatsReference', REFERENCES],
    ['hand', 'returns', RETURNS],
    ['bar', 'refused', [...keysOf<NonNullable<Bar['refused']>>({ 'slip-likely': true }), null]],
  ])('%s.%s is the list of the program', (name, property, list) => {
    expect(definitions[name].properties?.[property].enum).toEqual(list);
  });

  it('names both schemas', () => {
    expect(definitions.analysis.properties?.schema.const).toBe(ANALYSIS_SCHEMA);
    expect(definitions.error.properties?.schema.const).toBe(ERROR_SCHEMA);
  });
});

/** All members of a type, complete because the compiler asks for each. */
function keysOf<K extends string>(all: Record<K, true>): string[] {
  return Object.keys(all);
}

describe('the required fields', () => {
  it.each([
    [
      'analysis',
      keysOf<keyof AnalysisDocument>({
        schema: true,
        analysisVersion: true,
        source: true,
        warnings: true,
        hand: true,
        expectedFalseUnstable: true,
        advice: true,
        takes: true,
        strokes: true,
        bars: true,
        notes: true,
      }),
    ],
    ['error', keysOf<keyof ErrorDocument>({ schema: true, file: true, code: true, message: true })],
    ['source', keysOf<keyof Source>({ file: true, sampleRate: true, channels: true, durationSeconds: true })],
    ['warning', keysOf<keyof Warning>({ code: true, message: true })],
    [
      'hand',
      keysOf<keyof Hand>({
        scalePercent: true,
        slopePerDb: true,
        slipRate: true,
        baseFailureRate: true,
        reference: true,
        notes: true,
        scaleMs: true,
        scaleLogError: true,
        slopeError: true,
        referenceDb: true,
        repeatsReference: true,
        baseRates: true,
        returns: true,
      }),
    ],
    ['take', keysOf<keyof Take>({ take: true, midi: true, asked: true, touch: true, ratePerSecond: true })],
    [
      'stroke',
      keysOf<keyof Stroke>({
        kind: true,
        take: true,
        midi: true,
        timeSeconds: true,
        contactSeconds: true,
        contactRiseSeconds: true,
        otherContactSeconds: true,
        onsetSeconds: true,
        onsetErrorSeconds: true,
        keyBottomSeconds: true,
        levelDb: true,
        relativeDb: true,
        force: true,
        brightness: true,
        knockDb: true,
        passage: true,
        group: true,
        preceding: true,
        confidence: true,
        contactConfidence: true,
        absent: true,
        doubt: true,
      }),
    ],
    ['preceding', keysOf<keyof Preceding>({ kind: true, restSeconds: true, damped: true, gapDb: true })],
    [
      'bar',
      keysOf<keyof Bar>({
        group: true,
        midis: true,
        differencesSeconds: true,
        secondDifferenceSeconds: true,
        refused: true,
      }),
    ],
    [
      'note',
      keysOf<keyof NoteResult>({
        midi: true,
        name: true,
        verdict: true,
        score: true,
        measures: true,
        couldHaveShown: true,
        findings: true,
        looks: true,
        pattern: true,
        strokesNeeded: true,
        unused: true,
        words: true,
      }),
    ],
    [
      'couldHaveShown',
      keysOf<keyof NoteResult['couldHaveShown']>({
        spreadPercent: true,
        shiftPercent: true,
        failureRate: true,
        modelMillimetres: true,
      }),
    ],
    ['advice', keysOf<keyof Advice>({ code: true, message: true })],
    ['noteWords', keysOf<keyof NoteWords>({ line: true, evidence: true, next: true, cautions: true, parts: true })],
    ['baseRates', keysOf<keyof BaseRates>({ steady: true, quick: true, doubles: true, notes: true })],
    ['measure', keysOf<keyof Measure>({ kind: true, value: true, unit: true, interval: true, n: true })],
    ['finding', keysOf<keyof Finding>({ kind: true, size: true, unit: true, interval: true, n: true })],
  ])('of %s are those of its type, each described', (name, keys) => {
    expect([...(definitions[name].required ?? [])].sort()).toEqual([...keys].sort());
    expect(Object.keys(definitions[name].properties ?? {}).sort()).toEqual([...keys].sort());
  });
});

type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
type Path = readonly (string | number)[];

/** A deep copy as JSON whose value at `path` is `value`, or gone where that is undefined. */
function changed(path: Path, value: Json | undefined): Json {
  const copy = JSON.parse(JSON.stringify(document)) as Json;
  let holder = copy as Record<string | number, Json>;
  for (const key of path.slice(0, -1)) holder = holder[key] as Record<string | number, Json>;
  const last = path[path.length - 1];
  if (value === undefined) Reflect.deleteProperty(holder, last);
  else holder[last] = value;
  return copy;
}

/** Paths of all fields, of the first item of each list; what `absent` holds depends on the stroke and is left out. */
function fieldsOf(value: unknown, path: Path = []): Path[] {
  if (Array.isArray(value)) return value.length > 0 ? fieldsOf(value[0], [...path, 0]) : [];
  if (value === null || typeof value !== 'object' || path.at(-1) === 'absent') return [];
  return Object.entries(value).flatMap(([key, inner]) => [[...path, key], ...fieldsOf(inner, [...path, key])]);
}

describe('the schema', () => {
  it('has something of everything to be held against', () => {
    const { warnings, takes, strokes, bars, notes } = document;
    for (const list of [warnings, takes, strokes, bars, notes, notes[0].measures, notes[0].findings]) {
      expect(list.length).toBeGreaterThan(0);
    }
    expect(new Set(strokes.map(({ kind }) => kind))).toContain('silent');
  });

  it('accepts real output, an error, and both in a row', () => {
    const whole = JSON.parse(JSON.stringify(document)) as unknown;
    for (const good of [whole, error, [whole, error], [error, error, whole]]) {
      expect(faultsOf(good)).toEqual([]);
    }
  });

  it('accepts fields that were added', () => {
    for (const path of [['more'], ['source', 'more'], ['strokes', 0, 'more'], ['notes', 0, 'measures', 0, 'more']]) {
      expect(accepts(changed(path, [1])), path.join('.')).toBe(true);
    }
  });

  it('refuses a document that lacks any one field', () => {
    // A note counts only the reasons it has.
    const fields = fieldsOf(document).filter((path) => path[2] !== 'unused' || path.length === 3);
    expect(fields.length).toBeGreaterThan(60);
    expect(fields.filter((path) => accepts(changed(path, undefined))).map((path) => path.join('.'))).toEqual([]);
  });

  it.each<[string, Path, Json]>([
    ['another schema', ['schema'], 'evenfall.analysis/2'],
    ['an unknown warning', ['warnings', 0, 'code'], 'loud'],
    ['an unknown kind of stroke', ['strokes', 0, 'kind'], 'heard'],
    ['a stroke without a time', ['strokes', 0, 'timeSeconds'], null],
    ['a time before the recording', ['strokes', 0, 'timeSeconds'], -0.1],
    ['a time as text', ['strokes', 0, 'onsetSeconds'], '1.25'],
    ['an onset absent without its cause', ['strokes', 0, 'onsetSeconds'], null],
    ['a note absent without its cause', ['strokes', 0, 'midi'], null],
    ['a contact absent without its cause', ['strokes', 0, 'contactSeconds'], null],
    ['an unknown cause', ['strokes', 0, 'absent', 'contact'], 'lost'],
    ['an unknown doubt', ['strokes', 0, 'doubt'], ['maybe']],
    ['a confidence above 1', ['strokes', 0, 'confidence'], 1.01],
    ['an unknown passage', ['strokes', 0, 'passage'], 'middling'],
    ['a key below the piano', ['strokes', 0, 'midi'], 20],
    ['half a key', ['notes', 0, 'midi'], 69.5],
    ['a name with a flat', ['notes', 0, 'name'], 'Bb4'],
    ['an unknown verdict', ['notes', 0, 'verdict'], 'good'],
    ['an unknown measure', ['notes', 0, 'measures', 0, 'kind'], 'evenness'],
    ['an unknown unit', ['notes', 0, 'measures', 0, 'unit'], 'furlong'],
    ['a value that was no number', ['notes', 0, 'measures', 0, 'value'], null],
    ['half an interval', ['notes', 0, 'measures', 0, 'interval'], [1]],
    ['an interval of three', ['notes', 0, 'measures', 0, 'interval'], [1, 2, 3]],
    ['an unknown finding', ['notes', 0, 'findings', 0, 'kind'], 'loose-screw'],
    ['a take numbered 0', ['takes', 0, 'take'], 0],
    ['a bar of one key', ['bars', 0, 'midis'], [60]],
    ['a hand of unknown origin', ['hand', 'reference'], 'guessed'],
  ])('refuses %s', (_, path, value) => {
    expect(accepts(changed(path, value))).toBe(false);
  });

  it.each<[string, Json]>([
    ['an error of an unknown code', { ...error, code: 'odd' }],
    ['an error without words', { ...error, message: '' }],
    ['one file in an array', [{ ...error }]],
    ['an empty array', []],
    ['nothing', null],
  ])('refuses %s', (_, broken) => {
    expect(accepts(broken)).toBe(false);
  });
});
