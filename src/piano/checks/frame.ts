/** Looks at screws and rests, and at what bears a stretch of notes. */

import { IN, IN_LIT, MODEL, check } from './check.ts';

/** By what they look at. */
export const FRAME = {
  flange: check(
    'screws',
    'Feel the hammer for sideways play and try its flange screw.',
    'A loose flange may let the hammer come to rest elsewhere each time.',
    null,
    ['half out', 'screwdriver of the right width'],
  ),
  fallen: check(
    'screws',
    'Look for a loose screw, or something that has fallen between the keys or into the action.',
    'Loose or fallen parts may block a note.',
    null,
    IN_LIT,
  ),
  restsOnCushion: check(
    'cushion',
    'Look whether the shank lies on its cushion or rail between strokes: about a shank\u2019s thickness should be free.',
    'A shank that lies on its rest may start from there on some strokes and from the lever on others.',
    ['published trade text', 'a maker\u2019s service manual, p. 7, of the distance; its effect is common practice'],
    IN_LIT,
  ),
  cushionLow: check(
    'cushion',
    'Look how far below the shank its cushion or rail stands, against the notes beside it.',
    'With a low rest the hammer may fall past the jack, and the jack not come back under it.',
    ['model', MODEL],
    IN_LIT,
  ),
  climate: check(
    'climate',
    'Read temperature and humidity beside the piano, and ask what has changed since it was last set.',
    'Damp may tighten a whole stretch of bushings and centres at once.',
    null,
    ['in the piano', 'hygrometer'],
  ),
  bedding: check(
    'bedding',
    'Tap along the key frame over these notes and listen for a knock; try again with the soft pedal down.',
    'A key frame that is not bedded may move under the strokes of a whole section.',
    ['published trade text', 'azpianoservice.com, of the feel of the keys'],
    IN,
  ),
  rail: check(
    'rail',
    'Look along the hammer rail and the let-off rail of this section: straight, and their screws tight.',
    'A rail that has moved may take a whole section with it.',
    null,
    ['half out', 'screwdriver of the right width'],
  ),
} as const;
