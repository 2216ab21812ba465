/**
 * The room and the microphone: early echoes, reverberation, a high-pass.
 *
 * Reverberation: a network of delay lines fed back through a Householder matrix (Jot & Chaigne 1991), each with the loss
 * that gives the asked time to -60 dB and a one-pole loss of the high range. Its energy is set by its own impulse response.
 */

import type { Hertz, Seconds } from '../units.ts';

export interface Room {
  readonly reverberationSeconds: Seconds;
  /** Energy of the reverberation re the direct sound, dB; -Infinity: neither reverberation nor echoes. */
  readonly reverberationDb: number;
  readonly highPassHertz: Hertz;
  readonly echoes: readonly (readonly [Seconds, number])[];
  readonly lines: readonly Seconds[];
}

/** The sound as it reaches the microphone, as a new array. The direct sound stays where it is. */
export function placeInRoom(dry: Float64Array, sampleRate: Hertz, room: Room): Float64Array {
  const out = dry.slice();
  if (room.reverberationDb > -Infinity) {
    for (const [delay, gain] of room.echoes) {
      const shift = Math.round(delay * sampleRate);
      for (let i = shift; i < out.length; i++) out[i] += gain * dry[i - shift];
    }
    const impulse = new Float64Array(Math.ceil(room.reverberationSeconds * sampleRate));
    impulse[0] = 1;
    const response = reverberate(impulse, sampleRate, room);
    let energy = 0;
    for (const value of response) energy += value * value;
    const gain = Math.sqrt(10 ** (room.reverberationDb / 10) / energy);
    const tail = reverberate(dry, sampleRate, room);
    for (let i = 0; i < out.length; i++) out[i] += gain * tail[i];
  }
  if (room.highPassHertz > 0) highPass(out, sampleRate, room.highPassHertz);
  return out;
}

function reverberate(input: Float64Array, sampleRate: Hertz, room: Room): Float64Array {
  const count = room.lines.length;
  const lines = room.lines.map((length) => new Float64Array(Math.round(length * sampleRate)));
  const losses = lines.map((line) => 10 ** ((-3 * line.length) / sampleRate / room.reverberationSeconds));
  const places = new Int32Array(count);
  const smoothed = new Float64Array(count);
  const read = new Float64Array(count);
  const out = new Float64Array(input.length);
  // Half of each step's high range above 3.5 kHz is lost, so that the reverberation darkens as it dies.
  const keep = 1 - Math.exp((-2 * Math.PI * 3500) / sampleRate);
  for (let i = 0; i < input.length; i++) {
    let sum = 0;
    let heard = 0;
    for (let k = 0; k < count; k++) {
      const value = losses[k] * lines[k][places[k]];
      smoothed[k] += keep * (value - smoothed[k]);
      read[k] = 0.5 * (value + smoothed[k]);
      sum += read[k];
      heard += k % 2 ? -read[k] : read[k];
    }
    const shared = (2 / count) * sum;
    for (let k = 0; k < count; k++) {
      const line = lines[k];
      line[places[k]] = input[i] + shared - read[k];
      if (++places[k] === line.length) places[k] = 0;
    }
    out[i] = heard;
  }
  return out;
}

/** Second-order Butterworth high-pass in place, causal (bilinear transform). */
function highPass(x: Float64Array, sampleRate: Hertz, corner: Hertz): void {
  const k = Math.tan((Math.PI * corner) / sampleRate);
  const norm = 1 / (1 + Math.SQRT2 * k + k * k);
  const a1 = 2 * (k * k - 1) * norm;
  const a2 = (1 - Math.SQRT2 * k + k * k) * norm;
  let [x1, x2, y1, y2] = [0, 0, 0, 0];
  for (let i = 0; i < x.length; i++) {
    const y = norm * (x[i] - 2 * x1 + x2) - a1 * y1 - a2 * y2;
    x2 = x1;
    x1 = x[i];
    y2 = y1;
    y1 = y;
    x[i] = y;
  }
}
