/**
 * Rendering the tones of one note: every vibration runs through all strokes, as on a real string.
 *
 * A new blow adds to what still rings and partly stops it: while the hammer touches (its whole contact), the old vibration
 * loses `HAMMER_STOPS_DB`. A damper adds its rate while it touches. Within a segment of constant decay each vibration is
 * y[i] = 2 r cos(w) y[i-1] - r^2 y[i-2]; at every change it starts anew from its exact complex state, so times need
 * not fall on samples.
 */

import type { Hertz, Seconds } from '../units.ts';
import { ForcedSum, freeAfter, freeDuring, hammerPulses, type Complex, type Pulse } from './hammer.ts';
import type { Mode, NoteModes } from './modes.ts';

/** What a blow takes from the string's old vibration, dB (chosen, no source: a real blow takes anything from 0 to 20 dB, by its phase). */
export const HAMMER_STOPS_DB = 6;

/** A blow of the hammer. */
export interface Blow {
  readonly onsetSeconds: Seconds;
  readonly velocity: number;
  /** Factor on the whole tone. */
  readonly gain: number;
}

/** The damper touches the string; `strength` 0 to 1 of its full rate. */
export interface Damping {
  readonly fromSeconds: Seconds;
  readonly toSeconds: Seconds;
  readonly strength: number;
}

/** Amplitudes below this are not worth computing (-140 dB re full scale). */
const INAUDIBLE = 1e-7;

interface Segment {
  readonly from: Seconds;
  readonly to: Seconds;
  /** Decay added to the strings. */
  readonly damping: number;
  readonly blow: Blow | null;
}

/**
 * Adds the tones of a note to `out`. Blows and dampings must be ordered in time; no blow may fall within the contact of
 * the one before, and dampings must not overlap each other or a contact.
 */
export function addTones(
  out: Float64Array,
  sampleRate: Hertz,
  note: NoteModes,
  blows: readonly Blow[],
  dampings: readonly Damping[],
): void {
  if (blows.length === 0) return;
  const end = out.length / sampleRate;
  const segments = segmentsOf(note, blows, dampings, end);
  const struck = new Map(blows.map((blow) => [blow, prepare(out, sampleRate, note, blow)]));
  note.modes.forEach((mode, index) => {
    let state: Complex = { re: 0, im: 0 };
    for (const { from, to, damping, blow } of segments) {
      const decay = mode.decay + (mode.isString ? damping : 0);
      if (blow) {
        state = strike(out, sampleRate, mode, state, struck.get(blow)!, index);
      } else {
        run(out, sampleRate, mode.omega, decay, state, from, to);
        state = advance(state, mode.omega, decay, to - from);
      }
    }
  });
}

/** Peak and RMS (first 50 ms) of one blow's tone alone with gain 1. */
export function measureBlow(
  note: NoteModes,
  velocity: number,
  fraction: number,
  sampleRate: Hertz,
): { readonly peak: number; readonly rms: number } {
  const scratch = new Float64Array(Math.round(0.12 * sampleRate));
  const onset = (1 + fraction) / sampleRate;
  addTones(scratch, sampleRate, note, [{ onsetSeconds: onset, velocity, gain: 1 / note.pulseSeconds }], []);
  const window = Math.round(0.05 * sampleRate);
  let peak = 0;
  let power = 0;
  scratch.forEach((sample, i) => {
    peak = Math.max(peak, Math.abs(sample));
    if (i >= 1 && i < 1 + window) power += sample * sample;
  });
  return { peak: peak * note.pulseSeconds, rms: Math.sqrt(power / window) * note.pulseSeconds };
}

function segmentsOf(note: NoteModes, blows: readonly Blow[], dampings: readonly Damping[], end: Seconds): Segment[] {
  const spans = [
    ...blows.map((blow) => {
      const pulses = hammerPulses(note, blow.velocity);
      return { from: blow.onsetSeconds, to: blow.onsetSeconds + pulses[pulses.length - 1].width, damping: 0, blow };
    }),
    ...dampings.map(({ fromSeconds, toSeconds, strength }) => ({
      from: fromSeconds,
      to: Math.min(toSeconds, end),
      damping: strength * note.damping,
      blow: null,
    })),
  ]
    .filter(({ from, to }) => to > from)
    .sort((a, b) => a.from - b.from);
  const segments: Segment[] = [];
  let clock = blows[0].onsetSeconds;
  for (const span of spans) {
    if (span.from < clock) continue;
    if (span.from > clock) segments.push({ from: clock, to: span.from, damping: 0, blow: null });
    segments.push(span);
    clock = span.to;
  }
  if (clock < end) segments.push({ from: clock, to: end, damping: 0, blow: null });
  return segments;
}

