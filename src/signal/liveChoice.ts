/**
 * Which of the candidates before a stroke was the finger's contact, while playing goes on: the rule of the refinement, with
 * the strokes before instead of the whole take. Nothing is allocated after construction.
 */

import type { Decibels, Seconds } from '../units.ts';
import { MOST_CLICKS } from './clickSearch.ts';
import { HIGH_BAND_DELAY, LOW_BAND_DELAY } from './contactBands.ts';
import {
  AGREED_ADDS,
  CLEAR_STEP,
  CLICK_ADDS,
  CLICK_OVER,
  CLICK_OVER_FAST,
  FITTING_NEEDS,
  LATE_PER_DB,
  LEAST_AGREEING,
  LEAST_HELD,
  LONG_COSTS,
  LONG_TRAVEL,
  NOT_THIS,
  SAME,
  THUMP_ADDS,
  THUMP_OVER,
  TOGETHER,
  TRAVEL_PER_DB,
  WHITENED_OVER,
} from './contactChoice.ts';
import { CLICKS_END, LEAST_LEAD, THUMP_ENDS, type ContactSeeker } from './contactSeeker.ts';
import type { ThumpFind } from './thumpSearch.ts';

/** So many strokes' travel times say what is usual. */
const REMEMBERED = 8;

export class LiveChoice {
  /** Candidates of the stroke that is told: travel time, evidence in units of its threshold, what its kind adds. */
  readonly leads = new Float64Array(MOST_CLICKS + 2);
  readonly strengths = new Float64Array(MOST_CLICKS + 2);
  private readonly adds = new Float64Array(MOST_CLICKS + 2);
  private candidates = 0;
  /** ln travel times of the latest strokes, as they would be at 0 dB. */
  private readonly travels = new Float64Array(REMEMBERED);
  private travelled = 0;

  /** Forgets the strokes before. */
  reset(): void {
    this.travelled = 0;
  }

  /**
   * Index of the likeliest candidate of the seeker, or -1; remembers its travel time for the strokes that follow. `quick`: the
   * stroke was not left alone before; `level` is its loudness, dB.
   */
  choose(seeker: ContactSeeker, quick: boolean, level: Decibels): number {
    this.gather(seeker, quick);
    const { leads, strengths, adds, travels } = this;
    const usual = this.usualTravel();
    const atLevel = TRAVEL_PER_DB * level;
    let best = -1;
    let most = -Infinity;
    for (let c = 0; c < this.candidates; c++) {
      let witness = 0;
      for (let o = 0; o < this.candidates; o++) {
        if (adds[o] !== adds[c] && strengths[o] >= 1 && Math.abs(leads[o] - leads[c]) < SAME) witness = AGREED_ADDS;
      }
      // Alone, what is left when ringing is predicted away is seldom right: it only bears witness.
      if (adds[c] === 0 && witness === 0) continue;
      const log = Math.log(leads[c]);
      const off = usual === 0 ? Math.max(0, log - Math.log(LONG_TRAVEL)) : Math.abs(log - atLevel - usual);
      const evidence = Math.log(strengths[c]);
      if (usual === 0 ? evidence < LONG_COSTS * off : off >= (evidence >= 0 ? NOT_THIS : TOGETHER)) continue;
      const against = usual === 0 ? LONG_COSTS * off : 2 * (off / TOGETHER) ** 2;
      const worth = evidence + adds[c] + witness - against;
      if (worth > most) {
        most = worth;
        best = c;
      }
    }
    if (best >= 0 && strengths[best] >= 1) {
      travels[this.travelled % travels.length] = Math.log(leads[best]) - atLevel;
      this.travelled++;
    }
    return best;
  }

  /** ln travel time at 0 dB that most of the latest strokes share; 0 where too few do. */
  private usualTravel(): number {
    const { travels } = this;
    const known = Math.min(this.travelled, travels.length);
    let best = 0;
    let most = LEAST_AGREEING - 1;
    for (let i = 0; i < known; i++) {
      let near = 0;
      let sum = 0;
      for (let k = 0; k < known; k++) {
        if (Math.abs(travels[k] - travels[i]) >= TOGETHER) continue;
        near++;
        sum += travels[k];
      }
      if (near > most) {
        most = near;
        best = sum / near;
      }
    }
    return best;
  }

  /** Lists what the searches found, as far as it may count. */
  private gather({ click, thump }: ContactSeeker, quick: boolean): void {
    const clickOver = quick ? CLICK_OVER_FAST : CLICK_OVER;
    this.candidates = 0;
    for (let i = 0; i < click.clicks; i++) {
      this.add(click.lead[i] + CLICKS_END + HIGH_BAND_DELAY, click.ratio[i] / clickOver, CLICK_ADDS);
    }
    this.add(leadOf(thump.thump), strengthOf(thump.thump, THUMP_OVER), THUMP_ADDS);
    this.add(leadOf(thump.whitened), strengthOf(thump.whitened, WHITENED_OVER), 0);
  }

  private add(lead: Seconds, strength: number, adds: number): void {
    if (strength < FITTING_NEEDS || lead < LEAST_LEAD) return;
    const c = this.candidates++;
    this.leads[c] = lead;
    this.strengths[c] = strength;
    this.adds[c] = adds;
  }
}

/** Seconds before the onset, the lateness of a faint start taken out. */
function leadOf({ lead, step }: ThumpFind): Seconds {
  return lead + THUMP_ENDS + LOW_BAND_DELAY + LATE_PER_DB * Math.max(0, CLEAR_STEP - step);
}

function strengthOf({ score, held }: ThumpFind, over: number): number {
  return held >= LEAST_HELD ? score / over : 0;
}
