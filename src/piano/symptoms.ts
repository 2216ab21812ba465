/**
 * What a note shows, and what to look at for it, easiest and likeliest first.
 *
 * None of these is a diagnosis: each is something to look at, with what it rests on. The model behind most of them (a model
 * study of one grand action) names the right one of eleven causes in about two cases of three at best. Fast repeats say
 * nothing of the dip, of a spring slightly too strong or of a centre slightly too tight, so no symptom of theirs lists them.
 */

import type { Grade } from './grades.ts';
import type { Part } from './regulation.ts';

/** What a note can show. Closed list. */
export const SYMPTOMS = [
  'silent-repeats',
  'silent-repeats-and-gentle',
  'weak-repeats',
  'every-second-repeat',
  'silent-until-let-up',
  'weak-until-let-up',
  'lone-miss',
  'fails-when-faster',
  'fails-though-let-up',
  'double-when-soft',
  'double-when-firm',
  'double',
  'wanders-widely',
  'wanders',
  'silent-when-gentle',
  'weak-when-hard',
  'jammed',
  'fading',
  'uneven',
  'early',
  'late',
] as const;
export type Symptom = (typeof SYMPTOMS)[number];

/** Something to look at, and why. */
export interface Check {
  readonly part: Part;
  /** What to do or to look at, a sentence. */
  readonly look: string;
  /** Why it may be this; never that it is. */
  readonly why: string;
  readonly grade: Grade;
  readonly source: string;
}

const MODEL = 'model study of one grand action';
const REPEATS = 'model study of fast repeats, 36 strokes a note';
const PART_X = 'londonpianotuning, part X; how to look is common practice';
const NONE = 'no source';

const check = (part: Part, look: string, why: string, grade: Grade, source: string): Check => ({
  part,
  look,
  why,
  grade,
  source,
});

const FULL_RETURN = check(
  'hand',
  'Play it again with one finger, the key let right up each time.',
  'A key let up too little fails on a sound action too.',
  'model',
  REPEATS,
);
const ONE_FINGER = check(
  'hand',
  'Repeat with one finger only.',
  'With two fingers, the one that plays every second stroke may be the weaker.',
  'common practice',
  NONE,
);
const SPRING_RISE = check(
  'spring',
  'Let the hammer check, then ease the key: it should rise briskly, without a kick in the key.',
  'A weak spring may not lift the hammer off the jack in time, most of all where the key is only half let up.',
  'model',
  `${REPEATS}; rise of the hammer: pianotuningmatters, part XXIII`,
);
const LEVER_AIR = check(
  'lever',
  'With the key at rest, press the lever down at its end: the hammer should just wink; where it does not, the lever may stand low.',
  'With the lever too low the jack may come back late or not at all; the jack and the knuckle are to be right before.',
  'published trade text',
  PART_X,
);
const LEVER_LOW = check(
  'lever',
  'Compare the jack\u2019s top with the lever\u2019s window: it should stand just below, with a hair of air under the knuckle.',
  'Repeats that come weak rather than not at all may point to a lever that is too low.',
  'model',
  REPEATS,
);
const CHECKING = check(
  'check',
  'Watch where the hammer is caught after a firm blow, against the notes beside it.',
  'A hammer caught late, low or not at all may not be back in time, and less so the faster the repeats.',
  'model',
  REPEATS,
);
const CHECKING_DOUBLE = check(
  'check',
  'Watch where the hammer is caught after a firm blow, against the notes beside it.',
  'A hammer that is not caught may bounce back to the string.',
  'published trade text',
  'depianotuner.com, sfptg and brainscape name poor checking; at firm playing only: model study of one grand action',
);
const CHECK_WEDGE = check(
  'check',
  'Look whether the hammer\u2019s tail wedges in the back check or drags on it, and whether the key\u2019s bushings are loose.',
  'A wedged tail may hold the hammer down until the key is let right up.',
  'published trade text',
  'pianotech list archive (moypiano 068688 and 200952)',
);
const SWING = check(
  'centre',
  'Lift the hammer and let it fall, and swing its shank: it should move freely and come right down.',
  'A sluggish centre may keep a softly played hammer from the string, or leave it hanging.',
  'model',
  MODEL,
);
const KEY_FREE = check(
  'key',
  'Lift the key and let it drop: it should fall freely, without rubbing its neighbours or sticking on its pins.',
  'A stiff key may take what little a soft stroke has.',
  'model',
  MODEL,
);
const KEY_BUSHINGS = check(
  'key',
  'Feel the key for drag and for sideways play at its pins.',
  'Tight or loose bushings may make the return uneven.',
  'common practice',
  NONE,
);
const LET_OFF_LATE = check(
  'let-off',
  'Press the key very slowly and watch how near the hammer comes to the string before it lets off.',
  'Let-off closer than about 1 mm may let the hammer strike twice at soft playing.',
  'published trade text',
  'pianotech list, attachment on let-off',
);
const LET_OFF_EARLY = check(
  'let-off',
  'Press the key very slowly and watch how far from the string the hammer lets off.',
  'From about 2 mm on, very soft playing may become unsure.',
  'published trade text',
  'pianotech list, attachment on let-off',
);
const SPRING_STRONG = check(
  'spring',
  'Let the hammer check, then ease the key: it should rise without a jump that is felt in the key.',
  'A spring that is too strong may throw the hammer up again at soft playing.',
  'model',
  MODEL,
);
const SAME_TOUCH = check(
  'hand',
  'Play it and its neighbours again with the same finger and the same touch, the finger resting on the key.',
  'How the finger meets the key may turn this shift about.',
  'model',
  MODEL,
);
const JACK_PLACE = check(
  'jack',
  'Look where the jack stands: its rear face in line with the rear of the knuckle\u2019s core.',
  'A jack that stands wrong may slip off early, or come back late.',
  'published trade text',
  'professionalpianotunerlondon, part 6; its effect is common practice',
);

