/**
 * One note as a set of damped vibrations: its strings, and the soundboard's own answer to the hammer.
 *
 * Each partial is two or three vibrations, slightly apart: a strong one that dies soon and a weak one that lasts
 * (prompt sound and aftersound, Weinreich 1977). What a microphone hears is the force at the bridge: partial n of a string
 * struck at the share alpha of its length contributes (-1)^n sin(n pi alpha), whose signs make the bass wave arrive
 * (1 - alpha)/(2 f) after the blow, stiffness letting its high parts run ahead. Below about 65 Hz little is radiated.
 * Decay and contact time over the compass: fits to a grand of 7 ft, read at second hand. The rest is chosen to
 * lie inside the spread of recorded notes (tests/synthesis/realism.ts).
 */

import { inharmonicity, partialFrequency, tunedFirstPartial } from '../piano/strings.ts';
import { centsToRatio, decibelsToAmplitude, type Cents, type Hertz, type MidiNote, type Seconds } from '../units.ts';
import { RandomStream } from './random.ts';
import type { Variant } from './variants.ts';

/** One damped vibration. */
export interface Mode {
  /** Angular frequency, radians per second. */
  readonly omega: number;
  /** Decay, nepers per second. */
  readonly decay: number;
  /** Complex weight of what the microphone hears of it. */
  readonly re: number;
  readonly im: number;
  /** Strings are stopped by damper and hammer; the soundboard is not. */
  readonly isString: boolean;
}

/** A note's vibrations and how its hammer strikes. */
export interface NoteModes {
  readonly midi: MidiNote;
  readonly modes: readonly Mode[];
  /** Length of the hammer's pulse at 2.8 m/s. */
  readonly pulseSeconds: Seconds;
  /** Ratio of a three times shorter pulse to the longer one, at 2 m/s. */
  readonly hardness: number;
  readonly hardnessPerSpeed: number;
  /** Rate of the damper, nepers per second; 0 where there is none. */
  readonly damping: number;
}

/** MIDI, contact at medium loud (ms), prompt decay (dB/s), aftersound T60 (s): fits to a grand of 7 ft, read at second hand. */
const COMPASS: readonly (readonly [number, number, number, number])[] = [
  [21, 3.7, 8.1, 52],
  [24, 3.56, 8.6, 50],
  [33, 3.14, 10.2, 46],
  [36, 3.0, 11.7, 43],
  [45, 2.85, 16.7, 35],
  [48, 2.8, 18.4, 33],
  [57, 2.27, 23.5, 30],
  [60, 2.1, 25.5, 28],
  [69, 1.61, 28.8, 23],
  [72, 1.45, 27.8, 21],
  [81, 1.19, 26.2, 16],
  [84, 1.1, 27.2, 15],
  [93, 0.72, 35.4, 12],
  [96, 0.6, 41.6, 11],
  [108, 0.5, 82.2, 9],
];

/** Hammer's spectrum over the compass: MIDI, pulse ratio. */
const HARDNESS: readonly (readonly [number, number])[] = [
  [21, 0.24],
  [45, 0.22],
  [60, 0.2],
  [72, 0.13],
  [78, 0.06],
  [84, 0.025],
  [96, 0.015],
  [108, 0.006],
];

/** Least decay of the part of a tone that dies soonest, nepers per second (100 dB/s). */
const EARLY_DECAY = 11.5;
/** How fast a top note grows after its first millisecond, nepers per second. */
const GROWTH = 150;

/** Contact duration of a medium loud blow (2.8 m/s), seconds. */
export function contactDuration(midi: MidiNote): Seconds {
  return interpolate(COMPASS, midi, 1) / 1000;
}

/** Contact duration at a hammer speed: proportional to v^-0.19 (read at second hand, from a lecture figure for C4). */
export function contactDurationAt(midi: MidiNote, velocity: number): Seconds {
  return contactDuration(midi) * (velocity / 2.8) ** -0.19;
}

/** Decay of the first partial: prompt sound and aftersound, dB per second. */
export function decayRates(midi: MidiNote): { readonly prompt: number; readonly after: number } {
  return { prompt: interpolate(COMPASS, midi, 2), after: 60 / interpolate(COMPASS, midi, 3) };
}

/** Decibels per second to nepers per second. */
export function decibelsToNepers(decibelsPerSecond: number): number {
  return (decibelsPerSecond * Math.LN10) / 20;
}

/** The vibrations of a note on the piano of this seed, up to `highest` hertz. */
export function noteModes(midi: MidiNote, variant: Variant, tuning: Cents, highest: Hertz, seed: number): NoteModes {
  const random = new RandomStream(seed, `strings ${midi} ${variant.travelExponent}`);
  const first = tunedFirstPartial(midi) * centsToRatio(tuning + random.normal(0, 1.5));
  const ceiling = Math.min(highest, 15000);
  const strings = stringModes(midi, first, variant, random, ceiling);
  const register = midi < 48 ? 0.1 : midi < 76 ? 0.24 : 0.5;
  return {
    midi,
    modes: [...strings, ...soundboard(strings, variant, random, ceiling)],
    // From C6 up the contact outlasts the period. A raised cosine that long would have its zero near the first partial,
    // which the skewed pulse of a real hammer has not: one as long as the period stands for it.
    pulseSeconds: Math.min(contactDuration(midi), 1 / first) * Math.exp(random.normal(0, 0.05)),
    hardness: variant.hardness * interpolate(HARDNESS, midi, 1),
    hardnessPerSpeed: variant.hardnessPerSpeed,
    damping: midi < variant.firstUndamped ? decibelsToNepers(1000 * register) : 0,
  };
}

