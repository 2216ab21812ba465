/** Looks at what carries the waiting hammer: jack, lever, spring. */

import { HALF, HALF_LIT, IN_LIT, MODEL, PART_X, REPEATS, check, type Check } from './check.ts';

/** By what they look at. */
export const CARRIED = {
  jackPlace: check(
    'jack',
    'Look where the jack stands: its rear face in line with the rear of the knuckle\u2019s core.',
    'A jack too far in may come back late or not at all, one too far out may slip off early.',
    ['published trade text', 'professionalpianotunerlondon, part 6; its effect: londonpianotuning, part X'],
    HALF_LIT,
  ),
  jackFree: check(
    'jack',
    'Trip the jack by hand: it should snap back under the knuckle by itself.',
    'A tight jack centre or a weak jack spring may bring the jack back too late.',
    ['published trade text', 'moypiano 022731, of the tight centre; how to look is common practice'],
    HALF,
  ),
  leverWink: check(
    'lever',
    'With the key at rest, press the lever down at its end: the hammer should just wink; where it does not, the lever may stand low.',
    'With the lever too low the jack may come back late or not at all; the jack and the knuckle are to be right before.',
    ['published trade text', PART_X],
    HALF,
  ),
  leverLow: check(
    'lever',
    'Compare the jack\u2019s top with the lever\u2019s window: it should stand just below, with a hair of air under the knuckle.',
    'Repeats that come weak rather than not at all may point to a lever that is too low.',
    ['model', REPEATS],
    HALF_LIT,
  ),
  leverGap: check(
    'lever',
    'Press the lever down at its end and watch the hammer: a wide wink means a gap between jack and knuckle.',
    'Air between jack and knuckle may let the hammer rest at another height after each stroke; in a model this hardly shows in sound.',
    ['published trade text', PART_X],
    HALF,
  ),
  leverPower: check(
    'lever',
    'Press the lever down at its end and watch the hammer: a wide wink means a gap between jack and knuckle.',
    'Much lost motion between jack and knuckle may take from the power.',
    ['published trade text', PART_X],
    HALF,
  ),
  leverEarly: check(
    'lever',
    'Press the lever down at its end and watch the hammer: a wide wink means a gap between jack and knuckle.',
    'A lever that is too high may start the tone early, if its spring is strong enough to hold it up.',
    ['model', MODEL],
    HALF,
  ),
  lostMotion: check(
    'lever',
    'Press the key very slowly and watch: key and hammer should set off together, without a gap anywhere between them.',
    'Lost motion between key and hammer may shift the start of the tone.',
    null,
    IN_LIT,
  ),
  lostMotionTwice: check(
    'lever',
    'Press the key very slowly and watch: key and hammer should set off together, without a gap anywhere between them.',
    'With lost motion the jack may not clear the knuckle in time.',
    ['published trade text', 'depianotuner.com, sfptg and brainscape'],
    IN_LIT,
  ),
  springRise: check(
    'spring',
    'Let the hammer check, then ease the key: it should rise briskly, without a kick in the key.',
    'A weak spring may not lift the hammer off the jack in time, most of all where the key is only half let up.',
    ['model', `${REPEATS}; rise of the hammer: pianotuningmatters, part XXIII`],
    IN_LIT,
  ),
  springHolds: check(
    'spring',
    'Push the hammer down a little at rest and let go: it should come up to the same height each time.',
    'A weak spring may not put the lever at its stop, so that the hammer waits at another height after each stroke.',
    ['published trade text', PART_X],
    HALF,
  ),
  springStrong: {
    ...check(
      'spring',
      'Let the hammer check, then ease the key: it should rise without a jump that is felt in the key.',
      'A spring that is too strong may throw the hammer up again at soft playing.',
      ['model', MODEL],
      IN_LIT,
    ),
    fine: true,
  },
} as const satisfies Readonly<Record<string, Check>>;
