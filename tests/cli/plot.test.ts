/** Pictures and pooled rounds from the command line as shipped. */

import { chmodSync, copyFileSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AnalysisDocument, PooledDocument } from '../../src/analysis/document.ts';
import { writeWav } from '../../src/soundfiles/index.ts';
import { BuiltBin } from './builtBin.ts';
import { faultsOf } from './validator.ts';

let bin: BuiltBin;
const at = (name: string) => join(bin.folder, name);
const folder = (name: string) => readdirSync(at(name)).sort();
const text = (name: string) => readFileSync(at(name), 'utf8');

beforeAll(async () => {
  bin = await BuiltBin.make();
  for (const seed of ['8', '9']) {
    const asked = `practice --notes A4,D#3 --slow 5 --fast 12 --fault D#3:missed-repeats=0.3 --seed ${seed} --sample-rate 24000`;
    const { code, stderr } = await bin.run(asked.split(' '));
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    copyFileSync(at(`practice-a4-d-sharp-3-seed-${seed}.wav`), at(`take${seed}.wav`));
  }
  mkdirSync(at('other'));
  copyFileSync(at('take9.wav'), at('other/take8.wav'));
  writeFileSync(at('silence.wav'), writeWav([new Float32Array(24000)], 24000, 'int16'));
  writeFileSync(at('letter.txt'), 'Dear neighbour,\nthe piano is being regulated today.\n');
}, 120_000);

afterAll(() => bin?.remove());

describe('--plot', () => {
  it('draws each note of each recording in a folder that it makes, and says so', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', '--plot', 'new/pictures', 'take8.wav', 'silence.wav']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(folder('new/pictures')).toEqual(['take8-A4.svg', 'take8-D-sharp-3.svg']);
    expect(stdout).toMatch(/^new\/pictures\/take8-A4\.svg: picture of A4$/m);
    expect(stdout).toMatch(/^new\/pictures\/take8-D-sharp-3\.svg: picture of D#3$/m);
    expect(stdout).toMatch(/^silence\.wav: no note, so no picture$/m);
    const svg = text('new/pictures/take8-D-sharp-3.svg');
    expect(svg).toMatch(/^<\?xml version="1\.0" encoding="UTF-8"\?>\n<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    expect(svg).toMatch(/D sharp 3, (watch|not enough yet): take8\.wav/);
    expect(svg).toMatch(/<desc>\d+ fast strokes of D sharp 3.*<\/desc>/);
    // The document says how many; each silent stroke is crossed in the waveform and in the strip.
    const { stdout: json } = await bin.run(['analyse', '--json', 'take8.wav']);
    const silent = (JSON.parse(json) as AnalysisDocument).strokes.filter((s) => s.midi === 51 && s.kind === 'silent');
    expect(silent.length).toBeGreaterThan(0);
    expect(svg.match(/data-shape="silent"/g)).toHaveLength(2 * silent.length);
  });

  it('leaves standard output to the JSON', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', '--json', '--plot', 'beside', 'take8.wav']);
    expect(code).toBe(0);
    expect(faultsOf(JSON.parse(stdout))).toEqual([]);
    expect(stderr).toBe('beside/take8-D-sharp-3.svg: picture of D#3\nbeside/take8-A4.svg: picture of A4\n');
  });

  it('gives two recordings of one name pictures of two names, and writes over those of an earlier run', async () => {
    const args = ['analyse', '--plot', 'both', 'take8.wav', 'other/take8.wav'];
    for (let run = 0; run < 2; run++) expect((await bin.run(args)).code).toBe(0);
    expect(folder('both')).toEqual(['take8-2-A4.svg', 'take8-2-D-sharp-3.svg', 'take8-A4.svg', 'take8-D-sharp-3.svg']);
    expect(text('both/take8-2-A4.svg')).toContain('other/take8.wav');
    expect(text('both/take8-2-A4.svg')).not.toEqual(text('both/take8-A4.svg'));
  });

  it('names standard input in words', async () => {
    const stdin = readFileSync(at('take8.wav'));
    expect((await bin.run(['analyse', '--plot', 'piped', '-'], { stdin })).code).toBe(0);
    expect(folder('piped')).toEqual(['standard-input-A4.svg', 'standard-input-D-sharp-3.svg']);
  });

  it('never writes over a recording', async () => {
    mkdirSync(at('odd'));
    copyFileSync(at('take8.wav'), at('odd/take8-D-sharp-3.svg'));
    const before = readFileSync(at('odd/take8-D-sharp-3.svg'));
    const { code, stderr } = await bin.run(['analyse', '--plot', 'odd', 'take8.wav', 'odd/take8-D-sharp-3.svg']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/take8-D-sharp-3\.svg: one of the files to read; expected another file/);
    expect(readFileSync(at('odd/take8-D-sharp-3.svg'))).toEqual(before);
  });

  it('names a place that cannot be written to, before anything is analysed', async () => {
    const taken = await bin.run(['analyse', '--plot', 'letter.txt', 'take8.wav']);
    expect(taken).toMatchObject({ code: 2, stdout: '' });
    expect(taken.stderr).toMatch(/^evenfall: letter\.txt: something else of that name; expected a place to write to/);
    // Where no folder can be made, making one must not wait for ever.
    const nowhere = await bin.run(['analyse', '--plot', '/proc/evenfall/plots', 'take8.wav']);
    expect(nowhere).toMatchObject({ code: 2, stdout: '' });
    expect(nowhere.stderr).toMatch(/^evenfall: \/proc\/evenfall\/plots: its folder does not exist; expected /);
    mkdirSync(at('locked'));
    chmodSync(at('locked'), 0o555);
    // Root may write everywhere: there the child first becomes nobody.
    const first = process.getuid?.() === 0 ? 'process.setuid(65534);' : '';
    const locked = await bin.run(['analyse', '--plot', 'locked', 'take8.wav'], { first });
    expect(locked).toMatchObject({ code: 2, stdout: '' });
    expect(locked.stderr).toMatch(/^evenfall: locked: no permission to write there; expected /);
  });

  it('draws the others when a recording cannot be read', async () => {
    const { code, stderr } = await bin.run(['analyse', '--plot', 'some', 'letter.txt', 'take9.wav']);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^evenfall: letter\.txt: /);
    expect(folder('some')).toEqual(['take9-A4.svg', 'take9-D-sharp-3.svg']);
  });
});

