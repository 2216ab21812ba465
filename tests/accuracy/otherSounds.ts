/**
 * A room full of other sounds: what may stand in a recording and is no take of a piano.
 *
 * Every kind comes in two halves. The *chosen* half (its voices, instruments, seeds) is what thresholds may be chosen
 * on; the *judged* half is other voices, other instruments, other seeds, and only read. Each recording is a sound by
 * itself in the room of `room.ts`, heard by its telephone, 40 dB over its noise, the loudest moment at -6 dB of full scale.
 */

import { chance, seedOf } from './chance.ts';
import { beat, instrument, repeated, speech, tune, type Tool, type Voice } from './debianSounds.ts';
import { caseTaps, chair, doors, droppedTools, footsteps } from './knocks.ts';
import { addNoise, heardInRoom, rms, roomResponse } from './room.ts';
import { loadRelease, SAMPLE_RATE } from './samples.ts';

export const HALVES = ['chosen', 'judged'] as const;
export type Half = (typeof HALVES)[number];

/** One recording of one kind of sound. */
export interface OtherSound {
  readonly kind: string;
  readonly name: string;
  readonly half: Half;
  /** What must be installed to make it; `null`: nothing. */
  readonly needs: Tool | null;
  /** The sound as the telephone hears it, with the room's noise. */
  make(): Promise<Float32Array>;
}

const SECONDS = 45;
const PEAK = 0.5;
const NOISE = 0.01;

/** The dry sound in a room of its own, with noise. */
export function inRoom(dry: Float32Array, seed: number): Float32Array {
  const random = chance(seed);
  const heard = heardInRoom(dry, roomResponse(random));
  const peak = heard.reduce((most, x) => Math.max(most, Math.abs(x)), 1e-9);
  const samples = heard.map((x) => (PEAK / peak) * x);
  addNoise(samples, NOISE * activeLevel(samples), random);
  return samples;
}

/** RMS of a sound while it sounds: of the 50 ms stretches within 25 dB of the loudest. */
export function activeLevel(samples: Float32Array): number {
  const stretch = 0.05 * SAMPLE_RATE;
  const levels = Array.from({ length: Math.floor(samples.length / stretch) }, (_, k) =>
    rms(samples, k * stretch, stretch),
  );
  const loudest = levels.reduce((a, b) => Math.max(a, b), 0);
  const active = levels.filter((level) => level > loudest * 10 ** (-25 / 20));
  return Math.sqrt(active.reduce((sum, level) => sum + level * level, 0) / Math.max(1, active.length));
}

export const VOICES: Readonly<Record<Half, readonly Voice[]>> = {
  chosen: [
    { voice: 'en-gb+m3', speed: 140, pitch: 40 },
    { voice: 'en-us+f2', speed: 175, pitch: 60 },
    { voice: 'en-gb-x-rp+m1', speed: 210, pitch: 30 },
    { voice: 'de+f4', speed: 155, pitch: 50 },
  ],
  judged: [
    { voice: 'en-gb-scotland+m7', speed: 150, pitch: 35 },
    { voice: 'en-us+f5', speed: 195, pitch: 70 },
    { voice: 'fr+f3', speed: 165, pitch: 55 },
    { voice: 'de+m5', speed: 130, pitch: 45 },
    { voice: 'en-gb+croak', speed: 160, pitch: 50 },
  ],
};

/** Programs of the General MIDI list (from 0), their names, and a compass each is played in. */
const INSTRUMENTS: Readonly<Record<Half, readonly (readonly [string, number, number, number])[]>> = {
  chosen: [
    ['nylon guitar', 24, 45, 76],
    ['vibraphone', 11, 55, 86],
    ['violin', 40, 57, 88],
    ['flute', 73, 62, 93],
    ['church organ', 19, 43, 79],
    ['choir', 52, 50, 76],
  ],
  judged: [
    ['steel guitar', 25, 43, 74],
    ['marimba', 12, 48, 84],
    ['cello', 42, 38, 67],
    ['clarinet', 71, 52, 84],
    ['reed organ', 20, 43, 79],
    ['solo voice', 53, 52, 79],
    ['harp', 46, 40, 88],
  ],
};
const KITS: Readonly<Record<Half, readonly (readonly [string, number])[]>> = {
  chosen: [['standard kit', 0]],
  judged: [
    ['room kit', 8],
    ['brush kit', 40],
  ],
};
const PLUCKED = ['nylon guitar', 'steel guitar', 'harp'];
const BARS = ['vibraphone', 'marimba'];

