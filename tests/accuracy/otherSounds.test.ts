/**
 * The gate of other sounds: a fixed part of what `npm run accuracy -- --sounds` prints, from the half that no threshold
 * was chosen on. Needs Debian's espeak-ng, fluidsynth and fluid-soundfont-gm, which the repository's test command installs.
 */

import { beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import { speech, toolPresent, TOOLS, type Tool } from './debianSounds.ts';
import { inRoom, OTHER_SOUNDS, type OtherSound } from './otherSounds.ts';
import { inTrouble } from './soundSections.ts';
import { SAMPLE_RATE } from './samples.ts';
import { NO_TAKES, plainTake, TROUBLES } from './troubled.ts';
import { counted, heardIn, isUndoubted, perMinute } from './undoubted.ts';

const HEARD: readonly (readonly [string, string | null])[] = [
  ['fr+f3, 165 a minute', 'speech'],
  ['de+m5, 130 a minute', 'speech'],
  ['footsteps 1', 'knocks'],
  ['dropped tools 2', null],
  ['key releases', null],
  ['steel guitar, one note again and again', 'other-instrument'],
  ['marimba, one note again and again', 'other-instrument'],
  ['clarinet, one note again and again', 'other-instrument'],
];

const judged = (all: readonly OtherSound[], name: string): OtherSound =>
  all.find((sound) => sound.name === name && sound.half === 'judged')!;
const trouble = (name: string) => TROUBLES.find((one) => one.name === name)!;
const codes = ({ warnings }: AnalysisDocument) => warnings.map(({ code }) => code);

it.each(Object.keys(TOOLS) as Tool[])('%s is installed', (tool) => {
  expect(toolPresent(tool), `missing: install with sudo apt-get install espeak-ng fluidsynth fluid-soundfont-gm`).toBe(
    true,
  );
});

describe('what is no piano', () => {
  const documents = new Map<string, AnalysisDocument>();
  beforeAll(async () => {
    for (const [name] of HEARD) documents.set(name, heardIn(await judged(OTHER_SOUNDS, name).make()));
  }, 120_000);

  it('makes at most one undoubted stroke a minute (goal 1)', () => {
    expect(perMinute([...documents.values()].map(counted))).toBeLessThanOrEqual(1);
  });

  it('is never given a verdict', () => {
    for (const document of documents.values()) expect(counted(document).judged).toBe(0);
  });

  it.each(HEARD.filter(([, code]) => code !== null))('%s: %s', (name, code) => {
    const document = documents.get(name)!;
    expect(codes(document)).toContain(code);
    // What was heard, roughly when, what to do.
    const { message } = document.warnings.find((warning) => warning.code === code)!;
    expect(message).toMatch(/(between|about) \d+:\d\d.*(Record|Keep)/);
  });
});

describe('a recording of speech alone', () => {
  it('has empty lists and says that somebody speaks', async () => {
    const { takes, strokes, notes, warnings } = heardIn(await judged(OTHER_SOUNDS, 'de+m5, 130 a minute').make());
    expect({ takes, strokes, notes }).toEqual({ takes: [], strokes: [], notes: [] });
    expect(warnings.map(({ code }) => code)).toEqual(expect.arrayContaining(['no-strokes', 'speech']));
  });
});

describe('a take', () => {
  it('is heard the same with speech long before it', async () => {
    const { samples } = await plainTake(57, 40, 5);
    const talk = inRoom((await speech({ voice: 'en-us+f5', speed: 195, pitch: 70 })).subarray(0, 12 * SAMPLE_RATE), 3);
    const shift = talk.length + 6 * SAMPLE_RATE;
    const both = new Float32Array(shift + samples.length);
    both.set(talk);
    both.set(samples.subarray(0, 0.5 * SAMPLE_RATE), talk.length);
    both.set(samples, shift);
    const sounded = (document: AnalysisDocument) => document.strokes.filter(({ kind }) => kind === 'sounded');
    const alone = sounded(heardIn(samples));
    const after = sounded(heardIn(both)).filter(({ timeSeconds }) => timeSeconds > shift / SAMPLE_RATE);
    expect(alone.length).toBeGreaterThanOrEqual(18);
    expect(after.map(({ midi, doubt }) => [midi, doubt])).toEqual(alone.map(({ midi, doubt }) => [midi, doubt]));
    after.forEach(({ timeSeconds, levelDb }, i) => {
      expect(Math.abs(timeSeconds - shift / SAMPLE_RATE - alone[i].timeSeconds)).toBeLessThan(2e-5);
      expect(Math.abs(levelDb! - alone[i].levelDb!)).toBeLessThan(0.1);
    });
  });

  it.each(['telephone, 300 to 3400 Hz', '12 dB over noise', 'speech at -20 dB'])(
    'is found under trouble: %s',
    async (name) => {
      const { onsets, names, falseAMinute, sureShare } = await inTrouble(trouble(name), [33, 60], 'judged');
      expect(onsets.fMeasure).toBeGreaterThanOrEqual(0.97);
      expect(names.share).toBe(1);
      expect(falseAMinute).toBe(0);
      // Real strokes are not doubted away.
      expect(sureShare).toBeGreaterThanOrEqual(0.95);
    },
  );
});

describe('a piano that plays chords', () => {
  it('is given no verdict, hardly an undoubted stroke, and named', async () => {
    const document = heardIn(await judged(NO_TAKES, 'chords').make());
    expect(document.notes.every(({ verdict }) => verdict === 'insufficient')).toBe(true);
    expect(document.strokes.filter(isUndoubted).length).toBeLessThanOrEqual(1);
    expect(codes(document)).toContain('chord');
    expect(codes(document)).toContain('unnamed-strokes');
  });
});
