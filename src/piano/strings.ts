/**
 * The strings over the compass: inharmonicity and stretch of an average grand, for naming notes and for synthesis.
 *
 * Partials of a stiff string: f_n = n·f0·√(1 + B·n²) (Fletcher 1964, JASA 36(1)). B over the compass: Rigaud, David &
 * Daudet (DAFx-11; JASA 133:3107, 2013), constants of an average instrument; long grands have about half of it in the
 * bass, so anything that uses it must bear a factor of two.
 */

import { centsToRatio, midiToHertz, type Cents, type Hertz, type MidiNote } from '../units.ts';

/** Inharmonicity coefficient B(m) = exp(0.0926·m − 13.64) + exp(−0.0847·m − 5.82), m = MIDI number. */
export function inharmonicity(midi: MidiNote): number {
  return Math.exp(0.0926 * midi - 13.64) + Math.exp(-0.0847 * midi - 5.82);
}

/**
 * Frequency of partial `n` (from 1) of a string whose *first* partial sounds at `first`:
 * f_n = n·f_1·√((1 + B·n²)/(1 + B)).
 */
export function partialFrequency(first: Hertz, n: number, b: number): Hertz {
  return n * first * Math.sqrt((1 + b * n * n) / (1 + b));
}

/**
 * How far from equal temperament a piano's first partial usually sounds: +45·((m − 69)/39)^2.5 cents above A4,
 * −16·((45 − m)/24)^1.5 below A2, nothing between. Fitted by eye to published stretch figures (A0 −16, A1 −7, C7 +14;
 * read at second hand) and to common practice in the top octave; pianos differ by tens of cents at both ends.
 */
export function stretch(midi: MidiNote): Cents {
  if (midi > 69) return 45 * ((midi - 69) / 39) ** 2.5;
  return midi < 45 ? -16 * ((45 - midi) / 24) ** 1.5 : 0;
}

/** First partial as tuned on an average piano: equal temperament with {@link stretch}. */
export function tunedFirstPartial(midi: MidiNote): Hertz {
  return midiToHertz(midi) * centsToRatio(stretch(midi));
}
