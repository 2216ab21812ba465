/**
 * Recordings with known strokes, spliced from real tones.
 *
 * Each stroke is a recorded stroke of the grand in `samples.ts`, laid so that its first arrival (`arrival.ts`) falls on
 * a chosen time with its fraction of a frame; damped as its key is let go; the noise of the letting go beside it; then
 * the room, the telephone and the noise of `room.ts`.
 *
 * What the truth rests on. Strokes made of *one* recorded stroke are at known distances exactly, whatever its pick.
 * Strokes of different recorded strokes (layers) are known to each other as well as their picks are laid upon each
 * other: {@link TrueStroke.arrivalUncertainty}. What is not in it: a string that is struck while it rings is the plain
 * sum of two tones; neighbours of the sampled keys are the samples played a semitone faster or slower; no finger-key
 * contact is heard, the files are cut 5 to 20 ms before the tone.
 */

import { isKey } from '../../src/piano/keys.ts';
import type { Passage, StrokeKind } from '../../src/strokes/types.ts';
import { arrivalOf } from './arrival.ts';
import type { Chance } from './chance.ts';
import { chance } from './chance.ts';
import { resample } from './filters.ts';
import { addNoise, heardInRoom, rms, roomResponse } from './room.ts';
import { loadRelease, loadTone, SAMPLE_RATE, SAMPLED_KEYS, type Layer } from './samples.ts';

/** The key let go, wholly or in part: from when until when the damper works, and what it leaves. */
export interface LetGo {
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** Change of whatever sounds on the key, dB, reached at `toSeconds` and kept. */
  readonly residualDb: number;
  /** Whether the mechanism is heard. */
  readonly noise: boolean;
}

/** One stroke to be laid into a recording. */
export interface PlannedStroke {
  readonly timeSeconds: number;
  readonly midi: number;
  readonly layer: Layer;
  /** Of a `silent` stroke only the mechanism is heard. */
  readonly kind: StrokeKind;
  readonly passage: Passage;
  readonly gainDb: number;
  readonly letGo: LetGo | null;
  /** The finger's contact that is heard before it, if any. */
  readonly contact?: PlannedContact;
  /** A key-bottom knock so long after the stroke; none by default. */
  readonly knockAfterSeconds?: number;
  /** A silent stroke of which not even the mechanism is heard. */
  readonly unheard?: boolean;
}

/** The noise of a finger's contact, laid before a stroke. */
export interface PlannedContact {
  /** Time from the contact to the onset. */
  readonly leadSeconds: number;
  /** Highest amplitude re the peak of the stroke's tone, dB. */
  readonly levelDb: number;
  /** The noise from its start on, at the material's rate; scaled to its highest amplitude. */
  noise(leadSeconds: number): Float32Array;
  /** Samples that stand in front of its start: what a recorded noise brings with it. */
  readonly before?: number;
}

/** A plan and the conditions it is heard under. */
export interface Plan {
  readonly name: string;
  readonly strokes: readonly PlannedStroke[];
  readonly durationSeconds: number;
  /**
   * True to cut off what the recorded strokes hold up to 2.5 ms before they first reach a tenth of their peak: it is the
   * end of a contact of their own, -30 to -45 dB re that peak, and would be counted as a false one.
   */
  readonly bareAttacks?: boolean;
  /** Whole-piano detuning. */
  readonly cents: number;
  /** Signal to noise, dB: median RMS of the strokes' first 50 ms over the noise's RMS. */
  readonly snrDb: number;
  readonly seed: number;
  /** Raises the room's echoes and tail by so much; 0 by default. */
  readonly echoesDb?: number;
}

/** What a stroke in a recording was. */
export interface TrueStroke {
  readonly timeSeconds: number;
  readonly midi: number;
  readonly kind: StrokeKind;
  readonly passage: Passage;
  readonly layer: Layer;
  readonly gainDb: number;
  /** RMS of the recorded stroke's first 50 ms with its gain, dB re full scale; `null` for a silent stroke. */
  readonly levelDb: number | null;
  /** How well this recorded stroke's pick is known against the note's other ones, seconds; `null`: not at all. */
  readonly arrivalUncertainty: number | null;
  /** The tone before it on the same key at this moment, dB re this stroke's level (both over 50 ms); `null`: nothing before it. */
  readonly ringingDb: number | null;
  /** When the contact laid before it began; `null` without one. */
  readonly contactSeconds: number | null;
}

