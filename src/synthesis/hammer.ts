/**
 * The hammer's pulse, and what a damped vibration does while and after it acts: exact, in continuous time.
 *
 * The pulse is a sum of raised cosines p(t) = (1 - cos(2 pi t / w)) / w of unit area, all beginning together: the contact's
 * whole duration w, and thirds of it. The shorter ones stand for hard felt and the ripple of returning waves; their
 * weight grows with speed and makes loud tones bright. For a vibration with the complex rate l = -decay + i omega
 *
 *   z(t) = integral of p(s) e^(l (t - s)) ds = C e^(l t) + forced(t) for 0 <= t < w, and Z e^(l t) after,
 *   C = W^2 / (w l (l^2 + W^2)),  W = 2 pi / w,  Z = C (1 - e^(-l w)),
 *   forced(t) = (-1/l - e^(i W t) / (2 (i W - l)) - e^(-i W t) / (2 (-i W - l))) / w.
 *
 * So an onset may fall anywhere between two samples, and nothing of the tone is there before it.
 */

import type { Seconds } from '../units.ts';
import type { NoteModes } from './modes.ts';

/** One raised cosine of the pulse. */
export interface Pulse {
  readonly width: Seconds;
  readonly weight: number;
}

/** A complex number. */
export interface Complex {
  re: number;
  im: number;
}

const SHORTEST: Seconds = 0.00006;

/** The pulses of a blow at `velocity` m/s, shortest first. */
export function hammerPulses(note: NoteModes, velocity: number): Pulse[] {
  const whole = note.pulseSeconds * (velocity / 2.8) ** -0.19;
  const ratio = note.hardness * (velocity / 2) ** note.hardnessPerSpeed;
  const pulses: Pulse[] = [];
  let weight = 1;
  for (let width = whole; width > SHORTEST || pulses.length === 0; width /= 3) {
    pulses.unshift({ width, weight });
    weight *= ratio;
  }
  return pulses;
}

/** C of a vibration under a pulse: the free part while the pulse acts. */
export function freeDuring(omega: number, decay: number, width: Seconds): Complex {
  const w2 = (2 * Math.PI) / width;
  const square = w2 * w2;
  // l^2 + W^2, then times l, then the reciprocal.
  const sumRe = decay * decay - omega * omega + square;
  const sumIm = -2 * decay * omega;
  const re = -decay * sumRe - omega * sumIm;
  const im = -decay * sumIm + omega * sumRe;
  const scale = square / (width * (re * re + im * im));
  return { re: re * scale, im: -im * scale };
}

/** Z of a vibration under a pulse, from its C: the free part once the pulse has ended. */
export function freeAfter(during: Complex, omega: number, decay: number, width: Seconds): Complex {
  const grown = Math.exp(decay * width);
  const re = 1 - grown * Math.cos(omega * width);
  const im = grown * Math.sin(omega * width);
  return { re: during.re * re - during.im * im, im: during.re * im + during.im * re };
}

/** The forced parts of many vibrations under one pulse, summed: three numbers stand for all of them. */
export class ForcedSum {
  readonly #turn: number;
  readonly #width: Seconds;
  readonly #steady: Complex = { re: 0, im: 0 };
  readonly #forward: Complex = { re: 0, im: 0 };
  readonly #backward: Complex = { re: 0, im: 0 };

  constructor(width: Seconds) {
    this.#width = width;
    this.#turn = (2 * Math.PI) / width;
  }

  /** Adds a vibration with complex weight. */
  add(omega: number, decay: number, weightRe: number, weightIm: number): void {
    addQuotient(this.#steady, weightRe, weightIm, decay, -omega, 1);
    addQuotient(this.#forward, weightRe, weightIm, -decay, -this.#turn + omega, 0.5);
    addQuotient(this.#backward, weightRe, weightIm, -decay, this.#turn + omega, 0.5);
  }

  /** Imaginary part of the forced sum, `time` after the onset, 0 <= time < width. */
  at(time: Seconds): number {
    const cos = Math.cos(this.#turn * time);
    const sin = Math.sin(this.#turn * time);
    const turning = this.#forward.im * cos + this.#forward.re * sin + this.#backward.im * cos - this.#backward.re * sin;
    return (this.#steady.im + turning) / this.#width;
  }
}

/** sum += scale * weight / (re + i im). */
function addQuotient(sum: Complex, weightRe: number, weightIm: number, re: number, im: number, scale: number): void {
  const factor = scale / (re * re + im * im);
  sum.re += (weightRe * re + weightIm * im) * factor;
  sum.im += (weightIm * re - weightRe * im) * factor;
}
