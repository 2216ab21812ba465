/**
 * The command line tools of aubio (Brossier 2006; GPL, a separate program, never shipped with the project), as
 * listeners for the meter and the bench. They read a 16-bit WAV file, as a person would give it to them.
 *
 * Where the tools are not installed (`apt-get install aubio-tools`), {@link aubioPresent} says so and the meter leaves
 * their rows out by name.
 */

import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { writeWav } from '../../src/soundfiles/index.ts';
import { hertzToMidi } from '../../src/units.ts';
import type { Recording } from './material.ts';

/** True if the three tools can be run. */
export function aubioPresent(): boolean {
  return ['aubioonset', 'aubiopitch', 'aubionotes'].every((tool) => spawnSync(tool, ['-h']).error === undefined);
}

/** Settings of `aubioonset`. */
export interface AubioOnset {
  readonly method: string;
  readonly threshold: number;
  readonly buffer: number;
  readonly hop: number;
}

/** What is tried before the best is taken: methods, thresholds (lower finds more), frame sizes. */
export const AUBIO_ONSET_SETTINGS: readonly AubioOnset[] = ['hfc', 'complex', 'specflux', 'energy'].flatMap((method) =>
  [0.05, 0.1, 0.3, 0.6, 1.0, 2.0].flatMap((threshold) =>
    [
      [512, 256],
      [1024, 128],
    ].map(([buffer, hop]) => ({ method, threshold, buffer, hop })),
  ),
);

/** A folder of WAV files for the tools, made once and removed with the process. */
class WavFolder {
  private readonly folder = mkdtempSync(join(tmpdir(), 'evenfall-peers-'));
  private readonly paths = new WeakMap<Recording, string>();
  private count = 0;

  constructor() {
    process.once('exit', () => rmSync(this.folder, { recursive: true, force: true }));
  }

  path(recording: Recording): string {
    let path = this.paths.get(recording);
    if (!path) {
      path = join(this.folder, `${this.count++}.wav`);
      writeFileSync(path, writeWav([recording.samples], recording.sampleRate, 'int16'));
      this.paths.set(recording, path);
    }
    return path;
  }
}

let folder: WavFolder | undefined;

/** Path of a recording as a 16-bit WAV file. */
export function wavOf(recording: Recording): string {
  folder ??= new WavFolder();
  return folder.path(recording);
}

function lines(tool: string, args: readonly string[]): number[][] {
  return execFileSync(tool, args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 1 << 26 })
    .split('\n')
    .map((line) => line.trim().split(/\s+/).map(Number))
    .filter((row) => row.length > 0 && row.every(Number.isFinite));
}

/** Onsets, seconds, ascending. A second onset within 30 ms is suppressed: no stroke follows another so soon. */
export function aubioOnsets(path: string, { method, threshold, buffer, hop }: AubioOnset): number[] {
  const args = ['-i', path, '-r', '0', '-O', method, '-t', `${threshold}`, '-B', `${buffer}`, '-H', `${hop}`];
  return lines('aubioonset', [...args, '-M', '0.03', '-s', '-70'])
    .map(([time]) => Math.max(0, time))
    .sort((a, b) => a - b);
}

/** Pitch track: time of each frame, seconds, and MIDI number with fraction (0 or less: none found). */
export function aubioPitchTrack(path: string, method: string, buffer: number): { time: number; midi: number }[] {
  const args = ['-i', path, '-r', '0', '-p', method, '-B', `${buffer}`, '-H', '512', '-u', 'freq', '-s', '-70'];
  return lines('aubiopitch', args)
    .filter((row) => row.length >= 2)
    .map(([time, hertz]) => ({ time, midi: hertz > 0 ? hertzToMidi(hertz) : 0 }));
}

/** Notes with their starts, seconds, as `aubionotes` makes them; without a buffer size, at its own defaults. */
export function aubioNotes(path: string, buffer: number | null): { time: number; midi: number }[] {
  const size = buffer === null ? [] : ['-B', `${buffer}`, '-H', '512'];
  return lines('aubionotes', ['-i', path, '-r', '0', ...size])
    .filter((row) => row.length >= 2)
    .map(([midi, time]) => ({ time, midi: Math.round(midi) }));
}