/** Samples with the truth beside them. */
export interface Recording {
  readonly name: string;
  readonly samples: Float32Array;
  readonly sampleRate: number;
  /** Ascending in time. */
  readonly strokes: readonly TrueStroke[];
  readonly snrDb: number;
  readonly cents: number;
}

/** "Clean": the noise of a quiet room, not digital silence, which no telephone records. */
export const CLEAN_SNR_DB = 60;
/** From F#6 up a grand has no dampers (about the top 18 to 20 keys, read at second hand). */
export const FIRST_UNDAMPED_KEY = 90;
/** Room for overlapping tones under full scale. */
const HEADROOM_DB = -9;
/** Level of the normalised release noises against the tones; the sample library's own convention, from memory. */
const RELEASE_DB = -37;
/** A silent stroke's knock stands so much over a release: assumed. */
const KNOCK_DB = 10;
/** A key-bottom knock's peak against the RMS of its stroke's first 50 ms: -15 to -27 dB re the tone's peak were seen in trebles. */
const KNOCK_RMS_DB = -12;
const ATTACK_FRAMES = Math.round(0.05 * SAMPLE_RATE);

/** A tone's file comes up over its lead, but no later than this before the arrival, and no faster than that. */
const CLEAR_OF_ARRIVAL = 0.002 * SAMPLE_RATE;
const LEAST_RISE = 0.001 * SAMPLE_RATE;
const BARE_BEFORE = 0.0025 * SAMPLE_RATE;
const BARE_AT = 0.1;

/** Half a cosine from 0 at 0 to 1 from 1 on. */
const raised = (x: number): number => (x >= 1 ? 1 : 0.5 - 0.5 * Math.cos(Math.PI * x));
const gain = (db: number): number => 10 ** (db / 20);

/** A recorded stroke, ready to be laid. */
export interface Tone {
  readonly samples: Float32Array;
  /** First arrival, frames of `samples`. */
  readonly arrival: number;
  /** How well the arrival is known against the key's other strokes, seconds; `null`: not at all. */
  readonly uncertainty: number | null;
  /** Frames of `samples` to a frame of the recording: pitch, and the file's sample rate. */
  readonly step: number;
}

/** Where the tones come from: a piano. */
export type Piano = (midi: number, layer: Layer, cents: number) => Promise<Tone>;

/** The grand of `samples.ts`: the recorded stroke nearest to a key, and the step that brings it to the key's pitch. */
export const grand: Piano = async (midi, layer, cents) => {
  if (!isKey(midi)) throw new RangeError(`no tone for ${midi}; expected a key from 21 to 108`);
  // The set's C8 sounds 60 to 70 cents above equal temperament, as no B7 is tuned: B7 is made of A7.
  const usable = midi === 107 ? SAMPLED_KEYS.filter((key) => key !== 108) : SAMPLED_KEYS;
  const sampled = usable.reduce((a, b) => (Math.abs(b - midi) < Math.abs(a - midi) ? b : a));
  const { frame, uncertaintySeconds } = await arrivalOf(sampled, layer);
  return {
    samples: await loadTone(sampled, layer),
    arrival: frame,
    uncertainty: uncertaintySeconds,
    step: 2 ** ((midi - sampled) / 12 + cents / 1200),
  };
};

