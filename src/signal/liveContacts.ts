/**
 * Provisional finger-key contacts while playing goes on: the same search as in the refinement, on the audio thread.
 *
 * The two bands run along with the sound into rings. A stroke that the detector reports is queued; its piece of the rings
 * is copied, and the search is done a little in every block, so that no block bears it alone. What comes out is
 * provisional: the onset is the detector's, the thresholds are the usual ones, and only the strokes before are asked what
 * travel time is usual.
 *
 * Conventions: frames count from construction or `reset()`. Nothing is allocated after construction.
 */

import type { Decibels, Frames, Hertz, Seconds } from '../units.ts';
import { BandRing } from './bandRing.ts';
import { HIGH_BAND_RATE, highBand, LOW_BAND_RATE, lowBand } from './contactBands.ts';
import {
  AFTER_ONSET,
  ALONE_FROM,
  HIGH_BACKGROUND,
  LOW_BACKGROUND,
  SEARCH_FAST,
  SEARCH_SHARE,
  SEARCH_SLOW,
} from './contactChoice.ts';
import { CLICKS_END, ContactSeeker, THUMP_ENDS } from './contactSeeker.ts';
import { LiveChoice } from './liveChoice.ts';

/** What was found before one stroke. */
export interface LiveContact {
  /** The stroke's frame, as it was given. */
  stroke: Frames;
  /** First abrupt start before it, or -1. */
  contact: Frames;
  /** Evidence in units of its threshold; 0 without a contact. */
  strength: number;
}

/** A new one with nothing in it, to be filled by {@link LiveContacts.read}. */
export function emptyLiveContact(): LiveContact {
  return { stroke: 0, contact: -1, strength: 0 };
}

/** The search covers so many twentieths of the rest at most. */
const SEARCH_TWENTIETHS = 20 * SEARCH_SHARE;
/** A coarse onset may stand so late; the search ends so much earlier. */
const COARSE: Seconds = 0.002;

const MOST_WAITING = 8;
/** What is fainter than a stroke by this, hundredths of a decibel, does not bound its search: it may be the contact itself. */
const FAINTER = 1200;
/** Strokes follow each other no nearer than this. */
const APART: Seconds = 0.062;
/** Longest rest that is told from a longer one. */
const LONGEST_REST: Seconds = 10;
/** Sound that the rings must hold beside the search: from a stroke to the block that reports it, and in the queue. */
const HELD_BACK: Seconds = 0.35;
const RING: Seconds = SEARCH_SLOW + LOW_BACKGROUND + HELD_BACK;
/** Steps of the search done for this many frames. */
const FRAMES_PER_STEP = 128;
const REHEARSALS = 400;
const REHEARSED_HIGH: Seconds = 0.04;
const REHEARSED_LOW: Seconds = 0.25;

/**
 * A coarse onset may be the contact's own start, or come late: in the bass it is that of the late wave, up to 12 ms after
 * the hammer. The stroke is where the level, in hops of a millisecond, first comes within 20 dB of its height (hundredths),
 * nearest to the coarse onset; from there it is walked back to where the sound first comes within 32 dB.
 */
const CLIMBS_WITHIN = 60;
const RISEN = 2000;
const WALK_BACK = 12;
const WALK_UNDER = 3200;
const HOPS = 512;
const SILENCE = 1e-12;

// Code that runs once a stroke is never compiled, and code that is not compiled allocates for every fraction it touches:
// so what begins a search works in whole frames and hundredths of a decibel.

/** Streams samples, takes strokes, and gives a provisional contact for each some blocks later. */
export class LiveContacts {
  readonly sampleRate: Hertz;
  private readonly high: BandRing;
  private readonly low: BandRing;
  private readonly seeker: ContactSeeker;
  private readonly queue = new Int32Array(MOST_WAITING);
  private readonly loudness = new Int32Array(MOST_WAITING);
  private queued = 0;
  private searching = false;
  /** Where the stroke that is searched begins. */
  private onset = 0;
  /** Time since the stroke before it. */
  private rest = 0;
  /** The latest sounds: their frames and levels. */
  private readonly pastFrame = new Int32Array(MOST_WAITING);
  private readonly pastLevel = new Int32Array(MOST_WAITING);
  private past = 0;
  private owed = 0;
  /** Level of each millisecond, hundredths of a decibel. */
  private readonly level = new Int32Array(HOPS);
  private readonly hop: Frames;
  private readonly sum = new Float64Array(1);
  private inHop = 0;
  private hops = 0;
  private readonly slow: Frames;
  private readonly fast: Frames;
  private readonly aloneFrom: Frames;
  private readonly lowBackground: Frames;
  private readonly highBackground: Frames;
  private readonly afterOnset: Frames;
  private readonly clicksEnd: Frames;
  private readonly thumpEnds: Frames;
  private readonly longestRest: Frames;
  private readonly apart: Frames;
  private readonly climbsWithin: Frames;

  private readonly choice = new LiveChoice();

  private readonly foundStroke = new Int32Array(MOST_WAITING);
  private readonly foundContact = new Int32Array(MOST_WAITING);
  private readonly foundStrength = new Float64Array(MOST_WAITING);
  private waiting = 0;

