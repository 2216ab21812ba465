/** compare, repeatability and reference as shipped: rounds of every kind, what they write, how they refuse. */

import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeWav } from '../../src/soundfiles/index.ts';
import { makePractice } from '../../src/synthesis/practice.ts';
import { RandomStream } from '../../src/synthesis/random.ts';
import { KEYS, madeRound, type MadeNote } from '../analysis/madeRound.ts';
import { faultsBy } from '../analysis/schemas.ts';
import { BuiltBin } from './builtBin.ts';
import { faultsOf } from './validator.ts';

let bin: BuiltBin;
const at = (...names: string[]) => join(bin.folder, ...names);
const random = new RandomStream(6, 'command line');
const notes = (odd: Partial<Record<number, Partial<MadeNote>>> = {}): MadeNote[] =>
  KEYS.map((midi) => ({ midi, slow: 12, fast: 24, ...odd[midi] }));
const write = (name: string, value: unknown) => writeFileSync(at(name), JSON.stringify(value));
/** One in twenty of what is called changed may be so by chance: the counts below leave room for one. */
const before = madeRound(random, notes({ 60: { silent: 0.6 } }), { file: 'before.wav' });
const after = madeRound(random, notes({ 72: { silent: 0.6 } }), { file: 'after.wav' });
const PRACTICE = '--notes E3,G4 --slow 5 --fast 12 --sample-rate 24000';

beforeAll(async () => {
  bin = await BuiltBin.make();
  write('before.json', before);
  write('after.json', after);
  write('list.json', [after, madeRound(random, notes(), { file: 'again.wav' })]);
  write('old.json', { ...before, analysisVersion: '0.0.1' });
  write('half.json', { ...before, strokes: undefined });
  write('damaged.json', { ...before, strokes: [null, ...before.strokes] });
  write('no-strokes.json', { ...before, strokes: [] });
  writeFileSync(at('cut.json'), JSON.stringify(before).slice(0, 5000));
  write('few.json', madeRound(random, notes().slice(0, 4)));
  for (const name of ['first', 'second', 'empty']) mkdirSync(at(name));
  const recorded = await Promise.all(
    ['first', 'second'].map((out, i) =>
      bin.run(['practice', ...PRACTICE.split(' '), '--seed', `${i + 1}`, '--out', out]),
    ),
  );
  expect(recorded.map(({ code }) => code)).toEqual([0, 0]);
  writeFileSync(at('first', 'read me.txt'), 'not a recording');
}, 120_000);

afterAll(() => bin.remove());

