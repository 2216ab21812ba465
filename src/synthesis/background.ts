/**
 * Background noise and mains hum.
 *
 * Training: white and pink. Judging: what an estimator was not fitted on: a fan with its tones, rumble from the street,
 * far talk, and small clicks about the house. All chosen; levels are set by the signal-to-noise ratio alone.
 */

import { decibelsToAmplitude, type Hertz } from '../units.ts';
import { RandomStream } from './random.ts';

export interface Background {
  /** RMS 1 over the whole recording. */
  readonly noise: Float64Array;
  readonly kinds: readonly string[];
}

type Source = (length: number, sampleRate: Hertz, random: RandomStream) => Float64Array;

const SOURCES: Readonly<Record<'training' | 'judging', readonly (readonly [string, Source])[]>> = {
  training: [
    ['white', white],
    ['pink', pink],
  ],
  judging: [
    ['fan', fan],
    ['street', street],
    ['talk', talk],
    ['hiss', white],
    ['clicks', clicks],
  ],
};
/** RMS of each source re the first, dB, before the random part of 3 dB. */
const SHARES: Readonly<Record<string, number>> = {
  white: 0,
  pink: 0,
  fan: 0,
  street: 0,
  talk: -6,
  hiss: -12,
  clicks: -14,
};

/** A background of this variant, RMS 1. */
export function makeBackground(
  length: number,
  sampleRate: Hertz,
  variant: 'training' | 'judging',
  seed: number,
): Background {
  const noise = new Float64Array(length);
  for (const [name, source] of SOURCES[variant]) {
    const random = new RandomStream(seed, `background ${variant} ${name}`);
    const part = source(length, sampleRate, random);
    const gain = decibelsToAmplitude(SHARES[name] + random.normal(0, 3)) / rms(part);
    for (let i = 0; i < length; i++) noise[i] += gain * part[i];
  }
  const whole = rms(noise);
  return { noise: noise.map((value) => value / whole), kinds: SOURCES[variant].map(([name]) => name) };
}

/** Mains hum of RMS 1: the mains and seven harmonics, falling. */
export function makeHum(length: number, sampleRate: Hertz, mains: Hertz, seed: number): Float64Array {
  const random = new RandomStream(seed, 'hum');
  const hum = new Float64Array(length);
  for (let n = 1; n <= 8; n++) {
    const size = random.between(0.5, 1.5) / (n % 2 ? n * 2 : n);
    addTone(hum, sampleRate, mains * n, size, random.between(0, 2 * Math.PI));
  }
  const whole = rms(hum);
  return hum.map((value) => value / whole);
}

function white(length: number, _: Hertz, random: RandomStream): Float64Array {
  return Float64Array.from({ length }, () => random.normal());
}

/** Pink: octave-spaced one-pole low-passes of one white noise, summed with weights for -3 dB an octave. */
function pink(length: number, sampleRate: Hertz, random: RandomStream): Float64Array {
  const corners = Array.from({ length: 9 }, (_, i) => 30 * 2.3 ** i).filter((corner) => corner < sampleRate / 2.2);
  return poles(white(length, sampleRate, random), sampleRate, corners, (corner) => 1 / Math.sqrt(corner));
}

function fan(length: number, sampleRate: Hertz, random: RandomStream): Float64Array {
  const out = poles(white(length, sampleRate, random), sampleRate, [60, 400], (corner) => 60 / corner);
  const level = rms(out);
  const blade = random.between(90, 190);
  for (let n = 1; n <= 5; n++) {
    addTone(out, sampleRate, blade * n * (1 + random.normal(0, 0.001)), (level * random.between(0.2, 0.6)) / n, n);
  }
  addTone(out, sampleRate, random.between(1500, 3500), 0.05 * level, 0);
  return out;
}

/** Rumble that swells and ebbs over seconds, as of passing cars. */
function street(length: number, sampleRate: Hertz, random: RandomStream): Float64Array {
  const out = poles(white(length, sampleRate, random), sampleRate, [45, 150], (corner) => 45 / corner);
  const turns = [random.between(2, 4), random.between(5, 9)].map((seconds) => (2 * Math.PI) / (seconds * sampleRate));
  const phase = random.between(0, 6);
  return out.map((value, i) => value * (1 + 0.5 * Math.sin(turns[0] * i + phase) + 0.4 * Math.sin(turns[1] * i)));
}

/** Far talk: a buzz with two moving formants, in syllables of 0.1 to 0.3 s with pauses. */
function talk(length: number, sampleRate: Hertz, random: RandomStream): Float64Array {
  const out = new Float64Array(length);
  for (let start = 0; start < length;) {
    const syllable = Math.round(random.between(0.1, 0.3) * sampleRate);
    const pitch = random.between(95, 180);
    const formants = [random.between(300, 800), random.between(900, 2200)];
    const loud = random.between(0.3, 1);
    const harmonics = Array.from({ length: 16 }, (_, n) => (n + 1) * pitch);
    const sizes = harmonics.map((f) =>
      formants.reduce((sum, centre) => sum + 1 / (1 + ((f - centre) / 90) ** 2), 0.02),
    );
    for (let i = 0; i < syllable && start + i < length; i++) {
      const envelope = loud * Math.sin((Math.PI * i) / syllable) ** 2;
      let value = 0;
      for (let n = 0; n < harmonics.length; n++) {
        value += sizes[n] * Math.sin((2 * Math.PI * harmonics[n] * i) / sampleRate);
      }
      out[start + i] = envelope * value;
    }
    start += syllable + Math.round((random.chance(0.15) ? random.between(0.3, 1) : 0.02) * sampleRate);
  }
  return out;
}

/** Small clicks about the house, one in about two seconds. */
function clicks(length: number, sampleRate: Hertz, random: RandomStream): Float64Array {
  const out = new Float64Array(length);
  // One at least, so that the source has a level even in a short recording.
  for (let at = random.between(0, length / 2); at < length; at += random.between(0.5, 3.5) * sampleRate) {
    const frequency = random.between(800, 5000);
    const tau = random.between(0.0005, 0.002) * sampleRate;
    const size = random.between(0.2, 1);
    const from = Math.floor(at);
    for (let i = 0; i < 8 * tau && from + i < length; i++) {
      out[from + i] += size * Math.exp(-i / tau) * Math.sin((2 * Math.PI * frequency * i) / sampleRate + 1);
    }
  }
  return out;
}

function addTone(out: Float64Array, sampleRate: Hertz, frequency: Hertz, amplitude: number, phase: number): void {
  const omega = (2 * Math.PI * frequency) / sampleRate;
  const twice = 2 * Math.cos(omega);
  let before = amplitude * Math.sin(phase - omega);
  let now = amplitude * Math.sin(phase);
  for (let i = 0; i < out.length; i++) {
    out[i] += now;
    [before, now] = [now, twice * now - before];
  }
}

function poles(
  input: Float64Array,
  sampleRate: Hertz,
  corners: readonly Hertz[],
  weight: (corner: Hertz) => number,
): Float64Array {
  const out = new Float64Array(input.length);
  for (const corner of corners) {
    const share = 1 - Math.exp((-2 * Math.PI * corner) / sampleRate);
    const gain = weight(corner);
    let state = 0;
    for (let i = 0; i < input.length; i++) {
      state += share * (input[i] - state);
      out[i] += gain * state;
    }
  }
  return out;
}

function rms(x: Float64Array): number {
  let sum = 0;
  for (const value of x) sum += value * value;
  return Math.sqrt(sum / x.length);
}
