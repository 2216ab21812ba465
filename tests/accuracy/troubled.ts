/**
 * Piano in trouble: a piano that plays no takes, takes under bad conditions, and takes with somebody else in the room.
 *
 * All from the real tones of `samples.ts`, as `material.ts` splices them; the halves are other keys and other seeds.
 */

import { chance, seedOf } from './chance.ts';
import { speech } from './debianSounds.ts';
import { highPass, lowPass } from './filters.ts';
import { footsteps } from './knocks.ts';
import { record, type LetGo, type PlannedStroke, type Recording } from './material.ts';
import { activeLevel, inRoom, VOICES, type Half, type OtherSound } from './otherSounds.ts';
import { wholeTake } from './patterns.ts';
import { rms } from './room.ts';
import { LAYERS, SAMPLE_RATE } from './samples.ts';

const SECONDS = 30;

const letGo = (at: number): LetGo => ({ fromSeconds: at, toSeconds: at + 0.15, residualDb: -45, noise: true });

function stroke(midi: number, at: number, until: number | null, half: Half, i: number): PlannedStroke {
  const layer = LAYERS[(i + (half === 'chosen' ? 0 : 1)) % LAYERS.length];
  return {
    timeSeconds: at,
    midi,
    layer,
    kind: 'sounded',
    passage: 'slow',
    gainDb: 0,
    letGo: until === null ? null : letGo(until),
  };
}

/** Chords of three or four notes, now one shape again and again, now another. */
function chords(half: Half): PlannedStroke[] {
  const random = chance(seedOf(half.length, 31));
  const strokes: PlannedStroke[] = [];
  for (let at = 0.7; at < SECONDS - 8; at += 1) {
    const root = 36 + Math.floor(36 * random.uniform());
    const shape = random.pick([
      [0, 4, 7],
      [0, 3, 7, 12],
      [0, 5, 9],
      [0, 4, 10, 16],
      [0, 7, 12],
    ]);
    const times = random.pick([1, 3, 7]);
    for (let i = 0; i < times; i++, at += 0.9 * (1 + 0.04 * random.normal())) {
      for (const step of shape) strokes.push(stroke(root + step, at + 0.01 * random.uniform(), at + 0.6, half, i));
    }
  }
  return strokes;
}

/** A major scale up and down, four notes a second. */
function scale(half: Half): PlannedStroke[] {
  const steps = [0, 2, 4, 5, 7, 9, 11];
  const root = half === 'chosen' ? 36 : 41;
  const up = Array.from({ length: 22 }, (_, i) => root + 12 * Math.floor(i / 7) + steps[i % 7]);
  const notes = [...up, ...up.slice(0, -1).reverse(), ...up.slice(1)];
  return notes.map((midi, i) => stroke(midi, 0.7 + 0.25 * i, 0.7 + 0.25 * (i + 1), half, i));
}

/** A melody in even and uneven steps, the pedal changed every two seconds. */
function melody(half: Half): PlannedStroke[] {
  const random = chance(seedOf(half.length, 57));
  const strokes: PlannedStroke[] = [];
  const scaleOf = [0, 2, 4, 5, 7, 9, 11]
    .flatMap((step) => [0, 12].map((octave) => 60 + octave + step))
    .sort((a, b) => a - b);
  let place = 6;
  for (let at = 0.7, i = 0; at < SECONDS - 3; i++) {
    const change = 2 * Math.ceil((at + 0.1) / 2);
    strokes.push(stroke(scaleOf[place], at, change, half, i));
    if (random.uniform() < 0.3) strokes.push(stroke(scaleOf[place] - 24, at + 0.01, change, half, i));
    place = Math.max(0, Math.min(scaleOf.length - 1, place + random.pick([-2, -1, -1, 0, 1, 1, 2, 4])));
    at += random.pick([0.25, 0.5, 0.5, 0.75, 1]) * (1 + 0.03 * random.normal());
  }
  return strokes;
}

