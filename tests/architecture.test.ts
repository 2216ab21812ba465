/** The rooms and their fences, as `rooms.json` draws them, held against every file of the project. */

import { readFileSync, readdirSync } from 'node:fs';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { breaksIn, breaksInPlan, referencesIn, roomOf } from './fences.ts';
import type { House } from './fences.ts';

const root = new URL('../', import.meta.url);
const house = JSON.parse(readFileSync(new URL('rooms.json', root), 'utf8')) as House;

function filesUnder(folders: readonly string[]): Map<string, string> {
  const files = new Map<string, string>();
  for (const folder of folders) {
    for (const path of readdirSync(new URL(`${folder}/`, root), { recursive: true, encoding: 'utf8' })) {
      const name = `${folder}/${path.replaceAll('\\', '/')}`;
      if (/\.(tsx?|js|css)$/.test(name)) files.set(name, readFileSync(new URL(name, root), 'utf8'));
    }
  }
  return files;
}

describe('the house', () => {
  const files = filesUnder(['src', 'worklets', 'tests', 'samples', 'bin']);

  it('is as its plan says: every import, package, global, name and length', () => {
    expect(breaksIn(files, house)).toEqual([]);
  });

  it('was really looked at', () => {
    const sources = [...files].filter(([path]) => /^(src|worklets)\//.test(path));
    const references = sources.flatMap(([path, text]) =>
      referencesIn(ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)),
    );
    expect(sources.length).toBeGreaterThan(40);
    expect(references.length).toBeGreaterThan(100);
    expect(references).toContainEqual({ to: '@wasm-audio-decoders/flac', kind: 'code' });
    expect(references).toContainEqual({ to: './sound.ts', kind: 'type' });
  });

  it('has no folder that is no room', () => {
    const folders = readdirSync(new URL('src/', root), { withFileTypes: true }).filter((entry) => entry.isDirectory());
    expect(folders.map(({ name }) => name).filter((name) => !(name in house.rooms))).toEqual([]);
  });

  it('has a plan without contradictions', () => {
    expect(breaksInPlan(house)).toEqual([]);
  });
});