describe('--together', () => {
  it('writes one document of all recordings; what cannot be read keeps its place', async () => {
    const files = ['take8.wav', 'nowhere.wav', 'take9.wav'];
    const { code, stdout, stderr } = await bin.run(['analyse', '--together', '--json', ...files]);
    expect(code).toBe(2);
    expect(stderr).toMatch(/^evenfall: nowhere\.wav: no such file; expected /);
    const pooled = JSON.parse(stdout) as PooledDocument;
    expect(faultsOf(pooled)).toEqual([]);
    expect(pooled.sources.map(({ file }) => file)).toEqual(files);
    expect(pooled.sources[1]).toMatchObject({ schema: 'evenfall.error/1', code: 'not-found' });
    expect(new Set(pooled.strokes.map(({ source }) => source))).toEqual(new Set([0, 2]));
    const alone = JSON.parse((await bin.run(['analyse', '--json', files[0], files[2]])).stdout) as AnalysisDocument[];
    expect(pooled.strokes).toHaveLength(alone[0].strokes.length + alone[1].strokes.length);
  });

  it('lists one table, each stroke with the number of its recording', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', '--together', '--strokes', 'take8.wav', 'take9.wav']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const lines = stdout.split('\n');
    expect(lines[0]).toMatch(/^1\. take8\.wav: \d+\.\d s/);
    expect(lines[1]).toMatch(/^2\. take9\.wav: \d+\.\d s/);
    expect(lines.filter((line) => line.startsWith('A4 '))).toHaveLength(1);
    expect(lines.find((line) => line.startsWith('A4 '))).toMatch(/^A4 .*? 10 +2[0-4] /);
    expect(stdout).toMatch(/^Recording +Time \(s\) +Note/m);
    expect(stdout).toMatch(/^ +2 +\d+\.\d{4} +A4 /m);
  });

  it('draws one picture a note, over all recordings that it was heard in', async () => {
    const { code } = await bin.run(['analyse', '--together', '--plot', 'round', 'take8.wav', 'take9.wav']);
    expect(code).toBe(0);
    expect(folder('round')).toEqual(['together-A4.svg', 'together-D-sharp-3.svg']);
    expect(text('round/together-A4.svg')).toMatch(/1\. take8\.wav[^]*2\. take9\.wav/);
  });

  it('refuses a recording named twice, by whatever way', async () => {
    const { code, stdout, stderr } = await bin.run(['analyse', '--together', 'take8.wav', 'other/../take8.wav']);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(/take8\.wav: named more than once with --together; expected each recording once/);
  });
});
