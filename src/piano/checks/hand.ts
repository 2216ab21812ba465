/** What the hand may try first: always first, for it costs nothing to play again. */

import { IN, MODEL, REPEATS, check } from './check.ts';

/** By what they look at. */
export const HAND = {
  fullReturn: check(
    'hand',
    'Play it again with one finger, the key let right up each time.',
    'A key let up too little fails on a sound action too.',
    ['model', REPEATS],
    IN,
  ),
  oneFinger: check(
    'hand',
    'Repeat with one finger only.',
    'With two fingers, the one that plays every second stroke may be the weaker.',
    null,
    IN,
  ),
  wait: check(
    'hand',
    'Let the key right up and wait half a second before each stroke.',
    'A hammer still moving starts from anywhere, on a sound action too.',
    ['model', MODEL],
    IN,
  ),
  sameTouch: check(
    'hand',
    'Play it and its neighbours again with the same finger and the same touch, the finger resting on the key.',
    'How the finger meets the key may turn this shift about.',
    ['model', MODEL],
    IN,
  ),
  keyDown: check(
    'hand',
    'Play it again and hold the key down at the bottom each time.',
    'A key let go too soon may let the hammer bounce, on a sound action too.',
    null,
    IN,
  ),
  softAndFirm: check(
    'hand',
    'Play it very softly a few times, then firmly, the key held down, and hear at which of the two it strikes twice.',
    'Twice at soft playing may be let-off or spring, twice at firm playing the checking.',
    ['model', MODEL],
    IN,
  ),
  asSoftAsNeighbours: check(
    'hand',
    'Play it and the notes beside it as softly as they will speak, one after the other.',
    'Below some force no note speaks, on a sound action too.',
    null,
    IN,
  ),
  asFirmAsNeighbours: check(
    'hand',
    'Strike it and the notes beside it firmly, with the same finger, near the front of the key.',
    'A stroke further in or a glancing one may come out weaker, on a sound action too.',
    null,
    IN,
  ),
} as const;