describe('the checker', () => {
  const broken = (path: string, text: string) => breaksIn(new Map([[path, text]]), house);

  it.each([
    ['src/signal/a.ts', "import { a } from '../strokes/a.ts';", /signal may not import strokes/],
    ['src/signal/a.ts', "import type { A } from '../strokes/a.ts';", /signal may not import strokes/],
    ['src/signal/deep/a.ts', "export { a } from '../../piano/a.ts';", /signal may not import piano/],
    ['src/signal/deep/a.ts', "export * from '../../piano/a.ts';", /signal may not import piano/],
    ['src/signal/a.ts', "const a = await import('../piano/a.ts');", /signal may not import piano/],
    ['src/signal/a.ts', "let a: import('../piano/a.ts').A;", /signal may not import piano/],
    ['src/signal/a.ts', "import a = require('../piano/a.ts');", /signal may not import piano/],
    ['src/signal/a.ts', "import '../piano/a.ts';", /signal may not import piano/],
    ['src/signal/a.ts', 'const a = await import(`../${name}.ts`);', /computed/],
    ['src/signal/a.ts', "import { a } from '../nowhere/a.ts';", /in no room/],
    ['src/signal/a.ts', "import { a } from '../../tests/a.ts';", /in no room/],
    ['src/signal/a.ts', "import { a } from './b';", /carry their extension/],
    ['src/signal/a.ts', "import { readFile } from 'node:fs';", /may not use Node/],
    ['src/soundfiles/a.ts', "import { readFile } from 'fs/promises';", /may not use Node/],
    ['src/app/a.tsx', "import { readFile } from 'node:fs';", /may not use Node/],
    ['src/strokes/a.ts', "import FFT from 'fft.js';", /may not use the package fft\.js/],
    ['src/soundfiles/a.ts', "import a from '@wasm-audio-decoders/opus/x';", /package @wasm-audio-decoders\/opus/],
    ['src/record/a.ts', "import { a } from '../analysis/document.ts';", /only types of analysis/],
    ['src/record/a.ts', "import { type A } from '../analysis/document.ts';", /only types of analysis/],
    ['src/record/a.ts', "export { a } from '../analysis/document.ts';", /only types of analysis/],
    ['src/report/a.ts', "import { a } from '../app/a.ts';", /nothing imports app/],
    ['src/capture/a.ts', "import type { A } from '../cli/a.ts';", /nothing imports cli/],
    ['src/capture/a.ts', "const a = new URL('../workers/a.ts', import.meta.url);", /capture may not import workers/],
    ['worklets/a.ts', "import { a } from '../src/strokes/a.ts';", /worklets may not import strokes/],
    ['src/units.ts', "import { a } from './signal/a.ts';", /units may not import signal/],
    ['src/cellar/a.ts', '', /in no room/],
    ['src/a.ts', '', /in no room/],
    ['src/signal/a.ts', 'export const now = () => performance.now();', /uses performance/],
    ['src/signal/a.ts', 'export const width = window.innerWidth;', /uses window/],
    ['src/signal/a.ts', 'export const a = { process };', /uses process/],
    ['src/signal/a.ts', 'export class A extends AudioWorkletProcessor {}', /uses AudioWorkletProcessor/],
    ['src/synthesis/a.ts', 'export const a = Math.random();', /uses Math\.random/],
    ['src/record/a.ts', 'export const a = new Date();', /uses new Date/],
    ['src/record/a.ts', 'export const a = Date.now();', /uses Date\.now/],
    ['src/soundfiles/a.ts', "export const a = Buffer.from('a');", /uses Buffer/],
    ['src/signal/a.ts', '\n'.repeat(401), /401 lines; at most 400/],
    ['src/signal/fftUtils.ts', '', /"fftUtils\.ts" does not say/],
    ['tests/helpers/a.ts', '', /"helpers" does not say/],
    ['src/app/StateManager.tsx', '', /"StateManager\.tsx" does not say/],
    ['src/analysis/engine.ts', '', /"engine\.ts" does not say/],
  ])('catches in %s: %s', (path, text, words) => {
    expect(broken(path, text)).toEqual([expect.stringMatching(words)]);
  });

  it.each([
    ['src/signal/a.ts', "import FFT from 'fft.js';\nimport { framesToSeconds } from '../units.ts';\nimport './b.ts';"],
    [
      'src/record/a.ts',
      "import type { A } from '../analysis/document.ts';\nexport type { B } from '../analysis/b.ts';",
    ],
    ['src/app/a.tsx', "import React from 'react';\nconst width = window.innerWidth;\nconst now = Date.now();"],
    ['src/app/b.ts', "const worker = new Worker(new URL('../workers/refine.ts', import.meta.url));"],
    ['src/app/c.ts', "import address from '../workers/refine.ts?worker&url';"],
    ['src/cli/a.ts', "import { readFile } from 'node:fs/promises';\nprocess.exitCode = 1;"],
    // Words that only look like globals: a parameter, a property, a type, a member.
    ['src/analysis/a.ts', 'export const title = (document: { process: number }) => document.process;'],
    ['src/analysis/b.ts', 'export interface A { window: number; location: string }\nexport const a = { module: 1 };'],
    ['src/analysis/c.ts', 'export const at = (seconds: number) => new Date(seconds * 1000);'],
    ['src/signal/b.ts', '\n'.repeat(400)],
  ])('lets pass in %s: %s', (path, text) => {
    expect(broken(path, text)).toEqual([]);
  });

  it('tells the room of a file', () => {
    const rooms = ['src/units.ts', 'src/signal/a/b.ts', 'worklets/a.ts', 'src/b.ts', 'tests/a.ts'].map(roomOf);
    expect(rooms).toEqual(['units', 'signal', 'worklets', null, null]);
  });

  it('catches a contradictory plan', () => {
    const plan = (change: Partial<House>): House => ({ ...house, ...change });
    const room = (may: string[]) => ({ may, packages: [] });
    const signal = { ...house.rooms, signal: room(['strokes']), strokes: room(['signal']) };
    expect(breaksInPlan(plan({ rooms: signal }))).toContain('the arrows from signal lead back to it');
    const unknown = { ...house.rooms, piano: room(['garden', 'app']) };
    expect(breaksInPlan(plan({ rooms: unknown }))).toEqual(
      expect.arrayContaining([
        'piano may import garden, which is no room',
        'piano may import app, which nothing imports',
      ]),
    );
    expect(breaksInPlan(plan({ typesOnly: [['units', 'signal']] }))).toEqual([
      'types only from units to signal, but no arrow',
    ]);
    expect(breaksInPlan(plan({ environments: { pure: ['units'] } }))).toContain(
      'signal stands in 0 environments; expected one',
    );
  });
});