/** What to look at for a symptom, in this order; never empty. */
export const CHECKS: Readonly<Record<Symptom, readonly Check[]>> = {
  'silent-repeats': [FULL_RETURN, SPRING_RISE, LEVER_AIR],
  'silent-repeats-and-gentle': [FULL_RETURN, SWING, SPRING_RISE, LEVER_AIR],
  'weak-repeats': [FULL_RETURN, JACK_PLACE, LEVER_LOW, CHECKING],
  'every-second-repeat': [ONE_FINGER, FULL_RETURN, SPRING_RISE, CHECKING],
  'silent-until-let-up': [FULL_RETURN, CHECK_WEDGE, SPRING_RISE, LEVER_AIR],
  'weak-until-let-up': [FULL_RETURN, CHECK_WEDGE, JACK_PLACE, LEVER_LOW],
  'lone-miss': [FULL_RETURN],
  'fails-when-faster': [FULL_RETURN, CHECKING, SPRING_RISE],
  'fails-though-let-up': [CHECKING, CHECK_WEDGE, SPRING_RISE],
  'double-when-soft': [LET_OFF_LATE, SPRING_STRONG],
  'double-when-firm': [CHECKING_DOUBLE],
  double: [
    check(
      'hand',
      'Play it very softly a few times, then firmly, and hear at which of the two it strikes twice.',
      'Twice at soft playing may be let-off or spring, twice at firm playing the checking.',
      'model',
      MODEL,
    ),
    LET_OFF_LATE,
    CHECKING_DOUBLE,
  ],
  'wanders-widely': [
    check(
      'hand',
      'Let the key right up and wait half a second before each stroke.',
      'A hammer still moving starts from anywhere, on a sound action too.',
      'model',
      MODEL,
    ),
    SWING,
    check(
      'centre',
      'Look whether the hammer hangs above its neighbours after some strokes and falls when it is touched.',
      'So wide a spread may be a hammer that does not always fall back.',
      'model',
      MODEL,
    ),
    CHECK_WEDGE,
  ],
  wanders: [
    check(
      'hand',
      'Let the key right up and wait half a second before each stroke.',
      'A hammer still moving starts from anywhere, on a sound action too.',
      'model',
      MODEL,
    ),
    SWING,
    check(
      'lever',
      'Press the lever down at its end and watch the hammer: a wide wink means a gap between jack and knuckle.',
      'Air between jack and knuckle may let the hammer rest at another height after each stroke; in a model this hardly shows in sound.',
      'published trade text',
      PART_X,
    ),
    check(
      'spring',
      'Let the hammer check, then ease the key: it should rise briskly.',
      'A weak spring may leave the hammer at another height after each stroke.',
      'published trade text',
      PART_X,
    ),
  ],
  'silent-when-gentle': [
    KEY_FREE,
    SWING,
    LET_OFF_EARLY,
    check(
      'drop',
      'Watch how far the hammer falls after it lets off, against the notes beside it.',
      'Much drop may take from a very soft stroke.',
      'model',
      MODEL,
    ),
    check(
      'dip',
      'Feel for aftertouch: press slowly past the let-off and see what is left before the felt.',
      'With too little aftertouch soft play may be unsure.',
      'published trade text',
      'mmdigest.com, 2002-08-23',
    ),
  ],
  'weak-when-hard': [
    JACK_PLACE,
    check(
      'lever',
      'Press the lever down at its end and watch the hammer: a wide wink means a gap between jack and knuckle.',
      'Much lost motion between jack and knuckle may take from the power.',
      'published trade text',
      PART_X,
    ),
  ],
  jammed: [
    check(
      'check',
      'Before it is played again, look whether the hammer\u2019s tail is wedged in the back check.',
      'A hammer stuck low after a half return may be wedged there.',
      'published trade text',
      'pianotech list archive (moypiano 068688 and 200952)',
    ),
    check(
      'screws',
      'Look for a loose screw, or something that has fallen between the keys or into the action.',
      'Loose or fallen parts may block a note.',
      'common practice',
      NONE,
    ),
  ],
  fading: [FULL_RETURN, SPRING_RISE],
  uneven: [ONE_FINGER, KEY_BUSHINGS, CHECKING],
  early: [
    SAME_TOUCH,
    check(
      'blow',
      'Look along the hammer line: does this hammer stand higher than its neighbours?',
      'A short blow may start the tone early at every loudness.',
      'model',
      MODEL,
    ),
    check(
      'lever',
      'Press the lever down at its end and watch the hammer: a wide wink means a gap between jack and knuckle.',
      'A lever that is too high may start the tone early, if its spring is strong enough to hold it up.',
      'model',
      MODEL,
    ),
    check(
      'let-off',
      'Press the key very slowly and watch how far from the string the hammer lets off.',
      'Early let-off may start the tone early, most of all at soft playing.',
      'model',
      MODEL,
    ),
  ],
  late: [
    SAME_TOUCH,
    check(
      'blow',
      'Look along the hammer line: does this hammer stand lower than its neighbours?',
      'A long blow may start the tone late at every loudness.',
      'model',
      MODEL,
    ),
    check(
      'let-off',
      'Press the key very slowly and watch how near the hammer comes to the string before it lets off.',
      'Let-off that is too close may start the tone late.',
      'model',
      MODEL,
    ),
  ],
};

/** Symptoms of quick repeats: they say nothing of the dip. */
export const OF_REPEATS: readonly Symptom[] = [
  'silent-repeats',
  'silent-repeats-and-gentle',
  'weak-repeats',
  'every-second-repeat',
  'silent-until-let-up',
  'weak-until-let-up',
  'lone-miss',
  'fails-when-faster',
  'fails-though-let-up',
  'fading',
  'uneven',
];

/** Symptoms where the note may be stuck: to be left alone until looked at. */
export const MAY_JAM: readonly Symptom[] = [
  'jammed',
  'silent-until-let-up',
  'weak-until-let-up',
  'fails-though-let-up',
];