/** A piano that plays, but no takes. */
export const NO_TAKES: readonly OtherSound[] = (['chosen', 'judged'] as const).flatMap((half) =>
  (
    [
      ['chords', chords],
      ['a scale', scale],
      ['a melody with pedal', melody],
    ] as const
  ).map(([kind, strokes]) => ({
    kind,
    name: kind,
    half,
    needs: null,
    make: async () => {
      const plan = { name: kind, strokes: strokes(half), durationSeconds: SECONDS, cents: 0, snrDb: 35, seed: 9 };
      return (await record(plan)).samples;
    },
  })),
);

/** A take at 8 a second, half damped. */
export function plainTake(midi: number, snrDb: number, seed: number): Promise<Recording> {
  return record(wholeTake({ midi, slowLayers: [8], fastLayers: [8, 12], rate: 7, ringDb: -10, snrDb, seed }));
}

/** Something done to a take. */
export interface Trouble {
  readonly name: string;
  readonly needs: OtherSound['needs'];
  take(midi: number, half: Half): Promise<Recording>;
}

const changed = (name: string, snrDb: number, change: (samples: Float32Array) => Float32Array): Trouble => ({
  name,
  needs: null,
  take: async (midi, half) => {
    const recording = await plainTake(midi, snrDb, seedOf(midi, half.length, snrDb));
    return { ...recording, samples: change(recording.samples) };
  },
});

/** Hum of the mains with odd and even harmonics, `db` under the strokes' peaks. */
function withHum(mains: number, db: number): (samples: Float32Array) => Float32Array {
  return (samples) => {
    const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    const gain = peak * 10 ** (db / 20);
    const strengths = [1, 0.6, 0.8, 0.3, 0.5, 0.2, 0.3, 0.1, 0.2];
    return samples.map((x, i) => {
      let hum = 0;
      strengths.forEach((a, n) => (hum += a * Math.sin((2 * Math.PI * mains * (n + 1) * i) / SAMPLE_RATE + n)));
      return x + 0.4 * gain * hum;
    });
  };
}

/** What the strokes over full scale lose. */
function clippedBy(db: number): (samples: Float32Array) => Float32Array {
  return (samples) => {
    const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    const gain = 10 ** (db / 20) / peak;
    return samples.map((x) => Math.max(-1, Math.min(1, gain * x)));
  };
}

const twice = (filter: typeof highPass, hertz: number) => (samples: Float32Array) =>
  filter(filter(samples, hertz, SAMPLE_RATE), hertz, SAMPLE_RATE);

function mixed(what: 'speech' | 'footsteps', db: number): Trouble {
  return {
    name: `${what} at ${db} dB`,
    needs: what === 'speech' ? 'espeak-ng' : null,
    take: async (midi, half) => {
      const recording = await plainTake(midi, 40, seedOf(midi, half.length, db));
      const { samples, strokes } = recording;
      const seed = seedOf(midi, half.length);
      const dry =
        what === 'speech' ? await speech(VOICES[half][midi % VOICES[half].length]) : footsteps(30, chance(seed));
      const other = inRoom(dry, seed);
      const levels = strokes.map(({ timeSeconds }) => rms(samples, Math.round(timeSeconds * SAMPLE_RATE), 2400));
      const gain = (levels.sort((a, b) => a - b)[levels.length >> 1] * 10 ** (db / 20)) / activeLevel(other);
      return { ...recording, samples: samples.map((x, i) => x + gain * other[i % other.length]) };
    },
  };
}

/** Takes under conditions in which strokes must still be found. */
export const TROUBLES: readonly Trouble[] = [
  ...[40, 30, 20, 12].map((db) => changed(`${db} dB over noise`, db, (samples) => samples)),
  changed('telephone, 300 to 3400 Hz', 30, (samples) => twice(lowPass, 3400)(twice(highPass, 300)(samples))),
  changed('80 Hz high-pass', 30, twice(highPass, 80)),
  changed('hum of 50 Hz, -35 dB', 40, withHum(50, -35)),
  changed('hum of 60 Hz, -25 dB', 40, withHum(60, -25)),
  changed('clipped by 3 dB', 40, clippedBy(3)),
  changed('clipped by 9 dB', 40, clippedBy(9)),
  ...[-10, -20, -30].flatMap((db) => [mixed('speech', db), mixed('footsteps', db)]),
];