  /** @throws RangeError if the sample rate is outside 8 to 96 kHz. */
  constructor(sampleRate: Hertz) {
    if (!(sampleRate >= 8000 && sampleRate <= 96000)) {
      throw new RangeError(`sample rate ${sampleRate} Hz; expected 8000 to 96000`);
    }
    this.sampleRate = sampleRate;
    this.high = new BandRing(sampleRate, HIGH_BAND_RATE, RING, highBand);
    this.low = new BandRing(sampleRate, LOW_BAND_RATE, RING, lowBand);
    this.hop = Math.round(sampleRate / 1000);
    const frames = (seconds: Seconds): Frames => Math.round(seconds * sampleRate);
    this.slow = frames(SEARCH_SLOW);
    this.fast = frames(SEARCH_FAST);
    this.aloneFrom = frames(ALONE_FROM);
    this.lowBackground = frames(LOW_BACKGROUND);
    this.highBackground = frames(HIGH_BACKGROUND);
    this.afterOnset = frames(AFTER_ONSET);
    this.clicksEnd = frames(CLICKS_END + COARSE);
    this.thumpEnds = frames(THUMP_ENDS + COARSE);
    this.longestRest = frames(LONGEST_REST);
    this.apart = frames(APART);
    this.climbsWithin = (CLIMBS_WITHIN + 1) * this.hop;
    this.seeker = new ContactSeeker(this.high.rate, this.low.rate);
    this.rehearse();
    this.reset();
  }

  /**
   * Searches made-up sounds many times over, so that all of this is compiled before the playing begins. They differ, for
   * what is compiled for one course of things is thrown away when another comes.
   */
  private rehearse(): void {
    const { click, thump } = this.seeker;
    const highCount = Math.round(REHEARSED_HIGH * click.rate);
    const lowCount = Math.round(REHEARSED_LOW * thump.rate);
    const noise = new Float32Array(Math.max(highCount, lowCount));
    let random = 1;
    for (let i = 0; i < noise.length; i++) {
      random = (random * 16807) % 2147483647;
      noise[i] = random / 1073741824 - 1;
    }
    for (let n = 0; n < REHEARSALS; n++) {
      // In turn: a click or none; a thump that grows, one that begins faintly, a late one, none.
      const period = n % 3 === 0 ? 2 * highCount : 250 + (n % 7);
      for (let i = 0; i < highCount; i++) click.piece[i] = (i % period > period - 40 ? 0.1 : 0.001) * noise[i];
      const [faint, loud] = [(0.5 + 0.05 * (n % 5)) * lowCount, (n % 4 === 2 ? 0.985 : 0.72) * lowCount];
      for (let i = 0; i < lowCount; i++) {
        const growing =
          n % 4 === 0 ? Math.max(0, i - faint) / lowCount : i > loud ? 1 : i > faint && n % 4 === 1 ? 0.1 : 0;
        thump.piece[i] = (0.001 + (n % 4 === 3 ? 0 : 0.1 * growing)) * noise[i];
      }
      this.seeker.begin(highCount, highCount >> 1, lowCount, lowCount >> 1);
      this.seeker.run();
      this.seek(n * this.aloneFrom + (n % 7), n % 2 ? -20 : -30.5);
      this.rest = n % 5 ? this.aloneFrom : this.fast;
      this.waiting = 0;
      this.tell();
    }
    this.reset();
    for (let h = 0; h < HOPS; h++) this.level[h] = h % 50 < 25 ? -9000 : h % 50 < 30 ? -5000 : -2000;
    for (let n = 0; n < REHEARSALS; n++) {
      this.hops = HOPS + n;
      this.seek((HOPS - 80 + (n % 50)) * this.hop, -20 - (n % 3) / 2);
      this.begin();
      this.queued = 0;
    }
  }

  /** Forgets everything: the next sample is frame 0. */
  reset(): void {
    this.high.reset();
    this.low.reset();
    this.queued = this.waiting = this.owed = this.inHop = this.hops = 0;
    this.sum[0] = 0;
    this.level.fill(0);
    this.searching = false;
    this.pastFrame.fill(-this.longestRest);
    this.pastLevel.fill(-1_000_000);
    this.past = 0;
    this.choice.reset();
  }

  /** Takes the next samples and works on what is queued; returns the number of contacts now waiting. */
  process(block: Float32Array): number {
    this.waiting = 0;
    this.high.process(block);
    this.low.process(block);
    this.measure(block);
    this.owed += block.length;
    while (this.owed >= FRAMES_PER_STEP) {
      this.owed -= FRAMES_PER_STEP;
      this.work(false);
    }
    return this.waiting;
  }

  /** Queues a stroke that began at `frame` with that level; a full queue drops it. */
  seek(frame: Frames, level: Decibels): void {
    if (this.queued >= MOST_WAITING) return;
    this.queue[this.queued] = frame;
    this.loudness[this.queued] = Math.round(100 * level);
    this.queued++;
  }

