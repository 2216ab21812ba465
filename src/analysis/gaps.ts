/**
 * Gaps in a recording: runs of exact zeros inside sound, and blocks that a driver played twice.
 *
 * No microphone gives 128 zeros in a row while something sounds on both sides, and no room repeats itself to the last bit.
 */

import type { Stroke } from '../strokes/types.ts';
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
  for (const { from, to } of runs(samples, null)) {
    if (sounds(samples, from - BESIDE, from) && sounds(samples, to, to + BESIDE)) add(from, to - from, 'zeros');
  }
  for (const block of BLOCKS) {
    for (const { from, to } of runs(samples, block)) {
      // A constant equals itself at any distance; so does what repeats at a shorter one, which is counted there.
      if (to - from >= block && sounds(samples, from, to) && !repeatsWithin(samples, from, block))
        add(from, to - from, 'repeated');
    }
  }
  return gaps.sort((a, b) => a.seconds - b.seconds);
}

/** A contact is searched for over so much before its stroke: a gap just before it hides it as well. */
const BESIDE_CONTACT: Seconds = 0.005;

/** The stroke without its contact where sound is missing between the two, or was put in: the time between them is not known. */
export function withoutContactOverGap(stroke: Stroke, gaps: readonly Gap[]): Stroke {
  const { contactSeconds, timeSeconds } = stroke;
  if (contactSeconds === null) return stroke;
  const between = gaps.some(
    ({ seconds, lengthSeconds }) =>
      seconds < timeSeconds + BESIDE_CONTACT && seconds + lengthSeconds > contactSeconds - BESIDE_CONTACT,
  );
  if (!between) return stroke;
  return {
    ...stroke,
    contactSeconds: null,
    contactRiseSeconds: null,
    otherContactSeconds: null,
    contactConfidence: null,
    absent: { ...stroke.absent, contact: 'gap' },
  };
}

/**
 * Runs of at least {@link SHORTEST} samples that are zero, or equal to those `block` earlier. A run so long holds a place
 * that is a multiple of half of it: only those are looked at first.
 */
function runs(samples: Float32Array, block: Frames | null): { from: Frames; to: Frames }[] {
  const found: { from: Frames; to: Frames }[] = [];
  const first = block ?? 0;
  const same = (i: number): boolean => samples[i] === (block === null ? 0 : samples[i - block]);
  const stride = SHORTEST / 2;
  for (let i = first + stride; i < samples.length; i += stride) {
    if (!same(i)) continue;
    let from = i;
    while (from > first && same(from - 1)) from--;
    let to = i + 1;
    while (to < samples.length && same(to)) to++;
    if (to - from >= SHORTEST) found.push({ from, to });
    while (i + stride < to) i += stride;
  }
  return found;
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
