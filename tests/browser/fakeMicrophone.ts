/**
 * Chromium with a sound file for a microphone, in real time, and what one must know of it.
 *
 * The device runs at 44.1 kHz. The file begins with every opening of the microphone, and the audio thread needs up to a
 * second before it listens, in whose first half the device stutters: leave 3 s before the first stroke. Once the file is over
 * its last 10 ms are repeated for ever: let it end in a second of faint noise, and stop before.
 *
 * Now and then, more often on a busy machine, the browser puts exact zeros in between (441 frames, or a multiple; nothing
 * is dropped): so compare intervals, never times, and take the zeros out first. A file for this has none of its own.
 */

import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { writeWav } from '../../src/soundfiles/writeWav.ts';
import { CHROMIUM, FLAGS } from '../app/browser.ts';

/** The rate of the browser's fake device. */
export const FAKE_RATE = 44_100;
/** So many exact zeros are no sound: the browser put them in. */
const ZERO_RUN = 128;

/** A browser that hears a file. */
export interface Listener {
  readonly context: BrowserContext;
  /** Errors and warnings of every page's console, and what they threw. */
  readonly complaints: string[];
  /** Every address asked for. */
  readonly asked: string[];
  readonly userDataDir: string;
  /** Opens a page. */
  open(address: string): Promise<Page>;
  /** Kills the browser's audio service: microphone and loudspeaker are lost, as when a driver dies. */
  killAudio(): void;
  /** Kills the browser at once, as a crash would; the profile stays, until `close` if it was not given. */
  kill(): Promise<void>;
  /** Ends the browser; removes the profile unless it was given. */
  close(): Promise<void>;
}

/**
 * Starts a browser whose microphone plays that WAV file once each time it is opened, and then silence.
 * @param options.userDataDir profile that is kept, so that a later start finds what an earlier one stored
 * @throws Error saying how to install it, if there is no Chromium.
 */
export async function launchWithSound(
  wavPath: string,
  options: { readonly userDataDir?: string; readonly flags?: readonly string[] } = {},
): Promise<Listener> {
  if (!existsSync(CHROMIUM)) throw new Error(`no browser at ${CHROMIUM}; install Chromium or name one in CHROMIUM`);
  const userDataDir = options.userDataDir ?? mkdtempSync(join(tmpdir(), 'evenfall-profile-'));
  const context = await chromium.launchPersistentContext(userDataDir, {
    executablePath: CHROMIUM,
    args: [
      ...FLAGS,
      '--use-fake-ui-for-media-stream',
      '--use-fake-device-for-media-stream',
      `--use-file-for-fake-audio-capture=${wavPath}%noloop`,
      ...(options.flags ?? []),
    ],
  });
  const complaints: string[] = [];
  const asked: string[] = [];
  context.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  context.on('weberror', (error) => complaints.push(error.error().message));
  context.on('request', (request) => asked.push(request.url()));
  return {
    context,
    complaints,
    asked,
    userDataDir,
    open: async (address) => {
      const page = context.pages().find((open) => open.url() === 'about:blank') ?? (await context.newPage());
      await page.goto(address);
      return page;
    },
    killAudio: () => kill(userDataDir, (words) => words.includes('--utility-sub-type=audio.mojom.AudioService')),
    kill: async () => {
      const gone = new Promise((resolve) => context.on('close', resolve));
      kill(userDataDir, (words) => !words.some((word) => word.startsWith('--type=')));
      await gone;
      await processesEnd(userDataDir);
    },
    close: async () => {
      await context.close();
      await processesEnd(userDataDir);
      if (!options.userDataDir) rmSync(userDataDir, { recursive: true, force: true, maxRetries: 5 });
    },
  };
}

/** The browser's processes that work on that profile: number, and words of the command line. Reads /proc: Linux only. */
function processesOn(userDataDir: string): { readonly id: number; readonly words: readonly string[] }[] {
  return readdirSync('/proc').flatMap((name) => {
    if (!/^\d+$/.test(name)) return [];
    try {
      // Some give their words with spaces between.
      const words = readFileSync(`/proc/${name}/cmdline`, 'utf8').split(/[\0 ]/);
      return /chrom/.test(words[0]) && words.includes(`--user-data-dir=${userDataDir}`)
        ? [{ id: Number(name), words }]
        : [];
    } catch {
      // It ended while we looked.
      return [];
    }
  });
}

function kill(userDataDir: string, which: (words: readonly string[]) => boolean): void {
  const found = processesOn(userDataDir).filter(({ words }) => which(words));
  if (found.length !== 1) throw new Error(`${found.length} such processes on the profile ${userDataDir}; expected one`);
  process.kill(found[0].id, 'SIGKILL');
}

/** Until then the profile is written to. */
async function processesEnd(userDataDir: string): Promise<void> {
  for (let look = 0; look < 100 && processesOn(userDataDir).length > 0; look++) {
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/**
 * Writes samples (mono, 44.1 kHz, within ±1) as the microphone's file.
 * @returns the samples as the file has them
 * @throws RangeError if they hold a run of zeros, which could not be told from the browser's.
 */
export function writeSound(path: string, samples: Float32Array): Float32Array {
  const written = samples.map((sample) => Math.round(sample * 32767) / 32767);
  const [run] = zeroRuns(written);
  if (run) throw new RangeError(`${run.frames} zeros from frame ${run.frame}; expected some noise everywhere`);
  writeFileSync(path, writeWav([written], FAKE_RATE, 'int16'));
  return written;
}

/** Stretches of `ZERO_RUN` and more exact zeros. */
export function zeroRuns(samples: Float32Array): { readonly frame: number; readonly frames: number }[] {
  const runs: { frame: number; frames: number }[] = [];
  for (let i = 0, from = 0; i <= samples.length; i++) {
    if (i < samples.length && samples[i] === 0) continue;
    if (i - from >= ZERO_RUN) runs.push({ frame: from, frames: i - from });
    from = i + 1;
  }
  return runs;
}

/** What a capture holds once the zeros before, behind and within it are taken out. */
export interface Cleaned {
  readonly samples: Float32Array;
  /** Zeros before the first sound. */
  readonly leading: number;
  /** Runs of zeros within the sound, frames of what was captured. */
  readonly gaps: readonly { readonly frame: number; readonly frames: number }[];
}

/** Takes out the zeros that the browser put in. */
export function withoutGaps(captured: Float32Array): Cleaned {
  const runs = zeroRuns(captured);
  const samples = new Float32Array(captured.length - runs.reduce((sum, { frames }) => sum + frames, 0));
  let from = 0;
  let at = 0;
  for (const { frame, frames } of [...runs, { frame: captured.length, frames: 0 }]) {
    samples.set(captured.subarray(from, frame), at);
    at += frame - from;
    from = frame + frames;
  }
  const gaps = runs.filter(({ frame, frames }) => frame > 0 && frame + frames < captured.length);
  return { samples, gaps, leading: runs[0]?.frame === 0 ? runs[0].frames : 0 };
}

/**
 * Where `captured` begins within `file`, by a stretch of the captured sound that must be there sample for sample.
 * @returns frames, or null if the stretch is nowhere in the file
 */
export function placeIn(file: Float32Array, captured: Float32Array, at: number, frames = 512): number | null {
  // The browser's reading of 16 bits is 32767/32768 of ours, give or take a rounding.
  const near = (a: number, b: number) => Math.abs(a - b) < 1e-4;
  for (let start = 0; start + frames <= file.length; start++) {
    let i = 0;
    while (i < frames && near(file[start + i], captured[at + i])) i++;
    if (i === frames) return start - at;
  }
  return null;
}
