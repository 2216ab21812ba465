/** Looks at keys, dampers and centres: what rubs, sticks or hangs. */

import { HALF, IN, IN_LIT, MODEL, check } from './check.ts';

/** By what they look at. */
export const FRICTION = {
  keyReturns: check(
    'key',
    'Watch whether the key comes back to the same height as its neighbours after each stroke.',
    'A tight hole or bushing may stop the key short, so that the hammer waits at another height.',
    null,
    IN,
  ),
  keyFree: check(
    'key',
    'Lift the key and let it drop: it should fall freely, without rubbing its neighbours or sticking on its pins.',
    'A stiff key may take what little a soft stroke has.',
    ['model', MODEL],
    IN,
  ),
  keySluggish: check(
    'key',
    'Press the key down and let it go at once: it should come up as fast as its neighbours.',
    'A sluggish key may not be back in time for a quick repeat.',
    null,
    IN,
  ),
  keyBushings: check(
    'key',
    'Feel the key for drag and for sideways play at its pins.',
    'Tight or loose bushings may make the return uneven.',
    null,
    IN,
  ),
  keyHeight: check(
    'key',
    'Sight along the keys: does this one stand higher or lower at rest than its neighbours?',
    'A key that stands higher or lower may set off its hammer sooner or later.',
    null,
    ['in the piano', 'straight edge'],
  ),
  damperOnKey: check(
    'damper',
    'Lift the damper a little by hand: does the key settle to another height when its lever no longer bears on it?',
    'A damper lever that bears on the key\u2019s end may keep the key from settling at one height.',
    null,
    IN,
  ),
  swing: check(
    'centre',
    'Lift the hammer and let it fall, and swing its shank: it should move freely and come right down.',
    'A sluggish centre may keep a softly played hammer from the string, or leave it hanging.',
    ['model', MODEL],
    HALF,
  ),
  hangs: check(
    'centre',
    'Look whether the hammer hangs above its neighbours after some strokes and falls when it is touched.',
    'So wide a spread may be a hammer that does not always fall back.',
    ['model', MODEL],
    IN_LIT,
  ),
  wippen: check(
    'centre',
    'Lift the wippen, then the lever alone, and let each fall: both should come down freely.',
    'A tight wippen or lever centre may leave the hammer at another height.',
    null,
    HALF,
  ),
} as const;
