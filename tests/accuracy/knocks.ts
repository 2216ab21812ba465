/**
 * Noises of a workshop, modelled: footsteps, a dropped tool, taps on the case, a chair, doors.
 *
 * Each is a few damped modes and bursts of filtered noise; figures are assumed (no source) and drawn anew for every
 * event, so that no two seeds share a floor, a tool or a door. Only the ratios of a free bar are known: 1, 2.756, 5.404,
 * 8.933 (Fletcher & Rossing, The Physics of Musical Instruments, section 2.14; from memory). Written apart from
 * `src/synthesis`, whose noises the detector has met. One channel, peaks of the loudest event near 1.
 */

import type { Chance } from './chance.ts';
import { highPass, lowPass } from './filters.ts';
import { SAMPLE_RATE } from './samples.ts';

/** One damped mode. */
interface Mode {
  readonly hertz: number;
  /** Time to fall by 60 dB. */
  readonly seconds: number;
  readonly amplitude: number;
}

const between = (random: Chance, low: number, high: number): number => low + (high - low) * random.uniform();
/** The same on a logarithmic scale. */
const octaves = (random: Chance, low: number, high: number): number => low * (high / low) ** random.uniform();
const BAR = [1, 2.756, 5.404, 8.933, 13.34];

/** Events in turn, from `from` seconds on, each telling how long until the next, until `seconds` are full. */
function fill(seconds: number, event: (into: Float32Array, at: number) => number): Float32Array {
  const samples = new Float32Array(Math.round(seconds * SAMPLE_RATE));
  for (let at = 0.5; at < seconds - 0.5;) at += event(samples, at);
  return samples;
}

function ring(into: Float32Array, at: number, modes: readonly Mode[], gain: number, random: Chance): void {
  const from = Math.round(at * SAMPLE_RATE);
  // A blow of some length: modes above its inverse are hardly moved, and nothing starts with a step.
  const rise = Math.max(8, Math.round(between(random, 0.0003, 0.002) * SAMPLE_RATE));
  for (const { hertz, seconds, amplitude } of modes) {
    const phase = 2 * Math.PI * random.uniform();
    const step = (2 * Math.PI * hertz) / SAMPLE_RATE;
    const count = Math.min(into.length - from, Math.round(1.2 * seconds * SAMPLE_RATE));
    for (let i = 0; i < count; i++) {
      const up = i < rise ? 0.5 - 0.5 * Math.cos((Math.PI * i) / rise) : 1;
      into[from + i] += gain * amplitude * up * Math.sin(phase + step * i) * 10 ** ((-3 * i) / (seconds * SAMPLE_RATE));
    }
  }
}

/** Noise between two corners, rising over `rise` and falling by 60 dB over `fall` seconds. */
function burst(
  into: Float32Array,
  at: number,
  [low, high]: readonly [number, number],
  rise: number,
  fall: number,
  gain: number,
  random: Chance,
): void {
  const raw = Float32Array.from({ length: Math.round((rise + fall) * SAMPLE_RATE) }, () => random.normal());
  const noise = lowPass(highPass(raw, low, SAMPLE_RATE), high, SAMPLE_RATE);
  const level = Math.hypot(...noise.subarray(0, 2000)) / Math.sqrt(Math.min(2000, noise.length));
  const from = Math.round(at * SAMPLE_RATE);
  for (let i = 0; i < noise.length && from + i < into.length; i++) {
    const now = i / SAMPLE_RATE;
    const shape = now < rise ? now / rise : 10 ** ((-3 * (now - rise)) / fall);
    into[from + i] += ((gain * shape) / (level || 1)) * noise[i] * 0.4;
  }
}

function panel(random: Chance, low: number, high: number, count: number, longest: number): Mode[] {
  return Array.from({ length: count }, () => {
    const hertz = octaves(random, low, high);
    return { hertz, seconds: longest * between(random, 0.3, 1) * (low / hertz) ** 0.4, amplitude: random.uniform() };
  });
}

