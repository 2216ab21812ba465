/**
 * Contacts in other people's recordings, on request: single strokes with the noise before them kept, and clips of such
 * noises to be laid before the project's tones.
 *
 * Strokes as in `folder.ts`, with `pre: { lead_ms, confidence, unc_ms }` and `dyn`. Clips: a folder whose `truth.json` has
 * items of `{ file, start_in_clip_ms, tone_onset_after_clip_end_ms, lead_ms }`. Every stroke's file is taken to begin with an
 * editor's linear fade-in, which is undone; a clip's own noise is faded in over its first 20 ms, for a step in the noise
 * there would be the most abrupt start of all.
 */

import { existsSync, readdirSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { Pyramid } from '../../src/signal/pyramid.ts';
import { readSound } from '../../src/soundfiles/index.ts';
import { median } from '../../src/statistics/order.ts';
import { decideContacts, seekContacts } from '../../src/strokes/contacts.ts';
import { hear } from '../../src/strokes/hear.ts';
import type { Stroke } from '../../src/strokes/types.ts';
import type { RecordedNoise } from './contactMaterial.ts';
import { highPass, resample } from './filters.ts';
import type { FolderPiano } from './folder.ts';
import { rms } from './room.ts';
import { SAMPLE_RATE } from './samples.ts';

/** One stroke with the noise before it, and what was said. */
export interface UntrimmedStroke {
  readonly midi: number;
  readonly file: string;
  readonly dyn: string;
  /** How sure the truth is of its noise: sure, fair, unsure, none. */
  readonly sureness: string;
  /** Start of the noise and onset in what was heard as the truth has them, seconds. */
  readonly trueContact: number | null;
  readonly trueOnset: number;
  readonly fadeSeconds: number;
  /** The stroke nearest to the true onset as heard; `null` if none within 30 ms. */
  readonly heard: Stroke | null;
}

const BLOCK_SECONDS = 0.01;
/** Above this there is next to nothing of the noise before a stroke. */
const HISS_ABOVE = 2500;
const LONGEST_FADE = 0.3;
/** The file may begin so long after the fade does, or so long before it. */
const EARLIEST_START = -0.2;
const LATEST_START = 0.06;
/** Where the fade lets less through, rounding is all there is: that much is cut away. */
const LEAST_GAIN = 0.25;
const MOST_MISFIT = 0.5;
const SILENT = 1e-7;
const NEAR_STROKE = 0.03;

/** A recording freed of its fade-in. */
export interface WithoutFade {
  readonly samples: Float32Array;
  /** So much was cut off at the beginning. */
  readonly cutSeconds: number;
  readonly fadeSeconds: number;
}

/**
 * Undoes a linear fade-in: the one under which the level of the hiss above 2.5 kHz, block by block, is most nearly
 * constant. `until`: where the tone begins.
 */
export function withoutFade(samples: Float32Array, rate: number, until: number): WithoutFade {
  const hiss = highPass(highPass(samples, HISS_ABOVE, rate), HISS_ABOVE, rate);
  const block = Math.round(BLOCK_SECONDS * rate);
  const blocks = Math.max(0, Math.floor(((until - 0.04) * rate) / block));
  const levels = Array.from({ length: blocks }, (_, i) => Math.log(rms(hiss, i * block, block) + SILENT));
  if (blocks < 8) return { samples, cutSeconds: 0, fadeSeconds: 0 };
  let best = { misfit: Infinity, start: 0, length: 0 };
  for (let length = 0; length <= LONGEST_FADE; length += BLOCK_SECONDS) {
    for (let start = EARLIEST_START; start <= LATEST_START; start += BLOCK_SECONDS / 2) {
      const freed: number[] = [];
      levels.forEach((level, i) => {
        const gain = fadeAt((i + 0.5) * BLOCK_SECONDS, start, length);
        if (gain >= LEAST_GAIN) freed.push(level - Math.log(gain));
      });
      if (freed.length < 6) continue;
      const centre = median(freed);
      const left = levels.length - freed.length;
      const misfit =
        freed.reduce((sum, level) => sum + Math.min(MOST_MISFIT, Math.abs(level - centre)), 0.12 * left) +
        1e-6 * length;
      if (misfit < best.misfit) best = { misfit, start, length };
      if (length === 0) break;
    }
  }
  const { start, length } = best;
  const cut = length === 0 ? 0 : Math.max(0, Math.ceil((start + LEAST_GAIN * length) * rate));
  const freed = samples.slice(cut);
  for (let i = 0; i < freed.length; i++) {
    const gain = fadeAt((i + cut) / rate, start, length);
    if (gain >= 1) break;
    freed[i] /= gain;
  }
  return { samples: freed, cutSeconds: cut / rate, fadeSeconds: length };
}

function fadeAt(seconds: number, start: number, length: number): number {
  return length === 0 ? 1 : Math.max(0, Math.min(1, (seconds - start) / length));
}

/** Hears every stroke of a folder that says something of the noise before it. */
export async function untrimmedStrokes({ items }: FolderPiano, acceptance = 1): Promise<UntrimmedStroke[]> {
  const strokes: UntrimmedStroke[] = [];
  for (const { item, path } of items) {
    if (!item.pre || item.dyn === undefined) continue;
    const { channels, sampleRate } = await readSound(await readFile(path));
    const { samples, cutSeconds, fadeSeconds } = withoutFade(channels[0], sampleRate, item.onset_s);
    const trueOnset = item.onset_s - cutSeconds;
    const found = seekContacts(new Pyramid(samples, sampleRate), hear(samples, sampleRate).takes);
    const heard = found.flatMap((take) => decideContacts(take, acceptance)).map(({ stroke }) => stroke);
    const away = (stroke: Stroke): number => Math.abs((stroke.onsetSeconds ?? Infinity) - trueOnset);
    const nearest = heard.reduce<Stroke | null>((a, b) => (a && away(a) <= away(b) ? a : b), null);
    strokes.push({
      midi: item.midi,
      file: item.file,
      dyn: item.dyn,
      sureness: item.pre.confidence,
      trueContact: item.pre.lead_ms === null ? null : trueOnset - item.pre.lead_ms / 1000,
      trueOnset,
      fadeSeconds,
      heard: nearest && away(nearest) <= NEAR_STROKE ? nearest : null,
    });
  }
  return strokes;
}

interface Clip {
  readonly file: string;
  readonly start_in_clip_ms: number;
  readonly tone_onset_after_clip_end_ms: number;
  readonly lead_ms: number;
}

const FADE_IN = 0.02;

/** The noises in the folders under `directory`, at the material's rate; none where no folder holds clips. */
export async function recordedNoises(directory: string): Promise<RecordedNoise[]> {
  const noises: RecordedNoise[] = [];
  for (const name of readdirSync(directory).sort()) {
    const truth = join(directory, name, 'truth.json');
    if (!existsSync(truth)) continue;
    const { items } = JSON.parse(await readFile(truth, 'utf8')) as { items: Clip[] };
    if (!Array.isArray(items) || !items.every((item) => Number.isFinite(item.start_in_clip_ms))) continue;
    for (const { file, start_in_clip_ms, tone_onset_after_clip_end_ms } of items) {
      const { channels, sampleRate } = await readSound(await readFile(join(directory, name, file)));
      const step = sampleRate / SAMPLE_RATE;
      const samples = resample(channels[0], 0, step, Math.floor(channels[0].length / step));
      const rise = FADE_IN * SAMPLE_RATE;
      for (let i = 0; i < rise; i++) samples[i] *= 0.5 - 0.5 * Math.cos((Math.PI * i) / rise);
      const startFrame = Math.round((start_in_clip_ms / 1000) * SAMPLE_RATE);
      noises.push({
        samples,
        startFrame,
        leadSeconds: (samples.length - startFrame) / SAMPLE_RATE + tone_onset_after_clip_end_ms / 1000,
      });
    }
  }
  return noises;
}