/** Makes a plan sound on a piano. */
export async function record(plan: Plan, piano: Piano = grand): Promise<Recording> {
  const length = Math.round(plan.durationSeconds * SAMPLE_RATE);
  const random = chance(plan.seed);
  const dry = new Float32Array(length);
  const strokes: TrueStroke[] = [];
  const ordered = [...plan.strokes].sort((a, b) => a.timeSeconds - b.timeSeconds);
  /** What sounds on each key so far, to say how loud the ringing is that a stroke meets. */
  const ringing = new Map<number, Float32Array>();

  for (const stroke of ordered) {
    const { midi, layer, kind, timeSeconds, gainDb } = stroke;
    const at = timeSeconds * SAMPLE_RATE;
    const key = ringing.get(midi) ?? new Float32Array(length);
    ringing.set(midi, key);
    const ringLevel = rms(key, Math.round(at), ATTACK_FRAMES);
    let level: number | null = null;
    let uncertainty: number | null = null;
    if (kind === 'silent') {
      const heard = stroke.unheard ? 0 : gain(HEADROOM_DB + RELEASE_DB + KNOCK_DB);
      add(dry, await loadRelease(midi), Math.round(at - 0.015 * SAMPLE_RATE), heard);
    } else {
      const tone = await piano(midi, layer, plan.cents);
      const damping = ordered.filter((s) => s.midi === midi && s.letGo !== null && s.letGo.fromSeconds > timeSeconds);
      const sounding = placed(
        tone,
        at,
        gain(HEADROOM_DB + gainDb),
        damping.map((s) => s.letGo!),
        length,
        plan.bareAttacks ?? false,
      );
      level = toneLevel(tone) * gain(HEADROOM_DB + gainDb);
      uncertainty = tone.uncertainty;
      add(dry, sounding.samples, sounding.from, 1);
      add(key, sounding.samples, sounding.from, 1);
      if (stroke.contact) addContact(dry, stroke.contact, at, peakAfter(sounding.samples, at - sounding.from));
    }
    if (stroke.knockAfterSeconds !== undefined && level !== null) {
      add(dry, knock(random), Math.round(at + stroke.knockAfterSeconds * SAMPLE_RATE), level * gain(KNOCK_RMS_DB));
    }
    if (stroke.letGo?.noise) {
      const noise = await loadRelease(midi);
      const from = (stroke.letGo.fromSeconds + 0.01 * (random.uniform() - 0.5)) * SAMPLE_RATE;
      add(dry, noise, Math.round(from), gain(HEADROOM_DB + RELEASE_DB + 3 * random.normal()));
    }
    strokes.push({
      timeSeconds,
      midi,
      kind,
      passage: stroke.passage,
      layer,
      gainDb,
      levelDb: level === null ? null : 20 * Math.log10(level),
      arrivalUncertainty: uncertainty,
      ringingDb: level === null || ringLevel === 0 ? null : 20 * Math.log10(ringLevel / level),
      contactSeconds: stroke.contact ? timeSeconds - stroke.contact.leadSeconds : null,
    });
  }

  const samples = heardInRoom(dry, roomResponse(random, plan.echoesDb));
  const levels = strokes
    .filter((stroke) => stroke.kind === 'sounded')
    .map((stroke) => rms(samples, Math.round(stroke.timeSeconds * SAMPLE_RATE), ATTACK_FRAMES))
    .sort((a, b) => a - b);
  if (levels.length === 0) throw new RangeError(`${plan.name} has no sounded stroke to measure its noise against`);
  addNoise(samples, levels[levels.length >> 1] * gain(-plan.snrDb), random);
  return { name: plan.name, samples, sampleRate: SAMPLE_RATE, strokes, snrDb: plan.snrDb, cents: plan.cents };
}