function ofSeed(kind: string, half: Half, number: number, model: typeof chair): OtherSound {
  const seed = seedOf(half === 'chosen' ? 11 : 23, kind.length, kind.charCodeAt(0), number);
  return {
    kind,
    name: `${kind} ${number}`,
    half,
    needs: null,
    make: () => Promise.resolve(inRoom(model(SECONDS, chance(seed)), seed + 1)),
  };
}

function talk(half: Half): OtherSound[] {
  return VOICES[half].map((voice, i) => ({
    kind: 'speech',
    name: `${voice.voice}, ${voice.speed} a minute`,
    half,
    needs: 'espeak-ng',
    make: async () => inRoom(await speech(voice), seedOf(i, half.length)),
  }));
}

function babble(half: Half): OtherSound {
  return {
    kind: 'babble',
    name: `babble of ${VOICES[half].length}`,
    half,
    needs: 'espeak-ng',
    make: async () => {
      const mixed = new Float32Array(SECONDS * SAMPLE_RATE);
      for (const [i, voice] of VOICES[half].entries()) {
        const own = await speech(voice);
        const gain = 1 / activeLevel(own);
        const from = Math.round(own.length * 0.21 * i);
        for (let k = 0; k < mixed.length; k++) mixed[k] += gain * own[(from + k) % own.length];
      }
      return inRoom(mixed, seedOf(77, half.length));
    },
  };
}

/** Real noises of keys let go, played alone, at random or in an even row. */
function releases(half: Half): OtherSound {
  return {
    kind: 'key releases',
    name: 'key releases',
    half,
    needs: null,
    make: async () => {
      const random = chance(seedOf(half === 'chosen' ? 3 : 4, 88));
      const dry = new Float32Array(SECONDS * SAMPLE_RATE);
      const keys = Array.from({ length: 88 }, (_, i) => 21 + i).filter((m) => (m % 2 === 0) === (half === 'chosen'));
      for (let at = 0.5; at < SECONDS - 6; at += 1.5) {
        const one = random.pick(keys);
        const step = random.pick([0.15, 0.5, 1]);
        for (let i = 0; i < 8 && at < SECONDS - 2; i++, at += step * (1 + 0.05 * random.normal())) {
          const noise = await loadRelease(random.uniform() < 0.5 ? one : random.pick(keys));
          const from = Math.round(at * SAMPLE_RATE);
          for (let k = 0; k < noise.length && from + k < dry.length; k++) dry[from + k] += noise[k];
        }
      }
      return inRoom(dry, seedOf(5, half.length));
    },
  };
}

function instruments(half: Half): OtherSound[] {
  return INSTRUMENTS[half].flatMap(([name, program, low, high], i) => {
    const of = (what: string, play: typeof tune): OtherSound => {
      const family = PLUCKED.includes(name) ? 'plucked strings' : BARS.includes(name) ? 'struck bars' : 'held tones';
      const seed = seedOf(program, what.length, i);
      return {
        kind: `${family}, ${what}`,
        name: `${name}, ${what}`,
        half,
        needs: 'fluidsynth',
        make: async () => inRoom(await instrument(program, play(SECONDS, low, high, chance(seed))), seed + 1),
      };
    };
    return [of('a tune', tune), of('one note again and again', repeated)];
  });
}

function drums(half: Half): OtherSound[] {
  return KITS[half].map(([name, program], i) => ({
    kind: 'drum kit',
    name,
    half,
    needs: 'fluidsynth',
    make: async () => {
      const seed = seedOf(program, 10, i);
      return inRoom(await instrument(program, beat(SECONDS, chance(seed)), true), seed + 1);
    },
  }));
}

/** Everything that is no piano, half by half. */
export const OTHER_SOUNDS: readonly OtherSound[] = HALVES.flatMap((half) => [
  ...talk(half),
  babble(half),
  ...[1, 2].map((n) => ofSeed('footsteps', half, n, footsteps)),
  ...[1, 2].map((n) => ofSeed('dropped tools', half, n, droppedTools)),
  ...[1, 2].map((n) => ofSeed('case taps', half, n, caseTaps)),
  ...[1, 2].map((n) => ofSeed('a chair', half, n, chair)),
  ...[1, 2].map((n) => ofSeed('doors', half, n, doors)),
  releases(half),
  ...instruments(half),
  ...drums(half),
]);
