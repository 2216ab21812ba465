/**
 * Gaps in a recording: runs of exact zeros inside sound, and blocks that a driver played twice.
 *
 * No microphone gives 128 zeros in a row while something sounds on both sides, and no room repeats itself to the last bit.
 */

import type { Frames, Hertz, Seconds } from '../units.ts';

/** Shortest run that counts, and the lengths of block that drivers work with. */
const SHORTEST: Frames = 128;
const BLOCKS: readonly Frames[] = [128, 192, 240, 256, 441, 480, 512, 882, 960, 1024, 2048, 4096];
/** Something sounds where a sample this large stands within so many frames. */
const SOUNDS = 0.002;
const BESIDE: Frames = 64;

/** One gap: where it begins, and how long it is. */
export interface Gap {
  readonly seconds: Seconds;
  readonly lengthSeconds: Seconds;
  readonly kind: 'zeros' | 'repeated';
}

/** All gaps of a mono recording, in order of time. */
export function findGaps(samples: Float32Array, sampleRate: Hertz): Gap[] {
  const gaps: Gap[] = [];
  const add = (from: Frames, length: Frames, kind: Gap['kind']): void => {
    gaps.push({ seconds: from / sampleRate, lengthSeconds: length / sampleRate, kind });
  };
  let zeros = 0;
  for (let i = 0; i <= samples.length; i++) {
    if (i < samples.length && samples[i] === 0) {
      zeros++;
      continue;
    }
    const from = i - zeros;
    if (zeros >= SHORTEST && sounds(samples, from - BESIDE, from) && sounds(samples, i, i + BESIDE)) {
      add(from, zeros, 'zeros');
    }
    zeros = 0;
  }
  for (const block of BLOCKS) {
    let equal = 0;
    for (let i = block; i <= samples.length; i++) {
      if (i < samples.length && samples[i] === samples[i - block]) {
        equal++;
        continue;
      }
      // A constant equals itself at any distance; so does what repeats at a shorter one, which is counted there.
      const from = i - equal;
      if (equal >= block && sounds(samples, from, i) && !repeatsWithin(samples, from, block))
        add(from, equal, 'repeated');
      equal = 0;
    }
  }
  return gaps.sort((a, b) => a.seconds - b.seconds);
}

function sounds(samples: Float32Array, from: Frames, to: Frames): boolean {
  for (let i = Math.max(0, from); i < Math.min(samples.length, to); i++)
    if (Math.abs(samples[i]) >= SOUNDS) return true;
  return false;
}

/** Whether a block holds an exact period of its own, as a made-up tone does. */
function repeatsWithin(samples: Float32Array, from: Frames, block: Frames): boolean {
  for (let lag = 1; lag <= block / 2; lag++) {
    let i = 0;
    while (i + lag < block && samples[from + i] === samples[from + i + lag]) i++;
    if (i + lag >= block) return true;
  }
  return false;
}