/** A tone laid with its arrival at frame `at`, let go as told; starts at frame `from` of the recording. */
function placed(
  tone: Tone,
  at: number,
  amplitude: number,
  damping: readonly LetGo[],
  length: number,
  bare: boolean,
): { samples: Float32Array; from: number } {
  const lead = Math.max(0, bare ? tone.arrival - bareFrom(tone) : tone.arrival) / tone.step;
  const from = Math.max(0, Math.ceil(at - lead));
  const start = tone.arrival + (from - at) * tone.step;
  const full = Math.ceil((tone.samples.length - start) / tone.step);
  // Two full dampings are inaudible under any noise used here.
  const silentAt = damping.filter((d) => d.residualDb <= -40)[1]?.toSeconds ?? Infinity;
  const frames = Math.max(0, Math.min(full, length - from, Math.ceil(silentAt * SAMPLE_RATE) - from));
  const samples = resample(tone.samples, start, tone.step, frames);
  // The file's own noise before the tone comes up softly: cut off hard it would be an event that no piano made.
  const rise = bare ? LEAST_RISE : Math.max(LEAST_RISE, at - from - CLEAR_OF_ARRIVAL);
  for (let i = 0; i < frames; i++) {
    let db = 0;
    const now = (from + i) / SAMPLE_RATE;
    for (const { fromSeconds, toSeconds, residualDb } of damping) {
      if (now <= fromSeconds) break;
      db += residualDb * Math.min(1, (now - fromSeconds) / (toSeconds - fromSeconds));
    }
    samples[i] *= amplitude * (db === 0 ? 1 : gain(db)) * raised(i / rise) * raised((frames - i) / LEAST_RISE);
  }
  return { samples, from };
}

/** The frame of a tone's file before which a bare attack has nothing. */
function bareFrom({ samples, arrival }: Tone): number {
  const level = BARE_AT * peakAfter(samples, arrival);
  let first = Math.round(arrival);
  while (first < samples.length && Math.abs(samples[first]) < level) first++;
  return first - BARE_BEFORE;
}

/** A key-bottom knock of peak about 1: three damped modes between 60 and 350 Hz and a click of the key's felt (modelled). */
function knock(random: Chance): Float32Array {
  const modes = Array.from({ length: 3 }, () => ({
    hertz: 60 + 290 * random.uniform(),
    decay: 0.008 + 0.03 * random.uniform(),
    phase: 2 * Math.PI * random.uniform(),
  }));
  return Float32Array.from({ length: Math.round(0.15 * SAMPLE_RATE) }, (_, i) => {
    const t = i / SAMPLE_RATE;
    const low = modes.reduce(
      (sum, { hertz, decay, phase }) => sum + Math.sin(2 * Math.PI * hertz * t + phase) * Math.exp(-t / decay),
      0,
    );
    return raised(t / 0.001) * (low / 2 + 0.2 * random.normal() * Math.exp(-t / 0.003));
  });
}

function add(into: Float32Array, samples: Float32Array, from: number, amplitude: number): void {
  for (let i = Math.max(0, -from); i < samples.length && from + i < into.length; i++) {
    into[from + i] += amplitude * samples[i];
  }
}

/** Lays the noise of a contact before an onset at frame `at` of a tone of that peak; its start may fall between frames. */
function addContact(into: Float32Array, contact: PlannedContact, at: number, peak: number): void {
  const noise = contact.noise(contact.leadSeconds);
  const highest = noise.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  const start = at - contact.leadSeconds * SAMPLE_RATE - (contact.before ?? 0);
  const from = Math.ceil(start);
  const laid = resample(noise, from - start, 1, noise.length);
  add(into, laid, from, (peak * gain(contact.levelDb)) / highest);
}

/** Highest amplitude within 60 ms after frame `at`. */
function peakAfter(samples: Float32Array, at: number): number {
  let peak = 0;
  const to = Math.min(samples.length, Math.round(at + 0.06 * SAMPLE_RATE));
  for (let i = Math.max(0, Math.round(at)); i < to; i++) peak = Math.max(peak, Math.abs(samples[i]));
  return peak;
}

/** RMS of a tone's first 50 ms, undamped. */
function toneLevel({ samples, arrival, step }: Tone): number {
  return rms(samples, Math.round(arrival), Math.round(ATTACK_FRAMES * step));
}

/** How much louder one recorded stroke of a key is than another: RMS of the first 50 ms, dB. */
export async function layersApart(midi: number, louder: Layer, softer: Layer): Promise<number> {
  const level = async (layer: Layer): Promise<number> => toneLevel(await grand(midi, layer, 0));
  return 20 * Math.log10((await level(louder)) / (await level(softer)));
}

/** The chance stream of a plan, apart from the one that {@link record} uses. */
export function planChance(seed: number): Chance {
  return chance(seed ^ 0x5bd1e995);
}
