/**
 * What is to be in order before the first round: where it is not, every note looks worse than its own settings make it.
 */

import { NO_TOOL, type Place, type Sourced } from './grades.ts';
import type { Part } from './regulation.ts';

export const READINESS_ITEMS = ['screws', 'keys-easy', 'keys-level', 'key-frame', 'hammers'] as const;
export type ReadinessItem = (typeof READINESS_ITEMS)[number];

/** One line of the readiness list. */
export interface Readiness extends Sourced {
  /** The state wanted, as it is ticked. */
  readonly title: string;
  /** How to look, a sentence. */
  readonly look: string;
  /** Why it comes before listening. */
  readonly why: string;
  readonly part: Part;
  readonly where: Place;
  readonly tool: string;
}

const ORDERS = 'working orders of professionalpianotunerlondon, caradine.co.uk and markarothpiano.com, merged';

export const READINESS: Readonly<Record<ReadinessItem, Readiness>> = {
  screws: {
    title: 'Screws tight',
    look: 'Go over the screws of flanges, rails and action stack; each just tight, none forced.',
    why: 'A loose flange lets a hammer wander, and all that is set on a loose rail moves with it.',
    grade: 'published trade text',
    source: ORDERS,
    part: 'screws',
    where: 'on the bench',
    tool: 'screwdriver of the right width',
  },
  'keys-easy': {
    title: 'Keys easy',
    look: 'Lift each key a little and let it drop: it falls by its own weight, without rubbing or rattling.',
    why: 'A key that drags comes back to another height each time, and takes what little a soft stroke has.',
    grade: 'published trade text',
    source: ORDERS,
    part: 'key',
    where: 'in the piano',
    tool: NO_TOOL,
  },
  'keys-level': {
    title: 'Keys level',
    look: 'Sight along the naturals, then the sharps, and lay a straight edge across.',
    why: 'The height of the key sets where its hammer waits and how deep it can go.',
    grade: 'published trade text',
    source: ORDERS,
    part: 'key',
    where: 'in the piano',
    tool: 'straight edge',
  },
  'key-frame': {
    title: 'Key frame bedded',
    look: 'Tap along the front rail and over the glide bolts and listen for a knock; try again with the soft pedal down.',
    why: 'A key frame that knocks feels soft and moves under firm strokes, a whole stretch of keys at once.',
    grade: 'published trade text',
    source: 'azpianoservice.com; the working orders of three texts have it before levelling',
    part: 'bedding',
    where: 'in the piano',
    tool: 'wrench for the glide bolts',
  },
  hammers: {
    title: 'Hammers spaced and square',
    look: 'Look along the hammers at rest and raised: each meets its own strings, upright, without touching its neighbours.',
    why: 'A hammer that rubs or meets its strings askew gives another loudness and another time for the same stroke.',
    grade: 'published trade text',
    source: ORDERS,
    part: 'screws',
    where: 'half out',
    tool: 'screwdriver and heat for the shanks',
  },
};

/** Said where the list is left open: nobody is kept from listening. */
export const READINESS_OPEN =
  'You can listen all the same: what is not in order yet may show on many notes at once, and is to be seen to before single notes.';
