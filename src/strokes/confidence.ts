/**
 * How surely a stroke of its kind happened, as a probability.
 *
 * Logistic in how far the stroke's match stood over what matches by chance. The constants are fitted on practice
 * recordings of the training variant, and held against the judging variant and spliced real tones by the meter.
 */

/** A stroke found by its attack alone: its match over the threshold of the take. */
export function sureOfStroke(overThreshold: number): number {
  return logistic((overThreshold + 0.03) / 0.035);
}

/** A re-strike found under another stroke's tone at a beat where one was due. */
export function sureOfWeak(contrast: number): number {
  return logistic((contrast - 2) / 0.7);
}

/** A second contact found under a stroke's tone. */
export function sureOfDouble(contrast: number): number {
  return logistic((contrast - 2.5) / 0.6);
}

/** A beat at which no string spoke; `contrast` of the best place near it, `null` where none could be looked at. */
export function sureOfSilence(contrast: number | null): number {
  return contrast === null ? 0.6 : logistic((2.6 - contrast) / 0.5);
}

function logistic(x: number): number {
  return Math.min(0.999, Math.max(0.001, 1 / (1 + Math.exp(-x))));
}
