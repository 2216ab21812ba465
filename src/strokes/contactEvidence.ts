/**
 * What may be a finger's contact before one onset: candidates with their evidence, nothing decided.
 *
 * The search goes back 200 ms where the key was left alone, 60 ms in a fast passage, and never more than 0.45 of the time
 * since the stroke before. Times are seconds in the recording, the bands' delay taken out.
 */

import { filterAll } from '../signal/biquad.ts';
import {
  BANDS_SETTLE,
  HIGH_BAND_DELAY,
  HIGH_BAND_RATE,
  highBand,
  LOW_BAND_DELAY,
  LOW_BAND_RATE,
  lowBand,
} from '../signal/contactBands.ts';
import {
  AFTER_ONSET,
  ALONE_FROM,
  HIGH_BACKGROUND,
  LEAST_HELD,
  LOW_BACKGROUND,
  SEARCH_FAST,
  SEARCH_SHARE,
  SEARCH_SLOW,
} from '../signal/contactChoice.ts';
import { CLICKS_END, ContactSeeker, LEAST_LEAD, THUMP_ENDS } from '../signal/contactSeeker.ts';
import type { ThumpFind } from '../signal/thumpSearch.ts';
import type { Layer, Pyramid } from '../signal/pyramid.ts';
import { powerToDecibels, type Decibels, type Seconds } from '../units.ts';
import type { Section } from '../signal/biquad.ts';

/** By what a contact is heard: a click, a thump, or a thump once what rings is predicted away. */
export type ContactKind = 'click' | 'thump' | 'whitened-thump';

export interface ContactCandidate {
  readonly kind: ContactKind;
  /** The first abrupt start. */
  readonly seconds: Seconds;
  /** The constant-fraction time; of a click the same as its start. */
  readonly riseSeconds: Seconds;
  /** A click's energy over that around it, or a thump's log likelihood ratio: comparable within one kind. */
  readonly score: number;
  /** A thump's loudest 10 ms over the noise before it. */
  readonly step: Decibels | null;
}

/** What was found before one onset. */
export interface ContactEvidence {
  readonly candidates: readonly ContactCandidate[];
  /** Power that stands before the onset in the low band, and unpredicted in the high one, dB re full scale. */
  readonly lowFloor: Decibels;
  readonly highFloor: Decibels;
  /** Earliest and latest time that was searched. */
  readonly from: Seconds;
  readonly to: Seconds;
}

const LEAST_SEARCH: Seconds = 0.012;

/** Looks before onsets of one recording. */
export class ContactListener {
  private readonly high: Layer;
  private readonly low: Layer;
  private readonly highSections: Section[];
  private readonly lowSections: Section[];
  private readonly seeker: ContactSeeker;

  constructor(pyramid: Pyramid) {
    this.high = pyramid.atLeast(HIGH_BAND_RATE);
    this.low = pyramid.atLeast(LOW_BAND_RATE);
    this.highSections = highBand(this.high.rate);
    this.lowSections = lowBand(this.low.rate);
    this.seeker = new ContactSeeker(this.high.rate, this.low.rate);
  }

  /**
   * Candidates before `onset`, `rest` seconds after whatever was struck before; `null` where the recording does not reach
   * back far enough. `window` bounds the search.
   */
  before(onset: Seconds, rest: Seconds, window: Seconds = searchBefore(rest)): ContactEvidence | null {
    const from = Math.max(onset - window, HIGH_BACKGROUND / 2);
    const since = Math.max(0, onset - rest + AFTER_ONSET);
    if (onset - from < LEAST_SEARCH + CLICKS_END || from - since < 0) return null;
    const { seeker } = this;
    const highFrom = Math.max(since, from - HIGH_BACKGROUND);
    const lowFrom = Math.max(since, from - LOW_BACKGROUND);
    const highCount = fill(seeker.click.piece, this.high, highFrom, onset - CLICKS_END, this.highSections);
    const lowCount = fill(seeker.thump.piece, this.low, lowFrom, onset - THUMP_ENDS, this.lowSections);
    seeker.begin(
      highCount,
      Math.round((from - highFrom) * this.high.rate),
      lowCount,
      Math.round((from - lowFrom) * this.low.rate),
    );
    seeker.run();
    return {
      candidates: candidatesOf(seeker, onset),
      lowFloor: powerToDecibels(seeker.thump.floor[0] + 1e-14),
      highFloor: powerToDecibels(seeker.click.floor[0] + 1e-14),
      from,
      to: onset - LEAST_LEAD,
    };
  }
}

/** How far back is searched before an onset that comes `rest` seconds after the stroke before. */
function searchBefore(rest: Seconds): Seconds {
  return Math.min(rest >= ALONE_FROM ? SEARCH_SLOW : SEARCH_FAST, SEARCH_SHARE * rest);
}

function candidatesOf({ click, thump }: ContactSeeker, onset: Seconds): ContactCandidate[] {
  const found: ContactCandidate[] = [];
  for (let i = 0; i < click.clicks; i++) {
    const seconds = onset - CLICKS_END - click.lead[i] - HIGH_BAND_DELAY;
    found.push({ kind: 'click', seconds, riseSeconds: seconds, score: click.ratio[i], step: null });
  }
  const add = (kind: 'thump' | 'whitened-thump', { score, held, lead, rise, step }: ThumpFind) => {
    if (!(score > 0) || held < LEAST_HELD) return;
    found.push({
      kind,
      seconds: onset - THUMP_ENDS - lead - LOW_BAND_DELAY,
      riseSeconds: onset - THUMP_ENDS - rise - LOW_BAND_DELAY,
      score,
      step,
    });
  };
  add('thump', thump.thump);
  add('whitened-thump', thump.whitened);
  return found.filter(({ seconds }) => onset - seconds >= LEAST_LEAD);
}

/** Filters a stretch of the layer into `into`; what lies outside the recording counts as silence. Returns its length. */
function fill(into: Float32Array, layer: Layer, from: Seconds, to: Seconds, sections: readonly Section[]): number {
  const { samples, rate } = layer;
  const first = Math.round(from * rate);
  const end = Math.min(Math.round(to * rate), first + into.length);
  const settle = Math.round(BANDS_SETTLE * rate);
  const piece = new Float32Array(end - first + settle);
  const begin = Math.max(0, first - settle);
  const last = Math.min(samples.length, end);
  if (last > begin) piece.set(samples.subarray(begin, last), begin - (first - settle));
  filterAll(piece, sections, piece);
  into.set(piece.subarray(settle));
  return end - first;
}