/** 0 below `from`, 1 above `to`, straight between. */
function ramp(midi: MidiNote, from: MidiNote, to: MidiNote): number {
  return Math.min(1, Math.max(0, (midi - from) / (to - from)));
}

function stringModes(midi: MidiNote, first: Hertz, variant: Variant, random: RandomStream, ceiling: Hertz): Mode[] {
  const bass = 1 - ramp(midi, 33, 57);
  const b = inharmonicity(midi) * (1 - bass * (1 - variant.bassInharmonicity)) * Math.exp(random.normal(0, 0.07));
  const [low, top] = variant.strike;
  const strike = low + ramp(midi, 21, 108) * (top - low) + random.normal(0, 0.002);
  const { prompt, after } = decayRates(midi);
  const ownDecay = Math.exp(random.normal(0, 0.15));
  const strings = midi < 33 ? 1 : midi < 42 ? 2 : 3;
  const detune = Array.from({ length: strings }, () => random.normal(0, 0.35));
  // High partials of long strings lie closer together, so each step costs less.
  const growing = variant.decayPerPartial * (0.3 + 0.7 * ramp(midi, 32, 57));
  // Recorded notes of the top octaves fall more steeply than the hammer's pulse and one order of this explain.
  const steepness = 1 + ramp(midi, 72, 96);
  // Recorded tones lose some dB within the first tenth of a second; those of the top octave start at once and still grow.
  const early = variant.early * (1 - 1.6 * ramp(midi, 84, 96));
  const lasting = variant.aftersound * (1 + 0.6 * bass - 0.4 * ramp(midi, 60, 72));
  const modes: Mode[] = [];
  for (let n = 1; ; n++) {
    const frequency = partialFrequency(first, n, b);
    if (frequency > ceiling) return modes;
    const x = (frequency / variant.radiationHertz) ** 4;
    const treble = Math.hypot(1, frequency / variant.trebleHertz) ** -steepness;
    const radiated = (x / Math.hypot(1, x)) * treble * decibelsToAmplitude(random.normal(0, 2.5));
    const amplitude = (n % 2 ? -1 : 1) * Math.sin(n * Math.PI * strike) * radiated;
    const growth = 1 + growing * (n - 1);
    const fast = decibelsToNepers(prompt * growth * ownDecay * Math.exp(random.normal(0, 0.15)));
    const slow = decibelsToNepers(after * growth * Math.exp(random.normal(0, 0.2)));
    const phase = random.normal(0, 0.35);
    const aftersound = lasting * Math.exp(random.normal(0, 0.3));
    const add = (share: number, decay: number, cents: Cents): void => {
      modes.push({
        omega: 2 * Math.PI * frequency * centsToRatio(cents),
        decay,
        re: amplitude * share * Math.cos(phase),
        im: amplitude * share * Math.sin(phase),
        isString: true,
      });
    };
    if (n <= 24) add(early, early > 0 ? Math.max(6 * fast, EARLY_DECAY) : GROWTH, 0);
    const body = n <= 24 ? 1 - early : 1;
    if (strings === 3 && n <= 12) {
      add(0.55 * body * (1 - aftersound), fast, detune[0]);
      add(0.45 * body * (1 - aftersound), fast * 1.1, detune[1]);
      add(body * aftersound, slow, detune[2]);
    } else {
      add(body * (1 - aftersound), fast, detune[0]);
      if (n <= 40) add(body * aftersound, slow, detune[strings - 1] + 0.3);
    }
  }
}

/**
 * The soundboard's own vibrations, from the first at 55 to 70 Hz to 4 kHz, weighted so that their sum stands
 * `soundboardDb` under the strings': a recorded treble note has -12 to -27 dB at 50 to 220 Hz.
 */
function soundboard(strings: readonly Mode[], variant: Variant, random: RandomStream, ceiling: Hertz): Mode[] {
  const modes: Mode[] = [];
  const total = Math.sqrt(strings.reduce((sum, { re, im }) => sum + re * re + im * im, 0));
  const count = 36;
  for (let i = 0; i < count; i++) {
    const frequency = 62 * (4000 / 62) ** ((i + random.between(-0.4, 0.4)) / (count - 1));
    if (frequency > ceiling) break;
    // Quality 12 to 25 in the low range and a decay of 10 to 40 ms above (common practice, no source).
    const decay = Math.max((Math.PI * frequency) / random.between(12, 25), 25);
    const high = 1 / Math.hypot(1, frequency / 700);
    const size =
      (decibelsToAmplitude(variant.soundboardDb + random.normal(0, 3)) * high * total) / Math.sqrt(count / 4);
    const phase = random.between(-0.5, 0.5);
    const sign = random.chance(0.5) ? 1 : -1;
    modes.push({
      omega: 2 * Math.PI * frequency,
      decay: Math.min(decay, 250),
      re: sign * size * Math.cos(phase),
      im: sign * size * Math.sin(phase),
      isString: false,
    });
  }
  return modes;
}

function interpolate(table: readonly (readonly number[])[], midi: MidiNote, column: number): number {
  const above = Math.max(
    1,
    table.findIndex((row) => row[0] >= midi),
  );
  const [low, high] = [table[above - 1], table[above]];
  return low[column] + ((high[column] - low[column]) * (midi - low[0])) / (high[0] - low[0]);
}
