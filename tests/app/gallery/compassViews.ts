/**
 * What the compass may have to show, by name. "sounded" and "heardAgain" come from sound: a made round through the whole
 * analysis (`makeCompassRound.ts`). "whole" and "worked" have all keys of drawn strokes (`makeCompassWhole.ts`).
 */

import type { ComparisonDocument } from '../../../src/analysis/compare.ts';
import { compassView } from '../../../src/app/compass/compassView.ts';
import type { CompassView } from '../../../src/app/compass/view.ts';
import { unpacked, type Packed } from './packedRound.ts';
import roundText from './compassRound.json?raw';
import wholeText from './compassWhole.json?raw';

const packed = JSON.parse(roundText) as { before: Packed; after: Packed; comparison: ComparisonDocument };
const { whole, worked } = JSON.parse(wholeText) as { whole: CompassView; worked: CompassView };
const [before, after] = [unpacked(packed.before), unpacked(packed.after)];
const PIANO = 'Aldervane 274';

const NOTHING = { ...before, notes: [], strokes: [], takes: [], advice: [] };

/** The compass, by name. */
export const COMPASS_VIEWS: Readonly<Record<string, CompassView>> = {
  sounded: compassView({ document: before, title: `${PIANO}, round 1`, breaks: null }),
  heardAgain: compassView({
    document: after,
    title: `${PIANO}, round 2`,
    breaks: [47, 71],
    earlier: { document: before, comparison: packed.comparison, title: 'Round 1, then round 2' },
  }),
  whole,
  worked,
  empty: compassView({ document: NOTHING, title: `${PIANO}, round 1`, breaks: null }),
};