/** Somebody walks about: heel, floor, sole, at about two steps a second, with pauses. */
export function footsteps(seconds: number, random: Chance): Float32Array {
  const floor = panel(random, 55, 420, 6, 0.25);
  const pace = between(random, 0.48, 0.68);
  return fill(seconds, (into, at) => {
    const gain = 0.4 * octaves(random, 0.5, 1.5);
    ring(
      into,
      at,
      floor.map((mode) => ({ ...mode, amplitude: mode.amplitude * between(random, 0.4, 1.2) })),
      gain,
      random,
    );
    burst(into, at, [90, octaves(random, 800, 3000)], 0.002, between(random, 0.03, 0.08), gain, random);
    burst(into, at + between(random, 0.06, 0.12), [300, 5000], 0.02, 0.08, 0.15 * gain, random);
    return random.uniform() < 0.08 ? between(random, 1.5, 4) : pace * (1 + 0.04 * random.normal());
  });
}

/** A tool falls and bounces: a bar of metal on wood. */
export function droppedTools(seconds: number, random: Chance): Float32Array {
  return fill(seconds, (into, at) => {
    const first = octaves(random, 500, 3200);
    const length = octaves(random, 0.12, 1.2);
    const floor = panel(random, 80, 500, 4, 0.15);
    let now = at;
    let flight = between(random, 0.18, 0.4);
    for (let gain = 0.8; gain > 0.03 && now < at + 2.5;) {
      const modes = BAR.map((ratio) => ({
        hertz: first * ratio,
        seconds: length / Math.sqrt(ratio),
        amplitude: 0.6 * random.uniform(),
      })).filter(({ hertz }) => hertz < 18000);
      ring(into, now, modes, gain, random);
      ring(into, now, floor, gain, random);
      burst(into, now, [200, 6000], 0.001, 0.02, 0.6 * gain, random);
      now += flight;
      const kept = between(random, 0.45, 0.75);
      flight *= kept;
      gain *= kept;
    }
    return now - at + between(random, 1.5, 3);
  });
}

/** Knuckles or a handle on the case, in even rows of four to ten. */
export function caseTaps(seconds: number, random: Chance): Float32Array {
  return fill(seconds, (into, at) => {
    const wood = panel(random, 120, 1400, 8, octaves(random, 0.08, 0.3));
    const step = octaves(random, 0.12, 0.9);
    const count = 4 + Math.floor(7 * random.uniform());
    for (let i = 0; i < count; i++) {
      const now = at + i * step + 0.008 * random.normal();
      const gain = 0.5 * octaves(random, 0.6, 1.4);
      ring(into, now, wood, 0.5 * gain, random);
      burst(into, now, [300, 4000], 0.0008, 0.012, gain, random);
    }
    return count * step + between(random, 0.8, 2);
  });
}

/** A chair: legs that scrape, joints that creak. */
export function chair(seconds: number, random: Chance): Float32Array {
  return fill(seconds, (into, at) => {
    const length = between(random, 0.25, 0.9);
    if (random.uniform() < 0.5) {
      for (let t = 0; t < length; t += between(random, 0.03, 0.09)) {
        burst(into, at + t, [200, 5000], 0.01, 0.12, 0.4 * random.uniform(), random);
      }
    } else {
      // Stick and slip: pulses whose rate glides, through the wood.
      const wood = panel(random, 250, 2500, 5, 0.05);
      let rate = octaves(random, 35, 180);
      const glide = between(random, -0.012, 0.012);
      for (let t = 0; t < length; t += (1 + 0.05 * random.normal()) / rate) {
        ring(into, at + t, wood, 0.25 * Math.sin((Math.PI * t) / length), random);
        rate *= 1 + glide;
      }
    }
    return length + between(random, 0.6, 2);
  });
}

/** Doors: a latch, a slam, its rattle. */
export function doors(seconds: number, random: Chance): Float32Array {
  return fill(seconds, (into, at) => {
    const latch = panel(random, 1200, 7000, 5, 0.06);
    ring(into, at, latch, 0.3, random);
    const slam = at + between(random, 0.08, 0.5);
    ring(into, slam, panel(random, 35, 300, 6, 0.5), 0.7, random);
    burst(into, slam, [50, 2500], 0.003, between(random, 0.1, 0.25), 0.6, random);
    for (let i = 0, now = slam; i < 4; i++) {
      now += between(random, 0.03, 0.1);
      ring(into, now, latch, 0.15 * random.uniform(), random);
    }
    return between(random, 1.5, 3.5);
  });
}