/** A blow with what every vibration shares: its pulses and, per vibration, C and Z for each. */
interface PreparedBlow {
  readonly blow: Blow;
  readonly pulses: readonly Pulse[];
  readonly during: Complex[][];
  readonly after: Complex[][];
}

/** Computes a blow's free parts and adds its forced parts, which are the same three numbers a pulse for all vibrations. */
function prepare(out: Float64Array, sampleRate: Hertz, note: NoteModes, blow: Blow): PreparedBlow {
  const pulses = hammerPulses(note, blow.velocity);
  const during: Complex[][] = note.modes.map(() => []);
  const after: Complex[][] = note.modes.map(() => []);
  for (const { width, weight } of pulses) {
    const forced = new ForcedSum(width);
    const gain = weight * blow.gain;
    note.modes.forEach(({ omega, decay, re, im }, index) => {
      const free = freeDuring(omega, decay, width);
      const weighted = { re: gain * (free.re * re - free.im * im), im: gain * (free.re * im + free.im * re) };
      during[index].push(weighted);
      after[index].push(freeAfter(weighted, omega, decay, width));
      forced.add(omega, decay, gain * re, gain * im);
    });
    const to = Math.min(out.length, Math.ceil((blow.onsetSeconds + width) * sampleRate));
    for (let i = Math.ceil(blow.onsetSeconds * sampleRate); i < to; i++) {
      out[i] += forced.at(i / sampleRate - blow.onsetSeconds);
    }
  }
  return { blow, pulses, during, after };
}

/** Runs one vibration through a contact; returns its state at the end of it. */
function strike(
  out: Float64Array,
  sampleRate: Hertz,
  mode: Mode,
  old: Complex,
  { blow, pulses, during, after }: PreparedBlow,
  index: number,
): Complex {
  const whole = pulses[pulses.length - 1].width;
  const start = blow.onsetSeconds;
  const stopping = mode.isString ? (HAMMER_STOPS_DB * Math.LN10) / (20 * whole) : 0;
  run(out, sampleRate, mode.omega, mode.decay + stopping, old, start, start + whole);
  let from = 0;
  let state: Complex = { re: 0, im: 0 };
  pulses.forEach(({ width }, active) => {
    state = { re: 0, im: 0 };
    pulses.forEach((_, other) => {
      const part = other < active ? after[index][other] : during[index][other];
      state.re += part.re;
      state.im += part.im;
    });
    const begun = advance(state, mode.omega, mode.decay, from);
    run(out, sampleRate, mode.omega, mode.decay, begun, start + from, start + width);
    from = width;
  });
  state = { re: 0, im: 0 };
  for (const part of after[index]) {
    state.re += part.re;
    state.im += part.im;
  }
  const fresh = advance(state, mode.omega, mode.decay, whole);
  const rest = advance(old, mode.omega, mode.decay + stopping, whole);
  return { re: fresh.re + rest.re, im: fresh.im + rest.im };
}

function advance(state: Complex, omega: number, decay: number, time: Seconds): Complex {
  const size = Math.exp(-decay * time);
  const cos = size * Math.cos(omega * time);
  const sin = size * Math.sin(omega * time);
  return { re: state.re * cos - state.im * sin, im: state.re * sin + state.im * cos };
}

/** Adds a free vibration, whose state at `from` is given, to the samples of [from, to). */
function run(
  out: Float64Array,
  sampleRate: Hertz,
  omega: number,
  decay: number,
  state: Complex,
  from: Seconds,
  to: Seconds,
): void {
  const first = Math.ceil(from * sampleRate);
  let last = Math.min(out.length, Math.ceil(to * sampleRate));
  const size = Math.hypot(state.re, state.im);
  if (first >= last || size < INAUDIBLE) return;
  // Stop where the vibration has sunk below hearing; its state is carried on exactly all the same.
  const lasting = Math.ceil((Math.log(size / INAUDIBLE) / decay) * sampleRate);
  last = Math.min(last, first + lasting);
  const begun = advance(state, omega, decay, first / sampleRate - from);
  const step = advance(begun, omega, decay, 1 / sampleRate);
  const r = Math.exp(-decay / sampleRate);
  const a = 2 * r * Math.cos(omega / sampleRate);
  const b = r * r;
  let y2 = begun.im;
  let y1 = step.im;
  out[first] += y2;
  if (first + 1 < last) out[first + 1] += y1;
  for (let i = first + 2; i < last; i++) {
    const y = a * y1 - b * y2;
    out[i] += y;
    y2 = y1;
    y1 = y;
  }
}
