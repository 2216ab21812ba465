/**
 * Practice recordings: made piano strokes with exact truth, for fitting, for judging and for tests.
 *
 * From a plan and a seed: the hand plays (`playing.ts`), the mechanism answers (`mechanism.ts`), strings and action sound
 * (`tone.ts`, `noises.ts`), the room and the background are added. Same plan and seed, same samples. A model, not a
 * piano: where it was held against recordings, tests/synthesis/realism.ts says how close it comes.
 */

import { amplitudeToDecibels, decibelsToAmplitude, type Decibels, type Hertz, type MidiNote } from '../units.ts';
import { makeBackground, makeHum } from './background.ts';
import { noteModes, type NoteModes } from './modes.ts';
import { addClick, addKnock, addRelease, addThump, knockPeak } from './noises.ts';
import { checkPlan, type PracticePlan } from './plan.ts';
import { playPlan, type PlayedStroke } from './playing.ts';
import { keyTravel, type KeyTravel } from './keyTravel.ts';
import { RandomStream } from './random.ts';
import { placeInRoom } from './room.ts';
import { addTones, measureBlow, type Blow } from './tone.ts';
import type { PracticeTruth, TrueNoise, TrueStroke } from './truth.ts';
import { VARIANTS } from './variants.ts';

export type { PracticePlan, NotePlan, PassagePlan, HandPlan, RoomPlan, FaultPlan } from './plan.ts';
export type { PracticeTruth, TrueStroke, TrueNoise } from './truth.ts';

export interface Practice {
  /** Mono, nominally within +-1; never clipped here. */
  readonly samples: Float32Array;
  readonly sampleRate: Hertz;
  readonly truth: PracticeTruth;
}

/**
 * Makes a practice recording.
 *
 * @param plan what is played, on what, where; see `plan.ts` for every default
 * @param seed whole number; decides hand, piano and noise
 * @throws RangeError if the plan makes no sense: names the part, what was found and what was expected
 */
export function makePractice(plan: PracticePlan, seed: number): Practice {
  checkPlan(plan, seed);
  const sampleRate = plan.sampleRate ?? 48000;
  const variant = VARIANTS[plan.variant];
  const { strokes, durationSeconds } = playPlan(plan, seed);
  const dry = new Float64Array(Math.ceil(durationSeconds * sampleRate));
  const truth: TrueStroke[] = [];
  const toneLevels: number[] = [];
  for (const midi of new Set(strokes.map((stroke) => stroke.midi))) {
    const note = noteModes(midi, variant, plan.tuningCents ?? 0, 0.45 * sampleRate, seed);
    const own = strokes.filter((stroke) => stroke.midi === midi);
    const keys = keyTravel(own, midi, seed);
    renderNote(dry, sampleRate, note, own, keys, toneLevels);
    truth.push(...own.flatMap((stroke, index) => trueStrokes(stroke, keys[index])));
    renderAction(dry, sampleRate, own, keys, plan, seed);
  }
  truth.sort((a, b) => a.timeSeconds - b.timeSeconds);
  const wet = placeInRoom(dry, sampleRate, {
    reverberationSeconds: plan.room?.reverberationSeconds ?? variant.reverberationSeconds,
    reverberationDb: plan.room?.reverberationDb ?? variant.reverberationDb,
    highPassHertz: plan.room?.highPassHertz ?? variant.highPassHertz,
    echoes: variant.echoes,
    lines: variant.lines,
  });
  const noise = addBackground(wet, sampleRate, plan, median(toneLevels), seed);
  return {
    samples: Float32Array.from(wet),
    sampleRate,
    truth: {
      schema: 'evenfall.practice/1',
      sampleRate,
      seed,
      variant: plan.variant,
      noise,
      tuningCents: plan.tuningCents ?? 0,
      durationSeconds: wet.length / sampleRate,
      strokes: truth,
    },
  };
}

/** Renders the tones of a note; notes the RMS of each sounded stroke's first 50 ms in `toneLevels`. */
function renderNote(
  dry: Float64Array,
  sampleRate: Hertz,
  note: NoteModes,
  strokes: readonly PlayedStroke[],
  keys: readonly KeyTravel[],
  toneLevels: number[],
): void {
  const blows: Blow[] = [];
  const strike = (onsetSeconds: number, velocity: number, levelDb: Decibels): number => {
    const samples = onsetSeconds * sampleRate;
    const { peak, rms } = measureBlow(note, velocity, samples - Math.floor(samples), sampleRate);
    const gain = decibelsToAmplitude(levelDb) / peak;
    blows.push({ onsetSeconds, velocity, gain });
    return gain * rms;
  };
  for (const stroke of strokes) {
    if (!stroke.silent) toneLevels.push(strike(stroke.beatSeconds, stroke.velocity, stroke.levelDb));
    if (stroke.double) strike(stroke.double.onsetSeconds, stroke.double.velocity, stroke.double.levelDb);
  }
  const dampings = keys.flatMap(({ damping }) => (damping ? [damping] : []));
  addTones(dry, sampleRate, note, blows, dampings);
}

