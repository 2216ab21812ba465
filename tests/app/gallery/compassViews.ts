/**
 * What the compass may have to show, by name. "sounded" and "worked" come from sound: a made round through the whole analysis
 * (`makeCompassRound.ts`). "whole" has all keys of drawn strokes, judged as any.
 */

import { compareDocuments } from '../../../src/analysis/compare.ts';
import type { AnalysisDocument } from '../../../src/analysis/document.ts';
import { compassView } from '../../../src/app/compass/compassView.ts';
import type { CompassView } from '../../../src/app/compass/view.ts';
import { ALL_KEYS, PIANO_FAULTS, wholeRound } from '../../pictures/compassRound.ts';
import packed from './compassRound.json';

type Packed = Omit<AnalysisDocument, 'strokes'> & {
  readonly strokes: { readonly fields: readonly string[]; readonly rows: readonly (readonly unknown[])[] };
};

/** The names of the strokes' fields stand once in the file. */
function unpacked(file: unknown): AnalysisDocument {
  const { strokes, ...rest } = file as Packed;
  const { fields, rows } = strokes;
  const full = rows.map((row) => Object.fromEntries(fields.map((field, i) => [field, row[i]])));
  return { ...rest, strokes: full as unknown as AnalysisDocument['strokes'] };
}

const PIANO = 'Aldervane 274';
const ROUNDS = [
  { id: 'r1', words: 'Round 1' },
  { id: 'r2', words: 'Round 2' },
];

const sounded = () =>
  compassView({ document: unpacked(packed.before), title: `${PIANO}, round 1, 20 notes`, breaks: null });

const whole = () =>
  compassView({
    document: wholeRound(11, ALL_KEYS, PIANO_FAULTS),
    title: `${PIANO}, round 1, 21 \u00b0C, 43 % humidity`,
    breaks: null,
    rounds: ROUNDS,
    chosenRound: 'r1',
  });

/** Seven notes worked on: mended, but D5, B2 and E4. */
function worked(): CompassView {
  const before = wholeRound(11, ALL_KEYS, PIANO_FAULTS);
  const again = [40, 47, 51, 64, 69, 74, 78, 81, 86];
  const others = [43, 45, 50, 52, 57, 59, 62, 66, 71, 76];
  const after = wholeRound(
    12,
    [...again, ...others].sort((a, b) => a - b),
    {
      47: { gentle: 8, gentleSilent: 1 },
      74: { silent: 0.05, weak: 3 },
      81: { shift: -0.11 },
    },
  );
  return compassView({
    document: after,
    title: `${PIANO}, round 2`,
    breaks: null,
    rounds: ROUNDS,
    chosenRound: 'r2',
    earlier: { document: before, comparison: compareDocuments(before, after), title: 'Round 1, then round 2' },
  });
}

/** From sound, after against before. */
function heardAgain(): CompassView {
  const before = unpacked(packed.before);
  return compassView({
    document: unpacked(packed.after),
    title: `${PIANO}, round 2, 5 notes`,
    breaks: [47, 71],
    earlier: {
      document: before,
      comparison: packed.comparison as unknown as ReturnType<typeof compareDocuments>,
      title: 'Round 1, then round 2',
    },
  });
}

const empty = () =>
  compassView({ document: wholeRound(1, []), title: `${PIANO}, round 1, nothing heard`, breaks: null });

/** The compass, by name; each made when it is first shown. */
export const COMPASS_VIEWS: Readonly<Record<string, () => CompassView>> = {
  sounded: once(sounded),
  whole: once(whole),
  worked: once(worked),
  heardAgain: once(heardAgain),
  empty: once(empty),
};

function once(make: () => CompassView): () => CompassView {
  let made: CompassView | null = null;
  return () => (made ??= make());
}