  /** Does all that is queued at once; returns the number of contacts now waiting. */
  flush(): number {
    this.waiting = 0;
    while ((this.queued > 0 || this.searching) && this.waiting < MOST_WAITING) this.work(true);
    return this.waiting;
  }

  /**
   * Copies waiting contact `i` into `into` and returns it.
   * @throws RangeError if fewer are waiting.
   */
  read(i: number, into: LiveContact): LiveContact {
    if (!(i >= 0 && i < this.waiting)) throw new RangeError(`contact ${i}; ${this.waiting} are waiting`);
    into.stroke = this.foundStroke[i];
    into.contact = this.foundContact[i];
    into.strength = this.foundStrength[i];
    return into;
  }

  private measure(block: Float32Array): void {
    const { sum, level, hop } = this;
    for (let i = 0; i < block.length; i++) {
      const sample = block[i];
      sum[0] += sample - sample === 0 ? sample * sample : 0;
      if (++this.inHop < hop) continue;
      level[this.hops % HOPS] = Math.round(1000 * Math.log10(sum[0] / hop + SILENCE));
      sum[0] = 0;
      this.inHop = 0;
      this.hops++;
    }
  }

  /** The frame at which the stroke reported at `frame` begins, as far as its level tells. */
  private startOf(frame: Frames): Frames {
    const { level, hops, hop } = this;
    const coarse = (frame - (frame % hop)) / hop;
    const first = Math.max(1, hops - HOPS + 1, coarse - CLIMBS_WITHIN);
    const last = Math.min(hops, coarse + CLIMBS_WITHIN);
    let height = -1_000_000;
    for (let h = Math.max(first, coarse - 5); h < last; h++) height = Math.max(height, level[h % HOPS]);
    let risen = -1;
    for (let h = first; h < last; h++) {
      const crosses = level[(h - 1) % HOPS] < height - RISEN && level[h % HOPS] >= height - RISEN;
      if (crosses && (risen < 0 || Math.abs(h - coarse) < Math.abs(risen - coarse))) risen = h;
    }
    if (risen < 0) return frame;
    for (let back = 0; back <= WALK_BACK && risen - back >= first; back++) {
      if (level[(risen - back - 1) % HOPS] < height - WALK_UNDER) return (risen - back) * hop;
    }
    return risen * hop;
  }

  /**
   * Frames since the stroke before one that begins at `onset`. What is much fainter does not count, it may be a key's noise;
   * nor does what begins so near that it is the same stroke, seen twice. Remembers the stroke.
   */
  private restBefore(onset: Frames, loudness: number): Frames {
    let before = onset - this.longestRest;
    for (let i = 0; i < MOST_WAITING; i++) {
      const past = this.pastFrame[i];
      if (this.pastLevel[i] > loudness - FAINTER && past > before && past <= onset - this.apart) before = past;
    }
    this.pastFrame[this.past % MOST_WAITING] = onset;
    this.pastLevel[this.past % MOST_WAITING] = loudness;
    this.past++;
    return onset - before;
  }

  /** Some of the work; a search begins when the stroke's whole climb has been heard, or nothing more will be. */
  private work(ending: boolean): void {
    if (this.searching) {
      if (this.seeker.step()) this.tell();
    } else if (this.queued > 0 && (ending || this.hops * this.hop >= this.queue[0] + this.climbsWithin)) this.begin();
  }

  private begin(): void {
    const { high, low, seeker } = this;
    const frame = this.queue[0];
    const onset = this.startOf(frame);
    const rest = this.restBefore(onset, this.loudness[0]);
    const share = (SEARCH_TWENTIETHS * rest - ((SEARCH_TWENTIETHS * rest) % 20)) / 20;
    const from = onset - Math.min(rest >= this.aloneFrom ? this.slow : this.fast, share);
    const since = onset - rest + this.afterOnset;
    const highFrom = Math.max(since, from - this.highBackground) >> high.halvings;
    const lowFrom = Math.max(since, from - this.lowBackground) >> low.halvings;
    this.onset = onset;
    this.rest = rest;
    seeker.begin(
      high.copy(highFrom, (onset - this.clicksEnd) >> high.halvings, seeker.click.piece),
      (from >> high.halvings) - highFrom,
      low.copy(lowFrom, (onset - this.thumpEnds) >> low.halvings, seeker.thump.piece),
      (from >> low.halvings) - lowFrom,
    );
    this.searching = true;
  }

  private tell(): void {
    const { choice } = this;
    const best = choice.choose(this.seeker, this.rest < this.aloneFrom, this.loudness[0] / 100);
    const i = this.waiting++;
    this.foundStroke[i] = this.queue[0];
    this.foundContact[i] = best < 0 ? -1 : Math.round(this.onset - (choice.leads[best] + COARSE) * this.sampleRate);
    this.foundStrength[i] = best < 0 ? 0 : choice.strengths[best];
    this.searching = false;
    this.queued--;
    for (let k = 0; k < this.queued; k++) {
      this.queue[k] = this.queue[k + 1];
      this.loudness[k] = this.loudness[k + 1];
    }
  }
}