function renderAction(
  dry: Float64Array,
  sampleRate: Hertz,
  strokes: readonly PlayedStroke[],
  keys: readonly KeyTravel[],
  plan: PracticePlan,
  seed: number,
): void {
  const variant = VARIANTS[plan.variant];
  strokes.forEach((stroke, index) => {
    const random = new RandomStream(seed, `action ${stroke.take} ${index} ${plan.variant}`);
    const tone = decibelsToAmplitude(stroke.intendedDb);
    if (stroke.contactKind && stroke.contactLevelDb !== null) {
      const peak = tone * decibelsToAmplitude(stroke.contactLevelDb);
      if (stroke.contactKind === 'click') {
        const { lowHertz, highHertz } = variant.click;
        addClick(dry, sampleRate, stroke.contactSeconds, lowHertz, highHertz, peak, random);
      } else {
        const { lowHertz, highHertz } = variant.thump;
        const frequency =
          lowHertz * (highHertz / lowHertz) ** ((stroke.midi - 21) / 87) * Math.exp(random.normal(0, 0.08));
        const { contactSeconds, beatSeconds, secondStageSeconds } = stroke;
        addThump(dry, sampleRate, contactSeconds, beatSeconds, secondStageSeconds, frequency, peak, random);
      }
    }
    addKnock(
      dry,
      sampleRate,
      stroke.keyBottomSeconds,
      tone * knockPeak(variant.knockDb, stroke.velocity, random),
      random,
    );
    const { releaseSeconds } = keys[index];
    if (releaseSeconds !== null) {
      // A release is as loud after a soft stroke as after a loud one: set against a tone of 1 m/s.
      const medium = decibelsToAmplitude(variant.levelAtOne);
      addRelease(dry, sampleRate, releaseSeconds, medium * decibelsToAmplitude(random.between(-45, -33)), random);
    }
  });
}

function trueStrokes(stroke: PlayedStroke, key: KeyTravel): TrueStroke[] {
  const common = {
    take: stroke.take,
    midi: stroke.midi as MidiNote,
    restHeightMm: stroke.restHeightMm,
    passage: stroke.passage,
    faults: stroke.faults,
  };
  const main: TrueStroke = {
    kind: stroke.silent ? 'silent' : 'sounded',
    ...common,
    timeSeconds: stroke.beatSeconds,
    contactSeconds: stroke.contactSeconds,
    contactAudible: stroke.contactKind !== null,
    contactKind: stroke.contactKind,
    contactLevelDb: stroke.contactLevelDb,
    onsetSeconds: stroke.silent ? null : stroke.beatSeconds,
    keyBottomSeconds: stroke.keyBottomSeconds,
    releaseSeconds: key.releaseSeconds,
    hammerVelocity: stroke.velocity,
    levelDb: stroke.silent ? null : stroke.levelDb,
  };
  if (!stroke.double) return [main];
  const double: TrueStroke = {
    kind: 'double',
    ...common,
    timeSeconds: stroke.double.onsetSeconds,
    contactSeconds: null,
    contactAudible: false,
    contactKind: null,
    contactLevelDb: null,
    onsetSeconds: stroke.double.onsetSeconds,
    keyBottomSeconds: null,
    releaseSeconds: null,
    hammerVelocity: stroke.double.velocity,
    levelDb: stroke.double.levelDb,
  };
  return [main, double];
}

function addBackground(
  wet: Float64Array,
  sampleRate: Hertz,
  plan: PracticePlan,
  tone: number | null,
  seed: number,
): TrueNoise {
  const snrDb = plan.snrDb ?? 45;
  // Without a single tone the ratio refers to a peak of -40 dB re full scale, a faint tone's.
  const reference = tone ?? decibelsToAmplitude(-40);
  const kinds: string[] = [];
  let rmsDb: number | null = null;
  if (snrDb < Infinity) {
    const background = makeBackground(wet.length, sampleRate, plan.variant, seed);
    const gain = reference / decibelsToAmplitude(snrDb);
    for (let i = 0; i < wet.length; i++) wet[i] += gain * background.noise[i];
    kinds.push(...background.kinds);
    rmsDb = amplitudeToDecibels(gain);
  }
  if (plan.humDb !== undefined) {
    const hum = makeHum(wet.length, sampleRate, plan.mainsHertz ?? 50, seed);
    const gain = reference * decibelsToAmplitude(plan.humDb);
    for (let i = 0; i < wet.length; i++) wet[i] += gain * hum[i];
    kinds.push('hum');
  }
  return {
    kinds,
    snrDb: snrDb < Infinity ? snrDb : null,
    rmsDb,
    humDb: plan.humDb ?? null,
    referenceDb: tone === null ? null : amplitudeToDecibels(tone),
  };
}

/** Median, the mean of the two middle values for an even number; `null` of nothing. */
function median(values: readonly number[]): number | null {
  if (values.length === 0) return null;
  const sorted = [...values].sort((a, b) => a - b);
  const middle = sorted.length >> 1;
  return sorted.length % 2 ? sorted[middle] : (sorted[middle - 1] + sorted[middle]) / 2;
}
