/** Findings by name, as titles: the same on the worklist and in the report. */

import type { FindingKind } from '../analysis/document.ts';

export const FINDING_TITLES: Readonly<Record<FindingKind, string>> = {
  'wandering-rest': 'Wandering rest',
  'missed-repeats': 'Missed repeats',
  'weak-repeats': 'Weak repeats',
  'silent-when-gentle': 'Silent when gentle',
  'weak-when-hard': 'Weak when hard',
  'double-strikes': 'Double strikes',
  jammed: 'Jammed',
  'fading-repeats': 'Fading repeats',
  'uneven-repeats': 'Uneven repeats',
  'early-or-late': 'Early or late',
};
