/**
 * The analysis document and the hand reference as far as the record looks into them.
 *
 * A kept document may come from an older or a later analysis: names of measures, findings, doubts and warnings are only text
 * here, and added fields are let be. What screens and judgement rest on (times, kinds, verdicts, numbers) must be there and whole.
 * The complete contracts are the JSON Schemas of `src/analysis`.
 */

import type * as v from 'valibot';
import type { AnalysisDocument } from '../analysis/document.ts';
import type { HandReference } from '../analysis/reference.ts';
import {
  analysisVersion,
  byName,
  exactly,
  from,
  interval,
  key,
  list,
  named,
  oneOf,
  orNull,
  real,
  seconds,
  thing,
  whole,
  words,
  yesNo,
} from './fields.ts';

export const VERDICT_LIST = ['steady', 'watch', 'unstable', 'insufficient'] as const;
export const ASKED_LIST = ['slow-fast', 'open', 'gentle', 'just-over-half', 'full-return', 'bar'] as const;
export const TOUCH_LIST = ['finger', 'weight', 'bar'] as const;
const ORIGINS = ['this-round', 'stored', 'none'] as const;

const codedSentence = () => thing({ code: named(), message: words() });

const number = { kind: named(), unit: named(), interval: interval(), n: whole(0) };

const stroke = thing({
  kind: oneOf(['sounded', 'silent', 'double']),
  take: whole(1),
  midi: orNull(key()),
  timeSeconds: seconds(),
  contactSeconds: orNull(seconds()),
  contactRiseSeconds: orNull(seconds()),
  otherContactSeconds: orNull(seconds()),
  onsetSeconds: orNull(seconds()),
  onsetErrorSeconds: orNull(seconds()),
  keyBottomSeconds: orNull(seconds()),
  levelDb: orNull(real()),
  relativeDb: orNull(real()),
  force: orNull(named()),
  brightness: orNull(real()),
  knockDb: orNull(real()),
  passage: orNull(named()),
  group: orNull(whole(0)),
  preceding: thing({
    kind: named(),
    restSeconds: orNull(seconds()),
    damped: orNull(yesNo()),
    gapDb: orNull(real()),
  }),
  confidence: from(0, 1),
  contactConfidence: orNull(from(0, 1)),
  absent: byName(named(), 'causes by field'),
  doubt: list(named()),
});

/** What is said of a note: fields. */
export const noteWords = {
  line: words(),
  evidence: list(words()),
  next: list(words()),
  cautions: list(words()),
};

const note = thing({
  midi: key(),
  name: named(),
  verdict: oneOf(VERDICT_LIST),
  score: from(0, 1),
  measures: list(thing({ ...number, value: real() })),
  couldHaveShown: thing({
    spreadPercent: orNull(real()),
    shiftPercent: orNull(real()),
    failureRate: orNull(real()),
    modelMillimetres: orNull(real()),
  }),
  findings: list(thing({ ...number, size: real() })),
  looks: whole(0),
  pattern: orNull(named()),
  strokesNeeded: orNull(thing({ slow: whole(0), fast: whole(0) })),
  unused: byName(whole(0), 'counts by reason'),
  words: thing(noteWords),
});

/** The document `evenfall.analysis/1`. */
export const heardSchema = thing({
  schema: exactly('evenfall.analysis/1'),
  analysisVersion: analysisVersion(),
  source: thing({
    file: words(),
    sampleRate: from(1, 1e6),
    channels: whole(1),
    durationSeconds: seconds(),
  }),
  warnings: list(codedSentence()),
  hand: thing({
    scalePercent: orNull(real()),
    slopePerDb: orNull(real()),
    slipRate: orNull(real()),
    baseFailureRate: orNull(real()),
    reference: oneOf(ORIGINS),
    notes: whole(0),
    repeatsReference: oneOf(ORIGINS),
  }),
  expectedFalseUnstable: orNull(from(0, 1e6)),
  advice: list(codedSentence()),
  takes: list(
    thing({
      take: whole(1),
      midi: orNull(key()),
      asked: orNull(oneOf(ASKED_LIST)),
      touch: orNull(oneOf(TOUCH_LIST)),
      ratePerSecond: orNull(from(0, 1000)),
    }),
  ),
  strokes: list(stroke),
  bars: list(
    thing({
      group: whole(0),
      midis: list(key()),
      differencesSeconds: list(real()),
      secondDifferenceSeconds: orNull(real()),
      refused: orNull(named()),
    }),
  ),
  notes: list(note),
});

const shares = () => thing({ silent: from(0, 1), faint: from(0, 1) });

/** The document `evenfall.reference/1`; `checkReference` of the analysis has the last word when it is used. */
export const referenceSchema = thing({
  schema: exactly('evenfall.reference/1'),
  analysisVersion: analysisVersion(),
  scale: from(0, 10),
  logError: from(0, 10),
  slopePerDb: real(),
  slopeError: from(0, 10),
  slipRate: from(0, 1),
  touch: orNull(oneOf(TOUCH_LIST)),
  referenceTravel: seconds(),
  referenceDb: real(),
  baseRates: orNull(thing({ steady: shares(), quick: shares(), doubles: from(0, 1), notes: whole(0) })),
  notes: whole(0),
  sources: list(words()),
});

/** Does not compile unless every document of the analysis fits the record's schema of it, field by field. */
export type DocumentsFit = [
  Fits<AnalysisDocument, v.InferOutput<typeof heardSchema>>,
  Fits<HandReference, v.InferOutput<typeof referenceSchema>>,
];
type Fits<Part extends Whole, Whole> = Part;
