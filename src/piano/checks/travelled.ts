/** Looks at the way the hammer goes: blow, let-off, drop, dip, aftertouch, and where it is caught. */

import { BENCH, IN, IN_LIT, MODEL, REPEATS, check } from './check.ts';

/** Blow, let-off, drop, dip, aftertouch. */
export const TRAVELLED = {
  blowShort: check(
    'blow',
    'Look along the hammer line: does this hammer stand higher than its neighbours?',
    'A short blow may start the tone early at every loudness.',
    ['model', MODEL],
    IN_LIT,
  ),
  blowLong: check(
    'blow',
    'Look along the hammer line: does this hammer stand lower than its neighbours?',
    'A long blow may start the tone late at every loudness.',
    ['model', MODEL],
    IN_LIT,
  ),
  blowLongSoft: check(
    'blow',
    'Look along the hammer line: does this hammer stand lower than its neighbours?',
    'A long blow may ask more of a soft stroke than it has, and leave too little aftertouch for the jack to clear.',
    null,
    IN_LIT,
  ),
  letOffNear: check(
    'let-off',
    'Press the key very slowly and watch how near the hammer comes to the string before it lets off.',
    'Let-off closer than about 1 mm may let the hammer strike twice at soft playing.',
    ['published trade text', 'pianotech list, attachment on let-off'],
    IN_LIT,
  ),
  letOffBlocks: check(
    'let-off',
    'Without playing: press the key slowly by hand and look whether the hammer lets off before it reaches the string.',
    'Let-off set too near may block the hammer against the string.',
    ['published trade text', 'pianotuningmatters, part XXII'],
    IN_LIT,
  ),
  letOffFar: check(
    'let-off',
    'Press the key very slowly and watch how far from the string the hammer lets off.',
    'From about 2 mm on, very soft playing may become unsure.',
    ['published trade text', 'pianotech list, attachment on let-off'],
    IN_LIT,
  ),
  letOffEarlyTone: check(
    'let-off',
    'Press the key very slowly and watch how far from the string the hammer lets off.',
    'Early let-off may start the tone early, most of all at soft playing.',
    ['model', MODEL],
    IN_LIT,
  ),
  letOffLateTone: check(
    'let-off',
    'Press the key very slowly and watch how near the hammer comes to the string before it lets off.',
    'Let-off that is too close may start the tone late, most of all at soft playing.',
    ['model', MODEL],
    IN_LIT,
  ),
  dropMuch: check(
    'drop',
    'Watch how far the hammer falls after it lets off, against the notes beside it.',
    'Much drop may take from a very soft stroke.',
    ['model', MODEL],
    IN_LIT,
  ),
  dropMuchTone: check(
    'drop',
    'Watch how far the hammer falls after it lets off, against the notes beside it.',
    'Much drop may start the tone early, most of all at soft playing.',
    ['model', MODEL],
    IN_LIT,
  ),
  dropSmall: check(
    'drop',
    'Watch whether the hammer falls a little after it lets off, against the notes beside it.',
    'With too little drop the hammer may stay near enough to touch the string again.',
    ['model', MODEL],
    IN_LIT,
  ),
  dropSmallTone: check(
    'drop',
    'Watch whether the hammer falls a little after it lets off, against the notes beside it.',
    'Little drop may start the tone late, most of all at soft playing.',
    ['model', MODEL],
    IN_LIT,
  ),
  dipSmall: check(
    'dip',
    'Feel how deep the key goes against the notes beside it.',
    'A shallow key may not let the jack clear the knuckle.',
    ['published trade text', 'depianotuner.com, sfptg and brainscape'],
    IN,
  ),
  dipTone: check(
    'dip',
    'Feel how deep the key goes against the notes beside it.',
    'A key of another depth may be struck in another way, and so seem early or late.',
    null,
    IN,
  ),
  aftertouch: check(
    'aftertouch',
    'Press slowly past the let-off and feel what is left before the felt.',
    'With too little aftertouch soft play and checking may be unsure.',
    ['published trade text', 'mmdigest.com, 2002-08-23'],
    IN,
  ),
} as const;

/** Checking. */
export const CAUGHT = {
  checking: check(
    'check',
    'Watch where the hammer is caught after a firm blow, against the notes beside it.',
    'A hammer caught late, low or not at all may not be back in time, and less so the faster the repeats.',
    ['model', REPEATS],
    IN_LIT,
  ),
  checkingDouble: check(
    'check',
    'Watch where the hammer is caught after a firm blow, against the notes beside it.',
    'A hammer that is not caught may bounce back to the string.',
    [
      'published trade text',
      'depianotuner.com, sfptg and brainscape name poor checking; at firm playing only: model study of one grand action',
    ],
    IN_LIT,
  ),
  wedge: check(
    'check',
    'Look whether the hammer\u2019s tail wedges in the back check or drags on it, and whether the key\u2019s bushings are loose.',
    'A wedged tail may hold the hammer down until the key is let right up.',
    ['published trade text', 'pianotech list archive (moypiano 068688 and 200952)'],
    BENCH,
  ),
  wedgedNow: check(
    'check',
    'Before it is played again, look whether the hammer\u2019s tail is wedged in the back check.',
    'A hammer stuck low after a half return may be wedged there.',
    ['published trade text', 'pianotech list archive (moypiano 068688 and 200952)'],
    IN_LIT,
  ),
} as const;
