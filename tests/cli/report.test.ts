/** `evenfall report` and `evenfall export` as shipped, on a backup of the demo visit. */

import { copyFileSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reportOf } from '../../src/report/model.ts';
import { readVisitFile } from '../../src/report/visitFile.ts';
import { readCuePoints, readSound } from '../../src/soundfiles/index.ts';
import { smallVisit } from '../report/visits.ts';
import { BuiltBin } from './builtBin.ts';
import { demoBackup } from './visitFiles.ts';

let bin: BuiltBin;
const at = (name: string) => join(bin.folder, name);
const text = (name: string) => readFileSync(at(name), 'utf8');

beforeAll(async () => {
  bin = await BuiltBin.make();
  writeFileSync(at('backup.zip'), await demoBackup());
}, 120_000);

afterAll(() => bin.remove());

describe('evenfall report', () => {
  it('writes the newest visit of a backup as one file, and says its result', async () => {
    const { code, stdout, stderr } = await bin.run(['report', 'backup.zip']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toBe(
      `evenfall-aldervane-274-2026-05-18.html: Aldervane 274, Quillwater Hall, 18 May 2026. ${reportOf(smallVisit()).headline}\n`,
    );
    const html = text('evenfall-aldervane-274-2026-05-18.html');
    expect(html).toContain('<!doctype html>');
    expect(html).toContain('15 of 64');
    expect(html).not.toContain('invented and computed');
    expect(html).toContain('Against the visit before (3 November 2025)');
  });

  it('lists visits, and takes the one asked for', async () => {
    const { code, stdout } = await bin.run(['report', 'backup.zip', '--list']);
    expect(code).toBe(0);
    expect(stdout).toBe(
      '1  3 November 2025  Aldervane 274, Quillwater Hall  1 round, 0 notes  earlier\n' +
        '2  18 May 2026  Aldervane 274, Quillwater Hall  2 rounds, 10 notes  demo-visit\n',
    );
    const first = await bin.run(['report', 'backup.zip', '--visit', 'earlier', '-o', '-']);
    expect({ code: first.code, stderr: first.stderr }).toEqual({ code: 0, stderr: '' });
    expect(first.stdout).toContain('Nothing was heard at this visit.');
  });

  it('hears recordings as the rounds of one visit', async () => {
    const sample = new URL('../../samples/2-d-sharp-3-missed-repeats.flac', import.meta.url);
    for (const name of ['before.flac', 'after.flac']) copyFileSync(sample, at(name));
    const { code, stdout, stderr } = await bin.run(['report', 'before.flac', 'after.flac', '-o', 'both.html']);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toMatch(
      /^both\.html: from before\.flac and after\.flac, .+\. No note heard is unstable\. One to watch\.\n$/,
    );
    const html = text('both.html');
    expect(html).toContain('1 of 88 notes heard, nothing worked on.');
    // A note that was flagged counts in the later round too: of recordings nobody can be asked what was adjusted.
    expect(html).toMatch(/Round 2: [^<]* one note, 1 take /);
    expect(html).not.toContain('Not counted yet');
    expect(html).toMatch(/<h2>Before<\/h2>.*<h2>After<\/h2>/s);
  });

  it.each([
    [['report', 'none.zip'], /^evenfall: none\.zip: no such file; expected a backup made by the app, or a visit/],
    [
      ['report', 'cut.zip'],
      /^evenfall: cut\.zip: a backup that cannot be read \(.+\); expected a backup made by the app/,
    ],
    [['report', 'analysis.json'], /^evenfall: analysis\.json: a file of "evenfall\.analysis\/1"; expected a visit/],
    [['report', 'empty'], /^evenfall: empty: an empty file; expected/],
    [['report', 'hollow'], /^evenfall: hollow: a folder without recordings; expected a recording/],
    [['report', 'letter.wav', 'backup.zip'], /^evenfall: letter\.wav: .+; expected/],
    [
      ['report', 'backup.zip', '--visit', '3'],
      /^evenfall: --visit 3: no such visit in backup\.zip; expected 1 to 2, or an id/,
    ],
    [
      ['report', 'backup.zip', '-o', 'backup.zip'],
      /^evenfall: backup\.zip: one of the files to read; expected another/,
    ],
    [['report', 'backup.zip', '-o', 'no/where.html'], /^evenfall: no\/where\.html: its folder does not exist/],
    [['export', 'backup.zip'], /^evenfall: export: nothing to write; expected --csv, --json or --wav/],
    [['export', 'backup.zip', '--csv', 'backup.zip'], /^evenfall: backup\.zip: .*; expected a place to write to/],
  ])('%j is refused by name', async (args, expected) => {
    const backup = readFileSync(at('backup.zip'));
    writeFileSync(at('cut.zip'), backup.subarray(0, 200_000));
    writeFileSync(at('analysis.json'), '{"schema":"evenfall.analysis/1"}');
    writeFileSync(at('empty'), '');
    writeFileSync(at('letter.wav'), 'Dear neighbour, the piano is being regulated today.');
    mkdirSync(at('hollow'), { recursive: true });
    const { code, stdout, stderr } = await bin.run(args);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toMatch(expected);
    expect(readFileSync(at('backup.zip')).equals(backup)).toBe(true);
  });
});

describe('evenfall export', () => {
  it('writes JSON from standard input, from which a report of the same result is made', async () => {
    const stdin = readFileSync(at('backup.zip'));
    const { code, stdout, stderr } = await bin.run(['export', '-', '--json', '-'], { stdin });
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    const { judged, compared, adjustments } = readVisitFile(stdout);
    const demo = smallVisit();
    expect(JSON.stringify(judged) === JSON.stringify(demo.judged)).toBe(true);
    // Two notes have their sound in the file: they are timed by one template in both rounds, unlike those of the small form.
    const told = (all: typeof compared) =>
      all.map(({ before, after, document }) => ({
        ...{ before, after, advice: document.advice },
        changes: document.notes.map(({ midi, change }) => [midi, change]),
        counts: document.notes.map(({ measures }) => measures.filter(({ unit }) => unit === 'share')),
      }));
    expect(told(compared)).toEqual(told(demo.compared));
    const timed = compared.flatMap(({ document }) => document.notes.filter(({ oneTemplate }) => oneTemplate));
    expect(timed.map(({ midi }) => midi)).toEqual([51, 74]);
    expect(adjustments).toEqual(demo.adjustments);
    writeFileSync(at('visit.json'), stdout);
    const report = await bin.run(['report', 'visit.json', '-o', '-']);
    // Without the sound of two notes and without the earlier visit.
    const said = (html: string) => [/<h1>.*?<\/h1>/s.exec(html)?.[0], html.match(/class="outcome outcome-[a-z-]+"/g)];
    expect(said(report.stdout)).toEqual(said(text('evenfall-aldervane-274-2026-05-18.html')));
    expect(said(report.stdout)[1]).toHaveLength(5);
    expect(report.stdout).not.toContain('Earlier visits');
  });

  it('writes tables, and sound with marks, in folders that it makes', async () => {
    const { code, stdout, stderr } = await bin.run([
      'export',
      'backup.zip',
      '--csv',
      'out/tables',
      '--wav',
      'out/takes',
    ]);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(text('out/tables/work.csv').split('\r\n')).toHaveLength(5 + 8 + 3 + 3 + 5 + 2);
    expect(text('out/tables/strokes.csv')).toMatch(/^round,take,asked,touch,/);
    const demo = smallVisit();
    const kept = demo.takes.filter(({ pieces }) => pieces > 0);
    expect(stdout).toContain(`${demo.takes.length - kept.length} of ${demo.takes.length} takes without sound`);
    const names = stdout.split('\n').flatMap((line) => /^(out\/takes\/.+\.wav): \d+ cue points$/.exec(line)?.[1] ?? []);
    expect(names).toHaveLength(kept.length);
    for (const [i, name] of names.entries()) {
      const bytes = new Uint8Array(readFileSync(at(name)));
      const { heard, frames, sampleRate } = kept[i];
      expect((await readSound(bytes)).channels[0]).toHaveLength(frames);
      const onsets = readCuePoints(bytes).filter(({ label }) => label.startsWith('onset'));
      const real = heard.strokes.filter(({ kind, onsetSeconds }) => kind === 'sounded' && onsetSeconds !== null);
      expect(onsets.map(({ frame }) => frame)).toEqual(
        real.map(({ onsetSeconds }) => Math.round(onsetSeconds! * sampleRate)),
      );
    }
  });
});
