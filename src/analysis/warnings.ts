/**
 * What the listener should know about the recording itself.
 */

import { quantile } from '../statistics/order.ts';
import type { Heard } from '../strokes/hear.ts';
import { amplitudeToDecibels, type Decibels, type Hertz } from '../units.ts';
import type { Warning } from './document.ts';
import type { Gap } from './gaps.ts';
import { clock, soundWarnings, when } from './soundWarnings.ts';

const CLIPPED = 0.999;
/** A hum below this level is nobody's trouble. */
const HUM_MATTERS: Decibels = -75;
const LEAST_SIGNAL_TO_NOISE = 15;

/** Warnings about a mono recording and what was heard in it. */
export function warningsOf(
  samples: Float32Array,
  sampleRate: Hertz,
  { takes, others, room }: Heard,
  gaps: readonly Gap[],
): Warning[] {
  const warnings: Warning[] = [];
  const strokes = takes.flatMap((take) => take.strokes);
  let peak = 0;
  let clipped = 0;
  let firstClipped = 0;
  let lastClipped = 0;
  let sum = 0;
  for (let i = 0; i < samples.length; i++) {
    const x = samples[i];
    const size = Math.abs(x);
    if (size > peak) peak = size;
    if (size >= CLIPPED) {
      if (clipped === 0) firstClipped = i;
      lastClipped = i;
      clipped++;
    }
    sum += x;
  }
  const offset = samples.length ? sum / samples.length : 0;
  if (peak < 1e-5) {
    warnings.push({ code: 'silence', message: 'The recording is silent. Check that the microphone was on.' });
  } else if (strokes.length === 0) {
    warnings.push({
      code: 'no-strokes',
      message: `No piano strokes were heard; the loudest sound reaches ${amplitudeToDecibels(peak).toFixed(0)} dB of full scale.`,
    });
  }
  if (clipped >= 3) {
    warnings.push({
      code: 'clipping',
      message: `${clipped} samples stand at full scale ${when([firstClipped / sampleRate, lastClipped / sampleRate])}: move the microphone away a hand's width and record again.`,
    });
  }
  if (Math.abs(offset) > 0.02) {
    warnings.push({
      code: 'offset',
      message: `The recording has a constant offset of ${(100 * offset).toFixed(0)} % of full scale.`,
    });
  }
  if (gaps.length) {
    const repeated = gaps.filter(({ kind }) => kind === 'repeated').length;
    const lost = 1000 * gaps.reduce((sum, { lengthSeconds }) => sum + lengthSeconds, 0);
    const parts = [
      ...(gaps.length > repeated ? [`${gaps.length - repeated} holes of exact silence`] : []),
      ...(repeated ? [`${repeated} stretches recorded twice`] : []),
    ];
    const places = gaps.slice(0, 5).map(({ seconds }) => clock(seconds));
    warnings.push({
      code: 'gaps',
      message: `${parts.join(' and ')}, ${lost.toFixed(0)} ms in all, stand inside the sound (${places.join(', ')}${gaps.length > 5 ? ', ...' : ''}): intervals across them are wrong. Close other programs and record again.`,
    });
  }
  warnings.push(...soundWarnings(others, strokes));
  const levels = strokes.flatMap(({ levelDb, doubt }) =>
    levelDb === null || doubt.includes('not-a-take') || doubt.includes('other-sound') ? [] : [levelDb],
  );
  if (levels.length && room) {
    // A stroke's peak stands some 9 dB over the mean power of its first 50 ms.
    const distance = quantile(levels, 0.5) - 9 - room.level;
    if (distance < LEAST_SIGNAL_TO_NOISE) {
      warnings.push({
        code: 'noisy',
        message: `The room's noise is only about ${Math.max(0, distance).toFixed(0)} dB below the strokes; 30 is enough. Find what hums or blows, or strike a little firmer.`,
      });
    }
  }
  if (room?.hum && room.level > HUM_MATTERS) {
    warnings.push({ code: 'hum', message: `Something hums at multiples of ${room.hum} Hz. Switch it off if you can.` });
  }
  if (sampleRate < 16000) {
    warnings.push({
      code: 'narrow-band',
      message: `At ${sampleRate} Hz nothing above ${sampleRate / 2} Hz is heard: treble notes are timed less surely.`,
    });
  }
  return warnings;
}
