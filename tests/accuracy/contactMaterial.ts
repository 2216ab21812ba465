/**
 * Takes with the noise of the finger's contact before every stroke, at known times and levels.
 *
 * Three kinds of noise: a click of five damped vibrations of 0.45 to 5.2 kHz that die within 0.4 to 3 ms (modelled; levels
 * on recordings unknown), a thump of 95 to 205 Hz with fainter vibrations above it, abrupt, growing until the tone (made
 * after descriptions of untrimmed recordings of one grand), and, from a folder, noises cut from real recordings. None is
 * made by the code that makes practice recordings. Tones are cut to 1.5 ms before their arrival.
 *
 * Travel times: 30 ms for a medium stroke, to the power -0.57 of its amplitude (as published, read at second hand), with a
 * scatter of 8 % (assumed). Real noises bring their own; a take uses a few of like travel time, as one hand would.
 */

import type { Chance } from './chance.ts';
import { seedOf } from './chance.ts';
import { planChance, type Plan, type PlannedContact, type PlannedStroke } from './material.ts';
import { wholeTake, type TakeOptions } from './patterns.ts';
import { SAMPLE_RATE } from './samples.ts';

export const CONTACT_NOISES = ['click', 'thump', 'real', 'none'] as const;
export type ContactNoise = (typeof CONTACT_NOISES)[number];

/** A noise cut from a recording. */
export interface RecordedNoise {
  readonly samples: Float32Array;
  /** Where it begins, and how long before the onset. */
  readonly startFrame: number;
  readonly leadSeconds: number;
}

/** Sampled keys on which rules and constants are chosen; and those on which they are judged. */
export const CHOOSING_KEYS = [27, 39, 48, 57, 66, 75, 84, 93] as const;
export const JUDGING_KEYS = [21, 30, 33, 42, 51, 63, 72, 81, 90, 99] as const;

/** What a take with contacts is heard under. */
export interface ContactConditions {
  readonly snrDb: number;
  readonly rate: number;
  readonly ringDb: number;
}

const MEDIUM_TRAVEL = 0.03;
const TRAVEL_SCATTER = 0.08;
const LEAST_TRAVEL = 0.012;

/** A take of 8 slow and 12 fast strokes with a contact before each. `levelDb` is re the tone's peak. */
export function takeWithContacts(
  options: TakeOptions,
  noise: ContactNoise,
  levelDb: number,
  recorded: readonly RecordedNoise[] = [],
): Plan {
  const plan = wholeTake(options);
  // The same noises at the same times whatever their level.
  const random = planChance(seedOf(options.seed, noise.length));
  const alike = fewAlike(recorded, random);
  const strokes = plan.strokes.map((stroke): PlannedStroke =>
    noise === 'none' ? stroke : { ...stroke, contact: contactFor(noise, levelDb, stroke.gainDb, random, alike) },
  );
  return { ...plan, name: `${plan.name}, ${noise} ${levelDb} dB`, strokes, bareAttacks: true };
}

/** The same of the medium layer, under given conditions; `chanceOf` tells takes of one key apart. */
export function mediumTake(
  midi: number,
  noise: ContactNoise,
  levelDb: number,
  conditions: ContactConditions,
  recorded: readonly RecordedNoise[] = [],
  chanceOf = 0,
): Plan {
  const { snrDb, rate, ringDb } = conditions;
  const seed = seedOf(midi, snrDb, rate, -ringDb, chanceOf, 41);
  return takeWithContacts({ midi, slowLayers: [8], fastLayers: [8], ...conditions, seed }, noise, levelDb, recorded);
}

/** Four noises with neighbouring travel times. */
function fewAlike(recorded: readonly RecordedNoise[], random: Chance): RecordedNoise[] {
  const sorted = [...recorded].sort((a, b) => a.leadSeconds - b.leadSeconds);
  const first = Math.floor(random.uniform() * Math.max(1, sorted.length - 3));
  return sorted.slice(first, first + 4);
}

function contactFor(
  kind: Exclude<ContactNoise, 'none'>,
  levelDb: number,
  gainDb: number,
  random: Chance,
  recorded: readonly RecordedNoise[],
): PlannedContact {
  if (kind === 'real') {
    const { samples, startFrame, leadSeconds } = random.pick(recorded);
    return { leadSeconds, levelDb, noise: () => samples, before: startFrame };
  }
  const travel = MEDIUM_TRAVEL * 10 ** ((-0.57 * gainDb) / 20) * Math.exp(TRAVEL_SCATTER * random.normal());
  const made = kind === 'click' ? click(random) : thump(random);
  return { leadSeconds: Math.max(LEAST_TRAVEL, travel), levelDb, noise: made };
}

const within = (random: Chance, low: number, high: number): number => low * (high / low) ** random.uniform();

function click(random: Chance): () => Float32Array {
  const noise = new Float32Array(Math.round(0.03 * SAMPLE_RATE));
  for (let mode = 0; mode < 5; mode++) {
    const omega = (2 * Math.PI * within(random, 450, 5200)) / SAMPLE_RATE;
    const tau = within(random, 0.0004, 0.003) * SAMPLE_RATE;
    const size = 0.5 + random.uniform();
    const phase = 2 * Math.PI * random.uniform();
    for (let i = 0; i < noise.length; i++) noise[i] += size * Math.exp(-i / tau) * Math.sin(omega * i + phase);
  }
  return () => noise;
}

function thump(random: Chance): (lead: number) => Float32Array {
  const lowest = 95 + 110 * random.uniform();
  const parts = [
    [lowest, 1],
    [lowest * (2.3 + 0.6 * random.uniform()), 0.35],
    [lowest * (5 + 2 * random.uniform()), 0.15],
    [lowest * 9, 0.06],
  ].map(([hertz, size]) => ({
    omega: (2 * Math.PI * hertz) / SAMPLE_RATE,
    size,
    phase: 2 * Math.PI * random.uniform(),
  }));
  return (lead) => {
    const noise = new Float32Array(Math.round((lead + 0.06) * SAMPLE_RATE));
    const tone = lead * SAMPLE_RATE;
    for (let i = 0; i < noise.length; i++) {
      const grown = 0.5 + 0.5 * Math.min(1, i / tone);
      const dies = i > tone ? Math.exp((tone - i) / (0.02 * SAMPLE_RATE)) : 1;
      for (const { omega, size, phase } of parts) noise[i] += size * grown * dies * Math.sin(omega * i + phase);
    }
    return noise;
  };
}
