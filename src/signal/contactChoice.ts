/**
 * What is asked of a contact, and what speaks for one candidate against another: the figures that the refinement and the
 * audio thread share.
 *
 * Thresholds are those that noise of real rooms passes 2 times in 100. Travel time goes with hammer speed to the power
 * -0.57, level with 20·log10 of it (Goebl, Bresin & Galembo 2005; Palmer & Brown 1991; both read at second hand).
 */

import type { Decibels, Seconds } from '../units.ts';

/** Longest search before a stroke left alone, and within a fast passage; never more than this share of the rest. */
export const SEARCH_SLOW: Seconds = 0.2;
export const SEARCH_FAST: Seconds = 0.06;
export const SEARCH_SHARE = 0.45;
/** Rest from which a stroke counts as left alone here. */
export const ALONE_FROM: Seconds = 0.4;
/** Background before the search, low and high band. */
export const LOW_BACKGROUND: Seconds = 0.2;
export const HIGH_BACKGROUND: Seconds = 0.1;
/** After an onset so much is not background: the attack itself. */
export const AFTER_ONSET: Seconds = 0.015;

/** Least evidence of a click: its energy over that around it. A fast stroke's short window gives chance less room. */
export const CLICK_OVER = 2.7;
export const CLICK_OVER_FAST = 2.4;
/** Least evidence of a thump: its log likelihood ratio, plain and with what rings predicted away. */
export const THUMP_OVER = 40;
export const WHITENED_OVER = 30;
/** A thump shows in so much of what follows its start. */
export const LEAST_HELD = 0.7;

/** Change of ln travel time per dB: -0.57 ln(10) / 20. */
export const TRAVEL_PER_DB = -0.0656;
/** Travel times that go together, ln: the hand and the mechanism scatter less than this. */
export const TOGETHER = 0.3;
/** What differs more from the take's own is no contact, once so many strokes agree. */
export const NOT_THIS = 0.75;
export const LEAST_AGREEING = 4;
/** Share of the usual evidence that is enough for a candidate at the take's own travel time. */
export const FITTING_NEEDS = 0.75;
/** A longer travel time wants more evidence where no other strokes vouch for it: ln evidence per ln time. */
export const LONG_TRAVEL: Seconds = 0.06;
export const LONG_COSTS = 2;
/** What a second witness adds, in ln evidence. */
export const AGREED_ADDS = 0.7;
/** A click says when to a tenth of a millisecond; a thump's start is surer where nothing had to be predicted away. */
export const CLICK_ADDS = 1;
export const THUMP_ADDS = 0.7;
/** Two candidates that differ by less are one. */
export const SAME: Seconds = 0.004;

/**
 * A faint thump's start is late: seconds per dB of its step under 22. Measured: 0.12 ms for modelled thumps, 0.19 for
 * recorded noises.
 */
export const LATE_PER_DB: Seconds = 0.00015;
export const CLEAR_STEP: Decibels = 22;
