/**
 * Makes `compassWhole.json`: the compass of all 88 keys of an invented piano, and of the notes worked on and heard again, from
 * drawn strokes judged as any. Run by `npx tsx tests/app/gallery/makeCompassWhole.ts`; takes half a minute.
 */

import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { compareDocuments } from '../../../src/analysis/compare.ts';
import { compassView } from '../../../src/app/compass/compassView.ts';
import { ALL_KEYS, PIANO_FAULTS, wholeRound } from './drawnRound.ts';

const rounds = [
  { id: 'r1', words: 'Round 1' },
  { id: 'r2', words: 'Round 2' },
];
const WORKED = [47, 51, 64, 74, 78, 81, 86];
/** Heard beside them, so that there is a hand and there are neighbours. */
const BESIDE = [40, 43, 45, 50, 52, 57, 59, 62, 66, 69, 71, 76, 79, 83];

const before = wholeRound(13, ALL_KEYS, PIANO_FAULTS);
const after = wholeRound(
  12,
  [...WORKED, ...BESIDE].sort((a, b) => a - b),
  { 47: { gentle: 8, gentleSilent: 1 }, 74: { silent: 0.05, weak: 5 }, 81: { shift: -0.11 } },
  { silent: 0 },
);
const comparison = compareDocuments(before, after, { worked: WORKED });
const whole = compassView({
  document: before,
  title: 'Aldervane 274, round 1, 21 \u00b0C, 43 % humidity',
  breaks: null,
  rounds,
  chosenRound: 'r1',
});
const worked = compassView({
  document: after,
  title: 'Aldervane 274, round 2',
  breaks: null,
  rounds,
  chosenRound: 'r2',
  earlier: { document: before, comparison, title: 'Round 1, then round 2', worked: WORKED },
});

const rounded = (_: string, value: unknown) => (typeof value === 'number' ? Math.round(value * 1e3) / 1e3 : value);
const to = fileURLToPath(new URL('compassWhole.json', import.meta.url));
writeFileSync(to, `${JSON.stringify({ whole, worked }, rounded)}\n`);
for (const { round } of [whole, worked]) {
  const told = round.notes.filter(({ verdict }) => verdict !== 'steady');
  console.log(told.map(({ midi, verdict, restRatio }) => `${midi} ${verdict} ${restRatio}`).join(', '));
}
console.log(comparison.notes.map(({ name, change }) => `${name} ${change}`).join(', '));