describe('compare', () => {
  it('lists what became worse, then what improved, a line a note', async () => {
    const { code, stdout, stderr } = await bin.run(['compare', 'before.json', 'after.json']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const lines = stdout.split('\n');
    expect(lines.slice(0, 2)).toEqual(['Before: before.wav', 'After: after.wav']);
    const [worse, improved] = lines.slice(3);
    expect(worse).toMatch(/^C5 +Worse than before\. 0 of 23 repeats failed before, \d+ of 23 after\./);
    expect(improved).toMatch(/^C4 +Improved\. \d+ of 23 repeats failed before, 0 of 23 after\./);
    expect(lines.filter((line) => /^[A-G]#?\d /.test(line))).toHaveLength(14);
    expect(stdout).toMatch(/^14 notes: 1 worse, [12] improved, 1[12] no change shown\.$/m);
    expect(stdout).toMatch(
      /^The whole piano:\nAll notes \(14\)\. .*\d+ of 322 repeats failed before, \d+ of 322 after \(/m,
    );
    expect(stdout).not.toMatch(/\d\.\d{4}|NaN|null|undefined/);
  });

  it('writes the document, to a file too', async () => {
    const { code, stdout } = await bin.run([
      'compare',
      '--json',
      'before.json',
      'list.json',
      '--output',
      'change.json',
    ]);
    expect({ code, stdout }).toEqual({ code: 0, stdout: '' });
    const document = JSON.parse(readFileSync(at('change.json'), 'utf8')) as { after: { sources: { file: string }[] } };
    expect(faultsBy('comparison')(document)).toEqual([]);
    expect(document.after.sources.map(({ file }) => file)).toEqual(['after.wav', 'again.wav']);
  });

  it('hears folders of recordings, times both by one template, and says what is not known', async () => {
    const { code, stdout, stderr } = await bin.run(['compare', '--json', 'first', 'second']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const document = JSON.parse(stdout) as {
      advice: { code: string }[];
      notes: { name: string; reserves: string[] }[];
    };
    expect(faultsBy('comparison')(document)).toEqual([]);
    expect(document.notes.map(({ name }) => name)).toEqual(['E3', 'G4']);
    expect(document.advice.map(({ code }) => code)).toContain('no-hand');
    expect(document.notes.flatMap(({ reserves }) => reserves)).not.toContain('zero-scatter');
  }, 60_000);

  it('goes on without a recording that cannot be read, and names it', async () => {
    writeFileSync(at('second', 'cut.wav'), 'RIFF');
    const { code, stdout, stderr } = await bin.run(['compare', 'first', 'second']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^evenfall: second\/cut\.wav: /);
    expect(stdout).toMatch(/^E3 /m);
  }, 60_000);

  it.each([
    ['a file that is not there', ['none.wav', 'after.json'], /^evenfall: none\.wav: no such file/],
    [
      'an analysis that is not there',
      ['none.json', 'after.json'],
      /^evenfall: none\.json: no such file; expected a rec/,
    ],
    ['an empty folder', ['empty', 'after.json'], /^evenfall: empty: a folder without recordings; expected/],
    [
      'another version',
      ['old.json', 'after.json'],
      /^evenfall: old\.json: analysis version 0\.0\.1; expected .*analyse its rec/,
    ],
    [
      'half a document',
      ['half.json', 'after.json'],
      /^evenfall: half\.json: an analysis document without strokes; exp/,
    ],
    ['a file cut off', ['before.json', 'cut.json'], /^evenfall: cut\.json: no whole JSON; expected a recording/],
    [
      'damaged strokes',
      ['before.json', 'damaged.json'],
      /^evenfall: damaged\.json: an analysis document with damaged strokes; exp/,
    ],
    [
      'notes without strokes',
      ['no-strokes.json', 'after.json'],
      /^evenfall: no-strokes\.json: .* with notes but no strokes; exp/,
    ],
    [
      'another document',
      ['change.json', 'after.json'],
      /^evenfall: change\.json: JSON of evenfall\.comparison\/1; expected/,
    ],
    ['one round twice', ['after.json', './after.json'], /^evenfall: \.\/after\.json: the same as before; expected/],
    ['one round', ['after.json'], /missing required argument 'after'/],
    [
      'a reference that is none',
      ['--reference', 'after.json', 'before.json', 'after.json'],
      /^evenfall: after\.json: "schema" is/,
    ],
    [
      'to write over a round',
      ['before.json', 'after.json', '--output', 'after.json'],
      /^evenfall: after\.json: one of the files to read/,
    ],
  ])('refuses %s', async (_, args, words) => {
    const { code, stdout, stderr } = await bin.run(['compare', ...args]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(words);
  });
});

describe('reference', () => {
  it('learns the hand, and analyse and compare take it', async () => {
    const { code, stdout, stderr } = await bin.run(['reference', 'before.json', 'list.json', '--out', 'hand.json']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(/^hand\.json: the hand, learned on 14 notes\.$/m);
    expect(stdout).toMatch(/strays by \d\.\d % \(\d\.\d to \d\.\d %\), \d\.\d ms of \d+ ms; it falls by \d\.\d % a dB/);
    const reference = JSON.parse(readFileSync(at('hand.json'), 'utf8')) as { sources: string[] };
    expect(faultsBy('reference')(reference)).toEqual([]);
    expect(reference.sources).toEqual(['before.wav', 'after.wav', 'again.wav']);
    const [recording] = ['first/practice-e3-g4-seed-1.wav'];
    const analysed = await bin.run(['analyse', '--json', '--reference', 'hand.json', recording]);
    expect(analysed).toMatchObject({ code: 0, stderr: '' });
    expect(faultsOf(JSON.parse(analysed.stdout))).toEqual([]);
    const compared = await bin.run(['compare', '--reference', 'hand.json', 'few.json', 'after.json']);
    expect(compared.code).toBe(0);
    expect(compared.stdout).not.toContain('no-hand');
  }, 60_000);

  it('shows in pictures where the strokes of a firm note stay, which only a known hand tells', async () => {
    const { samples, sampleRate } = makePractice(
      {
        variant: 'training',
        sampleRate: 32000,
        hand: { contact: 'click', contactLevelDb: -34, inaudibleShare: { slow: 0.05 } },
        notes: [{ midi: 55, passages: [{ kind: 'slow', strokes: 10 }] }],
      },
      44,
    );
    writeFileSync(at('clicks.wav'), writeWav([samples], sampleRate, 'int16'));
    const firm = async (folder: string, ...reference: string[]) => {
      const { code, stderr } = await bin.run(['analyse', ...reference, '--plot', folder, 'clicks.wav']);
      expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
      return readFileSync(at(folder, 'clicks-G3.svg'), 'utf8').includes('firm note');
    };
    expect([await firm('known', '--reference', 'hand.json'), await firm('unknown')]).toEqual([true, false]);
  }, 60_000);

  it('refuses too few notes and says how many were found', async () => {
    const { code, stdout, stderr } = await bin.run(['reference', 'few.json', '--out', 'none.json']);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(
      /^evenfall: few\.json: 4 of 4 notes with 3 usable slow strokes or more; expected at least 12/,
    );
  });

  it('needs a place to write to', async () => {
    const { code, stderr } = await bin.run(['reference', 'before.json']);
    expect(code).toBe(2);
    expect(stderr).toContain("required option '--out <file>' not specified");
  });

  it('is refused by analyse where it is not one', async () => {
    const { code, stderr } = await bin.run(['analyse', '--reference', 'none.json', 'first/practice-e3-g4-seed-1.wav']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^evenfall: none\.json: no such file; expected a hand reference/);
  });
});

describe('repeatability', () => {
  it('says in a table how small a change can be shown', async () => {
    const { code, stdout, stderr } = await bin.run(['repeatability', 'before.json', 'after.json', 'list.json']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(/^Take 3: after\.wav, again\.wav$/m);
    expect(stdout).toMatch(/^Travel time at equal loudness +14 +\d\.\d % \(\d\.\d % to \d\.\d %\) .* \d\.\d %$/m);
    expect(stdout).not.toMatch(/\d\.\d{4}|NaN|null|undefined/);
  });

  it('writes the document', async () => {
    const { stdout } = await bin.run(['repeatability', '--json', 'before.json', 'after.json']);
    expect(faultsBy('repeatability')(JSON.parse(stdout))).toEqual([]);
  });

  it.each([
    ['one take', ['before.json'], /^evenfall: before\.json: 1 take; expected at least 2/],
    [
      'a take named twice',
      ['before.json', './before.json'],
      /^evenfall: \.\/before\.json: named more than once; expected/,
    ],
    ['too few notes', ['few.json', 'after.json'], /^evenfall: few\.json, after\.json: 4 notes measured in all 2 takes/],
  ])('refuses %s', async (_, args, words) => {
    const { code, stdout, stderr } = await bin.run(['repeatability', ...args]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(words);
  });
});
