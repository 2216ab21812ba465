/**
 * One channel out of several, for timing.
 *
 * Microphones that stand apart hear an attack at different times: mixed, they smear it over the difference and comb
 * its spectrum. Channels that hear it at the same time gain by mixing, up to 3 dB over their own noise. So channels
 * are mixed only where they prove coincident, and else the one that stands furthest out of its noise is taken.
 *
 * The thresholds are common practice, no source.
 */

import { measureChannel, measureCoincidence } from './channelMeasures.ts';
import type { ChannelMeasures } from './channelMeasures.ts';
import type { Sound } from './sound.ts';

/** The one channel, and how it came about. */
export interface Mono {
  /** As many samples as each channel has. For `only` and `chosen` the channel itself, not a copy. */
  readonly samples: Float32Array;
  readonly how: 'only' | 'mixed' | 'chosen';
  /** Which channel, from 0; null if several were mixed. */
  readonly channel: number | null;
  /** Why, in a sentence for a person; channels are counted from 1 there. */
  readonly reason: string;
}

/** A channel that never leaves this level is not connected: one step of 16 bits. */
const SILENT_DB = -90;
/** Clipped, if more than so many samples lie in flat tops while another channel is free of them. */
const CLIPPED_SHARE = 1e-5;
/** Much noisier than the best channel, so that mixing it in would lose more than it gains. */
const MUCH_NOISIER_DB = 6;
/** Within so much of the best, the first channel is as good: the choice must not flicker between takes. */
const AS_GOOD_DB = 1;
/** Coincident: correlated so well without delay, and best with no more delay than this. */
const COINCIDENT = 0.9;
const COINCIDENT_LAG = 0.00005;
/** A delay is only spoken of where the channels agree so well once it is taken out. */
const ALIKE = 0.6;

interface Candidate {
  readonly channel: number;
  readonly samples: Float32Array;
  readonly measures: ChannelMeasures;
}

/**
 * Makes one channel of a sound, by these rules in turn: silent channels are left out, then clipped ones if others are
 * not, then much noisier ones; what remains is mixed (plain mean) if coincident, else the channel furthest above its
 * floor is chosen, the first of equals. The same sound always gives the same result.
 *
 * @param sound - at least one channel, equally long, at least one sample each, all finite.
 * @param keepTo - an earlier result's `channel`, so that a later take of the same sitting is treated alike: that
 *   channel, or with `null` the mean of all. Left out, the rules decide.
 * @throws RangeError if the sound has no channels or no samples, or no channel `keepTo`.
 */
export function toMono(sound: Pick<Sound, 'sampleRate' | 'channels'>, keepTo?: number | null): Mono {
  const { channels, sampleRate } = sound;
  if (channels.length === 0 || channels[0].length === 0) {
    throw new RangeError('a sound without samples; expected at least one channel with at least one sample');
  }
  if (keepTo !== undefined) return asBefore(channels, keepTo);
  if (channels.length === 1) {
    return { samples: channels[0], how: 'only', channel: 0, reason: 'The recording has one channel.' };
  }
  const all = channels.map((samples, channel) => ({
    channel,
    samples,
    measures: measureChannel(samples, sampleRate),
  }));
  const heard = all.filter(({ measures }) => measures.peakDb > SILENT_DB);
  if (heard.length === 0) return chosen(all[0], 'all channels are silent');
  if (heard.length === 1) return chosen(heard[0], `${the(all, heard)} silent`);

  const clean = heard.filter(({ measures }) => measures.clippedShare <= CLIPPED_SHARE);
  if (clean.length === 1) return chosen(clean[0], `${the(heard, clean)} clipped`);
  const usable = clean.length > 0 ? clean : heard;

  const best = Math.max(...usable.map(({ measures }) => measures.overFloorDb));
  const clear = usable.filter(({ measures }) => best - measures.overFloorDb <= MUCH_NOISIER_DB);
  if (clear.length === 1) return chosen(clear[0], `${the(usable, clear)} much noisier`);

  const apart = whyApart(clear, sampleRate);
  if (apart === null) {
    return {
      samples: meanOf(clear.map(({ samples }) => samples)),
      how: 'mixed',
      channel: null,
      reason: `Channels ${listed(clear)} are mixed, because they hear every attack at the same time.`,
    };
  }
  const first = clear.find(({ measures }) => best - measures.overFloorDb <= AS_GOOD_DB) ?? clear[0];
  return chosen(first, `${apart}, and no other stands more than ${AS_GOOD_DB} dB further out of its noise`);
}

function asBefore(channels: readonly Float32Array[], keepTo: number | null): Mono {
  if (keepTo === null) {
    return { samples: meanOf(channels), how: 'mixed', channel: null, reason: 'All channels are mixed, as before.' };
  }
  if (!(keepTo in channels)) {
    throw new RangeError(`channel ${keepTo + 1}; expected one of the ${channels.length} that the recording has`);
  }
  return {
    samples: channels[keepTo],
    how: channels.length === 1 ? 'only' : 'chosen',
    channel: keepTo,
    reason: `Channel ${keepTo + 1} is taken, as before.`,
  };
}

function chosen({ channel, samples }: Candidate, because: string): Mono {
  return { samples, how: 'chosen', channel, reason: `Channel ${channel + 1} is taken, because ${because}.` };
}

/** `channel 2 is` or `channels 2, 3 are`: those of `all` that are not among `kept`. */
function the(all: readonly Candidate[], kept: readonly Candidate[]): string {
  const others = all.filter((candidate) => !kept.includes(candidate));
  return others.length === 1 ? `channel ${listed(others)} is` : `channels ${listed(others)} are`;
}

function listed(candidates: readonly Candidate[]): string {
  return candidates.map(({ channel }) => channel + 1).join(', ');
}

/** Why channels must not be mixed, or null if they may: all are compared with the first. */
function whyApart(candidates: readonly Candidate[], sampleRate: number): string | null {
  const [first, ...others] = candidates;
  for (const other of others) {
    const pair = `channels ${first.channel + 1} and ${other.channel + 1}`;
    const { together, lag, atLag } = measureCoincidence(first.samples, other.samples, sampleRate);
    if (together <= -COINCIDENT) return `${pair} are of opposite polarity and would cancel`;
    if (Math.abs(lag) > COINCIDENT_LAG && atLag >= ALIKE) {
      return `${pair} hear the attacks ${(Math.abs(lag) * 1000).toFixed(2)} ms apart and would smear them`;
    }
    if (together < COINCIDENT || Math.abs(lag) > COINCIDENT_LAG)
      return `${pair} differ too much to be mixed (correlation ${together.toFixed(2)})`;
    if (Math.abs(first.measures.levelDb - other.measures.levelDb) > MUCH_NOISIER_DB) {
      return `${pair} differ in level by more than ${MUCH_NOISIER_DB} dB`;
    }
  }
  return null;
}

function meanOf(channels: readonly Float32Array[]): Float32Array {
  return channels[0].map((_, i) => channels.reduce((sum, samples) => sum + samples[i], 0) / channels.length);
}
