/**
 * The bench in a real browser: the audio thread's work, from stroke to screen, long tasks, and what the page loads first.
 * A sitting is played to the built page by the browser's fake microphone, in real time.
 */

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { spokenName } from '../../src/app/words.ts';
import { median, quantile } from '../../src/evaluation/distribution.ts';
import { figure, type Table } from '../accuracy/table.ts';
import { servePage } from '../app/browser.ts';
import { FAKE_RATE, launchWithSound, writeSound } from '../browser/fakeMicrophone.ts';
import { sittingSound } from '../browser/sittingSound.ts';
import { beginSitting, takesKept } from '../browser/visitSteps.ts';
import type { BlockTimes } from './blockTimes.ts';
import { recordScreen, type ScreenRecord } from './screenClock.ts';

const NOTES = [45, 50, 53, 57, 60, 62, 65, 67, 69, 72];
const BLOCK_US = (128 / FAKE_RATE) * 1e6;
/** Sound for the timing of blocks: a lead and the first note, slow and fast. */
const TIMED_SECONDS = 16;
/** Readings of the audio clock so near count for a block's moment, ms. */
const CLOCK_WITHIN = 500;

/** Plays the sitting and measures; `notes`: so many of the ten, 20 strokes each. */
export async function browserBench(notes = NOTES.length): Promise<Table[]> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-bench-'));
  try {
    const chosen = NOTES.slice(0, notes);
    const path = join(folder, 'sitting.wav');
    const samples = writeSound(
      path,
      await sittingSound(
        chosen.map((midi) => ({ midi })),
        12,
      ),
    );
    const worklet = await audioThread(samples.subarray(0, TIMED_SECONDS * FAKE_RATE));
    const built = await servePage();
    try {
      const shell = await firstLoad(built);
      const record = await sitting(built.origin, path, chosen.length, samples.length / FAKE_RATE);
      return [worklet, strokeToScreen(record), longTasks(record), shell];
    } finally {
      await built.close();
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function audioThread(samples: Float32Array): Promise<Table> {
  const built = await servePage('/tests/bench/blockTimes.ts');
  try {
    const { page } = await built.visit();
    // Isolated from other origins, the page's clock steps by 5 us instead of 100.
    await page.context().route('**/*', async (route) => {
      const response = await route.fetch();
      const isolated = { 'cross-origin-opener-policy': 'same-origin', 'cross-origin-embedder-policy': 'require-corp' };
      await route.fulfill({ response, headers: { ...response.headers(), ...isolated } });
    });
    await page.reload();
    const sound = Buffer.from(Int16Array.from(samples, (sample) => Math.round(sample * 32767)).buffer).toString(
      'base64',
    );
    const { rendered, blocks, step }: BlockTimes = await page.evaluate(([text, rate]) => window.measure(text, rate), [
      sound,
      FAKE_RATE,
    ] as const);
    const mean = blocks.reduce((sum, time) => sum + time, 0) / blocks.length;
    const row = (what: string, time: number, goal: number) => {
      const share = (100 * time) / BLOCK_US;
      return [what, figure(time, 1), figure(share, 2), `<= ${goal}`, share <= goal ? 'reached' : 'not reached'];
    };
    return {
      title: 'The audio thread in Chromium',
      rests: `${blocks.length} blocks of 128 frames at ${FAKE_RATE} Hz (${figure(BLOCK_US, 0)} us each). Rendered: the worklet in an offline context, less the same without it. Others: its detector and search for contacts in the same page, outside the audio thread, second pass; the clock steps by ${figure(step, 0)} us.`,
      head: ['of a block', 'us', "% of the block's time", 'goal, %', ''],
      rows: [
        row('mean, rendered', rendered, 1),
        row('mean, block by block', mean, 1),
        row('99.9 %, block by block', quantile([...blocks], 0.999), 3),
      ],
    };
  } finally {
    await built.close();
  }
}

async function sitting(origin: string, path: string, takes: number, seconds: number): Promise<ScreenRecord> {
  const listener = await launchWithSound(path);
  try {
    // The compiler of this file names functions by a helper that the page has not.
    await listener.context.addInitScript('globalThis.__name = (thing) => thing;');
    await listener.context.addInitScript(recordScreen);
    const page = await listener.open(origin);
    await beginSitting(page, 'Aldervane 274');
    // Nothing is asked of the page while it listens: asking is work for it.
    await page.waitForTimeout(1000 * seconds);
    await takesKept(page, takes, 30_000);
    return await page.evaluate(() => window.screenRecord);
  } finally {
    await listener.close();
  }
}

/** When the block with a frame was worked on, page's clock. */
function blockClock({ clock, seen, sampleRate }: ScreenRecord): (frame: number) => number {
  const offset = median(seen.map(({ audio, frame }) => audio - (1000 * frame) / sampleRate));
  return (frame) => {
    const audio = offset + (1000 * frame) / sampleRate;
    const near = clock.filter((reading) => Math.abs(reading.audio - audio) < CLOCK_WITHIN);
    return audio + Math.min(...near.map((reading) => reading.at - reading.audio));
  };
}

interface Delays {
  readonly marks: number[];
  readonly notes: number[];
  readonly refined: number[];
  readonly told: number[];
  /** From being told to the painted mark. */
  readonly drawn: number[];
}

function delaysOf(record: ScreenRecord): Delays {
  const { painted, told } = record;
  const workedOn = blockClock(record);
  const delays: Delays = { marks: [], notes: [], refined: [], told: [], drawn: [] };
  for (const { take, midi } of told.filter(({ type }) => type === 'take-begun')) {
    const name = spokenName(midi!);
    // What the refinement moved is told anew at another frame: only what was struck is a stroke of its own.
    const struckAt = new Set(told.filter(({ type }) => type === 'struck').map(({ frame }) => frame));
    const ofTake = told.filter((m) => m.type === 'stroke' && m.take === take && struckAt.has(m.frame));
    const frames = [...new Set(ofTake.map(({ frame }) => frame))];
    // A take begins with its second stroke: until then its first is no stroke of a take.
    for (const frame of frames.sort((a, b) => a - b).slice(1)) {
      const onset = workedOn(frame);
      const struck = told.find((m) => m.type === 'struck' && m.frame === frame)?.at ?? Infinity;
      const named = told.find((m) => m.type === 'named' && m.frame === frame)?.at ?? Infinity;
      const before = painted.findLast(({ at }) => at < struck)?.marks ?? 0;
      const marked = painted.find(({ at, marks }) => at >= struck && marks > before)?.at ?? Infinity;
      const solid = painted.find(({ at, heard, note }) => at >= onset && heard && note === name)?.at ?? Infinity;
      delays.told.push(struck - onset);
      delays.marks.push(marked - onset);
      delays.drawn.push(marked - struck);
      // A name that stands there already is this stroke's once the page knows.
      delays.notes.push(Math.max(solid, named) - onset);
    }
    const ended = told.find((m) => m.type === 'take-ended' && m.take === take)?.at ?? Infinity;
    // The line of the take that ended stands only until the next one is played: in one that goes on, the strip tells.
    const keptBefore = painted.findLast(({ at }) => at < ended)?.kept ?? 0;
    delays.refined.push((painted.find(({ at, kept }) => at >= ended && kept > keptBefore)?.at ?? Infinity) - ended);
  }
  return delays;
}

function strokeToScreen(record: ScreenRecord): Table {
  const { marks, notes, refined, told, drawn } = delaysOf(record);
  const row = (what: string, times: readonly number[], goal: number | null) => {
    const most = quantile([...times], 0.95);
    const verdict = goal === null ? '' : most <= goal ? 'reached' : 'not reached';
    const goalWords = goal === null ? '-' : `<= ${goal}`;
    return [what, figure(times.length, 0), figure(median([...times]), 0), figure(most, 0), goalWords, verdict];
  };
  return {
    title: 'From stroke to screen',
    rests:
      'From the block that holds the onset, as early as the audio clock allows, to the painted frame; the way from the air to that block is not in it. Strokes from the second of each take on, with which it begins. A name that stands there already counts from when the page knows it to be the stroke’s own. Refined: from the message that the take has ended to its note on the strip of keys.',
    head: ['what', 'n', 'median, ms', '95 %, ms', 'goal, ms', ''],
    rows: [
      row('the page is told of the stroke', told, null),
      row('from there to the frame with its mark', drawn, null),
      row("the stroke's mark", marks, 120),
      row('its note', notes, 300),
      row('refined take', refined, 300),
    ],
  };
}

function longTasks({ longTasks: tasks, painted }: ScreenRecord): Table {
  const longest = Math.max(0, ...tasks.map(({ duration }) => duration));
  return {
    title: "Long tasks on the page's thread",
    rests: `Over 50 ms, from loading to the last take; ${painted.length} frames were painted.`,
    head: ['what', ''],
    rows: [
      ['how many', figure(tasks.length, 0)],
      ['longest, ms', figure(longest, 0)],
      ['at, s after loading', tasks.map(({ at }) => figure(at / 1000, 1)).join(' ') || '-'],
    ],
  };
}

async function firstLoad({ origin, visit }: Awaited<ReturnType<typeof servePage>>): Promise<Table> {
  const { page, asked } = await visit();
  await page.getByRole('button', { name: 'Start listening' }).waitFor();
  const sizes = await Promise.all(
    [...new Set(asked)]
      .filter((url) => url.startsWith(origin) && /\.js$/.test(new URL(url).pathname))
      .map(async (url) => {
        const bytes = Buffer.from(await (await fetch(url)).arrayBuffer());
        return { name: new URL(url).pathname.replace(/^.*\//, ''), raw: bytes.length, packed: gzipSync(bytes).length };
      }),
  );
  const kilobytes = (bytes: number) => figure(bytes / 1000, 1);
  const sum = (of: 'raw' | 'packed') => sizes.reduce((total, size) => total + size[of], 0);
  return {
    title: 'JavaScript that the page asks for before anything is opened',
    rests: `Goal: under 200 kB compressed: ${sum('packed') < 200_000 ? 'reached' : 'not reached'}.`,
    head: ['file', 'kB', 'kB, gzip'],
    rows: [
      ...sizes.map(({ name, raw, packed }) => [name, kilobytes(raw), kilobytes(packed)]),
      ['together', kilobytes(sum('raw')), kilobytes(sum('packed'))],
    ],
  };
}
