/**
 * Looks for the finger's contact with the key in the sound before an onset, by two witnesses: a click above 3.5 kHz and a
 * thump below 1100 Hz.
 *
 * Filters in front of an onset are causal, so that nothing of the tone leaks back. The two searches end a little before the
 * onset: nearer to it stand the tone's own first movements, and what a codec smears before a loud start. The same object
 * serves the audio thread, step by step, and the refinement, all at once. Buffers are owned and of fixed size.
 */

import type { Hertz, Seconds } from '../units.ts';
import { ClickSearch } from './clickSearch.ts';
import { ThumpSearch } from './thumpSearch.ts';

/** The searches end so much before the onset. */
export const CLICKS_END: Seconds = 0.0085;
export const THUMP_ENDS: Seconds = 0.004;
/** What begins nearer to the onset belongs to the tone. */
export const LEAST_LEAD: Seconds = 0.0085;

export class ContactSeeker {
  readonly click: ClickSearch;
  readonly thump: ThumpSearch;
  private clicksDone = true;
  private thumpDone = true;

  /** Rates of the two bands, hertz; see `contactBands.ts`. */
  constructor(highRate: Hertz, lowRate: Hertz) {
    this.click = new ClickSearch(highRate);
    this.thump = new ThumpSearch(lowRate);
  }

  /**
   * Begins a search in the pieces that stand in `click.piece` and `thump.piece`: their sample counts, and the samples at
   * which the searches start.
   */
  begin(highCount: number, highFrom: number, lowCount: number, lowFrom: number): void {
    this.click.begin(highCount, highFrom);
    this.thump.begin(lowCount, lowFrom);
    this.clicksDone = this.thumpDone = false;
  }

  /** Does one piece of the work, some ten thousand operations; true when all of it is done. */
  step(): boolean {
    if (!this.clicksDone) this.clicksDone = this.click.step();
    else if (!this.thumpDone) this.thumpDone = this.thump.step();
    return this.clicksDone && this.thumpDone;
  }

  /** All steps at once. */
  run(): void {
    while (!this.step()) continue;
  }
}
