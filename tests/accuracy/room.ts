/**
 * What stands between the string and the file: a room, a telephone's microphone, noise.
 *
 * Conventions: one channel at the material's rate. The numbers are those of an assumed furnished room with the
 * telephone within a metre (no source): direct sound, six early echoes, a tail of 0.45 s reverberation time whose
 * energy is 4 dB under the direct sound; a high-pass of 80 Hz, 12 dB an octave; pink and white noise of equal power.
 */

import type { Chance } from './chance.ts';
import { chance } from './chance.ts';
import { convolve, highPass, lowPass } from './filters.ts';
import { SAMPLE_RATE } from './samples.ts';

const TAIL_SECONDS = 0.45;
const TAIL_DB = -4;
const ECHOES = 6;
/** Lower corner of a telephone's microphone, hertz. */
const PHONE_CORNER = 80;

/** A room's response; its direct sound is sample 0 with gain 1, so that no time is shifted. `louderDb` raises all the rest. */
export function roomResponse(random: Chance, louderDb = 0): Float32Array {
  const length = Math.round(TAIL_SECONDS * SAMPLE_RATE);
  const raw = new Float32Array(length);
  const begins = 0.008 * SAMPLE_RATE;
  for (let i = Math.round(begins); i < length; i++) {
    raw[i] = random.normal() * 10 ** ((-3 * (i - begins)) / length);
  }
  const tail = lowPass(raw, 6000, SAMPLE_RATE);
  const energy = tail.reduce((sum, x) => sum + x * x, 0);
  const response = tail.map((x) => x * Math.sqrt(10 ** (TAIL_DB / 10) / energy));
  for (let i = 0; i < ECHOES; i++) {
    const at = Math.round((0.0015 + 0.03 * random.uniform()) * SAMPLE_RATE);
    const sign = random.uniform() < 0.3 ? -1 : 1;
    response[at] += sign * 10 ** (-(8 + 10 * random.uniform()) / 20);
  }
  const louder = 10 ** (louderDb / 20);
  for (let i = 0; i < response.length; i++) response[i] *= louder;
  response[0] = 1;
  return response;
}

/** The dry sum as the telephone hears it, before noise. */
export function heardInRoom(dry: Float32Array, response: Float32Array): Float32Array {
  return highPass(convolve(dry, response), PHONE_CORNER, SAMPLE_RATE);
}

let noiseStore: Float32Array | undefined;

/** A minute of noise, pink and white half and half in power, RMS 1; made once, read from a chance place. */
function storedNoise(): Float32Array {
  if (noiseStore) return noiseStore;
  const random = chance(20_201);
  const n = 60 * SAMPLE_RATE;
  const pink = new Float32Array(n);
  let [b0, b1, b2] = [0, 0, 0];
  for (let i = 0; i < n; i++) {
    // P. Kellet's economy pink filter, within half a decibel above 10 Hz.
    const white = random.normal();
    b0 = 0.99765 * b0 + 0.099046 * white;
    b1 = 0.963 * b1 + 0.2965164 * white;
    b2 = 0.57 * b2 + 1.0526913 * white;
    pink[i] = b0 + b1 + b2 + 0.1848 * white;
  }
  const scale = Math.SQRT1_2 / rms(pink, 0, n);
  noiseStore = pink.map((x) => x * scale + Math.SQRT1_2 * random.normal());
  return noiseStore;
}

/** Adds noise of the given RMS in place, from a chance place of the store and with a chance sign. */
export function addNoise(samples: Float32Array, level: number, random: Chance): void {
  const noise = storedNoise();
  const offset = Math.floor(random.uniform() * noise.length);
  const gain = random.uniform() < 0.5 ? -level : level;
  for (let i = 0; i < samples.length; i++) samples[i] += gain * noise[(offset + i) % noise.length];
}

/** Root mean square of `length` samples from `from`; what lies outside is left out. */
export function rms(samples: Float32Array, from: number, length: number): number {
  const start = Math.max(0, from);
  const end = Math.min(samples.length, from + length);
  let sum = 0;
  for (let i = start; i < end; i++) sum += samples[i] * samples[i];
  return Math.sqrt(sum / Math.max(1, end - start));
}
