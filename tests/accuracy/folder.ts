/**
 * A folder of other people's recordings of single strokes, measured on request; no test needs one.
 *
 * Expected: one or more folders with a `truth.json` of `{ "items": [ { "file", "midi", "onset_s", "dyn" | "layer" } ] }`
 * beside the files, FLAC, WAV or Ogg Vorbis. `dyn` is ff, mf or pp, `layer` H or L. Optional per item:
 * `pre: { "lead_ms", "confidence" }`, the noise of the key before the onset.
 */

import { existsSync, readdirSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { analyse } from '../../src/analysis/analyse.ts';
import { readSound } from '../../src/soundfiles/index.ts';
import { chance, seedOf } from './chance.ts';
import type { Piano, Tone } from './material.ts';
import { addNoise, rms } from './room.ts';
import { SAMPLE_RATE, type Layer } from './samples.ts';

interface Item {
  readonly file: string;
  readonly midi: number;
  readonly onset_s: number;
  readonly dyn?: string;
  readonly layer?: string;
  readonly pre?: { readonly lead_ms: number | null; readonly confidence: string };
}

/** A folder of single strokes as a piano that the patterns can be played on. */
export interface FolderPiano {
  readonly name: string;
  readonly piano: Piano;
  /** Keys that were recorded in each layer. */
  keys(layer: Layer): number[];
  readonly items: readonly { item: Item; path: string }[];
}

const LAYER_OF: Readonly<Record<string, Layer>> = { ff: 12, mf: 8, pp: 4, H: 12, L: 8 };

/** The folders under `directory` that hold single strokes with their truth. */
export async function folderPianos(directory: string): Promise<FolderPiano[]> {
  const found: FolderPiano[] = [];
  for (const name of readdirSync(directory).sort()) {
    const truth = join(directory, name, 'truth.json');
    if (!existsSync(truth)) continue;
    const { items } = JSON.parse(await readFile(truth, 'utf8')) as { items: Item[] };
    if (!Array.isArray(items) || !items.every((i) => Number.isFinite(i.onset_s) && layerOf(i) !== undefined)) continue;
    found.push(folderPiano(join(directory, name), name, items));
  }
  if (found.length === 0) {
    throw new RangeError(
      `${directory} holds no folder with a truth.json of single strokes; see tests/accuracy/folder.ts`,
    );
  }
  return found;
}

const layerOf = ({ dyn, layer }: Item): Layer | undefined => LAYER_OF[dyn ?? layer ?? ''];

function folderPiano(folder: string, name: string, items: readonly Item[]): FolderPiano {
  const cache = new Map<string, Promise<Tone>>();
  const load = async ({ file, onset_s }: Item): Promise<Tone> => {
    const { channels, sampleRate } = await readSound(await readFile(join(folder, file)));
    return {
      samples: channels[0],
      arrival: onset_s * sampleRate,
      uncertainty: null,
      step: sampleRate / SAMPLE_RATE,
    };
  };
  return {
    name,
    keys: (layer) => items.filter((item) => layerOf(item) === layer).map(({ midi }) => midi),
    items: items.map((item) => ({ item, path: join(folder, item.file) })),
    piano: async (midi, layer, cents) => {
      const item = items.find((candidate) => candidate.midi === midi && layerOf(candidate) === layer);
      if (!item) throw new RangeError(`${name} has no stroke of key ${midi} in layer ${layer}`);
      let tone = cache.get(item.file);
      if (!tone) {
        tone = load(item);
        cache.set(item.file, tone);
      }
      const own = await tone;
      return { ...own, step: own.step * 2 ** (cents / 1200) };
    },
  };
}

/** What the analysis made of one untouched file with one stroke in it. */
export interface SingleStroke {
  readonly midi: number;
  readonly file: string;
  readonly named: number | null;
  /** Onset said minus onset in the truth, seconds; infinite where no stroke was heard. */
  readonly onsetError: number;
  /** Sounded strokes beyond the one. */
  readonly extras: number;
  /** Lead of the key's noise: truth, and as said (`null`: none said); absent unless the truth is sure of it. */
  readonly lead?: { readonly truth: number; readonly said: number | null };
}

/** Recordings that are cut nearer than this before their onset get a second of quiet room in front. */
const LEAD_SECONDS = 0.1;
const QUIET_DB = -60;

/** The stroke with a lead that a recording would have, and its onset in it. */
function withLead(samples: Float32Array, sampleRate: number, onset: number): { samples: Float32Array; onset: number } {
  if (onset >= LEAD_SECONDS) return { samples, onset };
  const lead = new Float32Array(sampleRate + samples.length);
  lead.set(samples, sampleRate);
  addNoise(lead, rms(samples, 0, sampleRate) * 10 ** (QUIET_DB / 20), chance(seedOf(samples.length)));
  return { samples: lead, onset: onset + 1 };
}

/** Analyses every file of a folder, as it is or with a second of quiet in front of those that begin with the tone. */
export async function singleStrokes({ items }: FolderPiano): Promise<SingleStroke[]> {
  const results: SingleStroke[] = [];
  for (const { item, path } of items) {
    const { channels, sampleRate } = await readSound(await readFile(path));
    const { samples, onset } = withLead(channels[0], sampleRate, item.onset_s);
    const durationSeconds = samples.length / sampleRate;
    const { strokes } = analyse(samples, { file: item.file, sampleRate, channels: 1, durationSeconds });
    const sounded = strokes.filter(({ kind, onsetSeconds }) => kind === 'sounded' && onsetSeconds !== null);
    const nearest = sounded.reduce<(typeof sounded)[number] | null>(
      (best, stroke) =>
        !best || Math.abs(stroke.onsetSeconds! - onset) < Math.abs(best.onsetSeconds! - onset) ? stroke : best,
      null,
    );
    const sure = item.pre?.confidence === 'sure' && item.pre.lead_ms !== null;
    results.push({
      midi: item.midi,
      file: item.file,
      named: nearest?.midi ?? null,
      onsetError: nearest ? nearest.onsetSeconds! - onset : Infinity,
      extras: Math.max(0, sounded.length - 1),
      ...(sure && {
        lead: {
          truth: item.pre!.lead_ms! / 1000,
          said: nearest && nearest.contactSeconds !== null ? nearest.onsetSeconds! - nearest.contactSeconds : null,
        },
      }),
    });
  }
  return results;
}
