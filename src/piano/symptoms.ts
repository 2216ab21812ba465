/**
 * What a note shows, and what to look at for it: the hand first, then what is easiest to see.
 *
 * None of these is a diagnosis: each is something to look at, with what it rests on. The model behind most of them (a model
 * study of one grand action) names the right one of eleven causes in about two cases of three at best. Fast repeats say
 * nothing of the dip, of a spring slightly too strong or of a centre slightly too tight, so no symptom of theirs lists them.
 */

import { CARRIED } from './checks/carried.ts';
import type { Check } from './checks/check.ts';
import { FRAME } from './checks/frame.ts';
import { FRICTION } from './checks/friction.ts';
import { HAND } from './checks/hand.ts';
import { CAUGHT, TRAVELLED } from './checks/travelled.ts';
import { PLACES } from './grades.ts';

export type { Check } from './checks/check.ts';

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

/** What may keep the jack from coming back under the knuckle. */
const MISSED: readonly Check[] = easiestFirst([
  HAND.fullReturn,
  CARRIED.springRise,
  FRICTION.keySluggish,
  FRAME.cushionLow,
  CARRIED.leverWink,
  CARRIED.jackPlace,
  CARRIED.jackFree,
]);

/** What may let the hammer touch the string a second time, checking aside. */
const TWICE: readonly Check[] = [
  TRAVELLED.letOffNear,
  CARRIED.springStrong,
  TRAVELLED.dropSmall,
  TRAVELLED.dipSmall,
  TRAVELLED.aftertouch,
  TRAVELLED.blowLongSoft,
  CARRIED.lostMotionTwice,
];

/**
 * What there is to look at for a symptom; never empty. In this order: the hand; then what is seen in the piano, half out
 * and on the bench, and at one place as they stand here (tested). What the sound says beyond that is in evidence.ts, and
 * what comes of both in looks.ts.
 */
export const CHECKS: Readonly<Record<Symptom, readonly Check[]>> = {
  'silent-repeats': MISSED,
  'silent-repeats-and-gentle': easiestFirst([...MISSED, FRICTION.swing, FRICTION.keyFree]),
  'weak-repeats': easiestFirst([
    HAND.fullReturn,
    CAUGHT.checking,
    FRICTION.keySluggish,
    FRAME.cushionLow,
    CARRIED.springRise,
    CARRIED.jackPlace,
    CARRIED.jackFree,
    CARRIED.leverLow,
  ]),
  'every-second-repeat': easiestFirst([HAND.oneFinger, ...MISSED, CAUGHT.checking]),
  'silent-until-let-up': easiestFirst([...MISSED, CAUGHT.wedge]),
  'weak-until-let-up': easiestFirst([
    HAND.fullReturn,
    CARRIED.springRise,
    CARRIED.jackPlace,
    CARRIED.jackFree,
    CARRIED.leverLow,
    CAUGHT.wedge,
  ]),
  'lone-miss': [HAND.fullReturn],
  'fails-when-faster': easiestFirst([
    HAND.fullReturn,
    CAUGHT.checking,
    CARRIED.springRise,
    FRICTION.keySluggish,
    CARRIED.jackFree,
    CAUGHT.wedge,
  ]),
  'fails-though-let-up': easiestFirst([
    HAND.oneFinger,
    CAUGHT.checking,
    CARRIED.springRise,
    FRICTION.keySluggish,
    CARRIED.jackFree,
    CAUGHT.wedge,
  ]),
  'double-when-soft': easiestFirst([HAND.keyDown, ...TWICE]),
  'double-when-firm': easiestFirst([HAND.keyDown, CAUGHT.checkingDouble, ...TWICE]),
  double: easiestFirst([HAND.softAndFirm, ...TWICE, CAUGHT.checkingDouble]),
  'wanders-widely': easiestFirst([
    HAND.wait,
    FRICTION.hangs,
    FRICTION.keyReturns,
    FRICTION.damperOnKey,
    FRAME.restsOnCushion,
    FRICTION.swing,
    FRAME.flange,
    FRICTION.wippen,
    CAUGHT.wedge,
  ]),
  wanders: easiestFirst([
    HAND.wait,
    FRICTION.keyReturns,
    FRICTION.damperOnKey,
    FRAME.restsOnCushion,
    FRICTION.swing,
    FRAME.flange,
    FRICTION.wippen,
    CARRIED.leverGap,
    CARRIED.springHolds,
  ]),
  'silent-when-gentle': easiestFirst([
    HAND.asSoftAsNeighbours,
    FRICTION.keyFree,
    TRAVELLED.letOffFar,
    TRAVELLED.dropMuch,
    TRAVELLED.blowLongSoft,
    TRAVELLED.aftertouch,
    FRICTION.swing,
  ]),
  'weak-when-hard': easiestFirst([HAND.asFirmAsNeighbours, CARRIED.jackPlace, CARRIED.jackFree, CARRIED.leverPower]),
  jammed: [CAUGHT.wedgedNow, TRAVELLED.letOffBlocks, FRAME.fallen],
  fading: easiestFirst([HAND.fullReturn, CARRIED.springRise, CAUGHT.checking]),
  uneven: easiestFirst([HAND.oneFinger, FRICTION.keyBushings, CAUGHT.checking]),
  early: easiestFirst([
    HAND.sameTouch,
    TRAVELLED.blowShort,
    FRICTION.keyHeight,
    TRAVELLED.dipTone,
    CARRIED.leverEarly,
    FRICTION.keyFree,
    FRICTION.swing,
  ]),
  late: easiestFirst([
    HAND.sameTouch,
    TRAVELLED.blowLong,
    FRICTION.keyHeight,
    TRAVELLED.dipTone,
    CARRIED.lostMotion,
    FRICTION.keyFree,
    FRICTION.swing,
  ]),
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

/** Symptoms that support what else is found, and say little alone. */
export const SUPPORTING: readonly Symptom[] = ['fading', 'uneven'];

/** The hand first, then by the place where one looks; else as they stood; each look once. */
export function easiestFirst(checks: readonly Check[]): Check[] {
  const rank = ({ part, where }: Check) => (part === 'hand' ? -1 : PLACES.indexOf(where));
  const once = checks.filter(({ look }, i) => checks.findIndex((other) => other.look === look) === i);
  return [...once].sort((a, b) => rank(a) - rank(b));
}
