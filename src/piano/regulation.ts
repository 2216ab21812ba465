/**
 * What is set on a grand action: its parts in working order, what has to be right before each, what each disturbs when it is
 * turned, where and with what it is done, and published values.
 *
 * Text for people. The maker's specification always comes first: the values only say what is usual. Grades: `published trade
 * text` is read in the text named; `model` is a model study of one grand action, never compared with a piano out of order;
 * `common practice` has no source. Places and tools are common practice without a source throughout: makers differ.
 * Sources of the trade: makers' sheets as quoted by Brekne (pianotech list, October 2002);
 * a pianotech list attachment on let-off; mmdigest.com 2002-08-23; azpianoservice.com; a maker's service manual, p. 7
 * (manualshive 767322); professionalpianotunerlondon, part 6; londonpianotuning, parts X and XV; pianotuningmatters
 * (2023-09, parts 17, XXII, XXIII); howardpianoindustries.com (2023-04-18); uremusic.org.
 */

import { NO_SOURCE, NO_TOOL, type Place, type Sourced } from './grades.ts';

/** What is looked at; the hand and the climate are no part of the action, but often the cause. Closed list. */
export const PARTS = [
  'hand',
  'climate',
  'bedding',
  'rail',
  'screws',
  'cushion',
  'key',
  'damper',
  'centre',
  'jack',
  'lever',
  'spring',
  'blow',
  'let-off',
  'drop',
  'dip',
  'aftertouch',
  'check',
] as const;
export type Part = (typeof PARTS)[number];

/** A published value, millimetres; `low` equals `high` where only one is printed. */
export interface Published {
  readonly what: string;
  readonly low: number;
  readonly high: number;
  readonly source: string;
}

export interface PartOfAction extends Sourced {
  /** As it stands before a colon. */
  readonly title: string;
  /** Within a list: "spring and drop". */
  readonly short: string;
  /** What has to be right before this is set. */
  readonly after: readonly Part[];
  /** What is to be looked at again once this was turned. */
  readonly disturbs: readonly Part[];
  readonly published: Published | null;
  /** Where it is set. */
  readonly where: Place;
  /** With what. */
  readonly tool: string;
}

const ORDER_SOURCE = 'working orders of professionalpianotunerlondon, caradine.co.uk and markarothpiano.com, merged';

export const ACTION: Readonly<Record<Part, PartOfAction>> = {
  hand: {
    title: 'The hand',
    short: 'hand',
    after: [],
    disturbs: [],
    grade: 'model',
    source: 'model study of fast repeats: the hand\u2019s return depth matters as much as most faults',
    published: null,
    where: 'in the piano',
    tool: NO_TOOL,
  },
  climate: {
    title: 'The room',
    short: 'room',
    after: [],
    disturbs: ['key', 'centre', 'dip'],
    grade: 'common practice',
    source: NO_SOURCE,
    published: null,
    where: 'in the piano',
    tool: 'hygrometer',
  },
  bedding: {
    title: 'Key frame',
    short: 'key frame',
    after: ['climate'],
    disturbs: ['key', 'dip', 'blow'],
    grade: 'published trade text',
    source: ORDER_SOURCE,
    published: null,
    where: 'in the piano',
    tool: 'wrench for the glide bolts',
  },
  rail: {
    title: 'Rails',
    short: 'rails',
    after: ['screws'],
    disturbs: ['blow', 'let-off', 'drop'],
    grade: 'common practice',
    source: NO_SOURCE,
    published: null,
    where: 'half out',
    tool: 'screwdriver and a straight edge',
  },
  screws: {
    title: 'Screws',
    short: 'screws',
    after: [],
    disturbs: ['blow', 'let-off', 'drop'],
    grade: 'published trade text',
    source: ORDER_SOURCE,
    published: null,
    where: 'on the bench',
    tool: 'screwdriver of the right width',
  },
  cushion: {
    title: 'Hammer rest',
    short: 'hammer rest',
    after: ['screws', 'blow'],
    disturbs: ['spring'],
    grade: 'published trade text',
    source: 'a maker\u2019s service manual, p. 7: shanks about a shank\u2019s thickness above their rest',
    published: null,
    where: 'half out',
    tool: 'screwdriver',
  },
  key: {
    title: 'Key',
    short: 'key',
    after: ['bedding'],
    disturbs: ['dip', 'check', 'damper'],
    grade: 'published trade text',
    source: ORDER_SOURCE,
    published: null,
    where: 'on the bench',
    tool: 'key-easing pliers and key-height gauge',
  },
  damper: {
    title: 'Damper and its lever',
    short: 'damper start',
    after: ['key'],
    disturbs: ['key'],
    grade: 'published trade text',
    source: 'brainscape, flash cards: the damper starts about half-way; the key\u2019s end is common practice',
    published: null,
    where: 'half out',
    tool: 'damper screwdriver',
  },
  centre: {
    title: 'Hammer and wippen centres',
    short: 'centres',
    after: ['key'],
    disturbs: ['spring', 'drop'],
    grade: 'common practice',
    source: NO_SOURCE,
    published: null,
    where: 'on the bench',
    tool: 'centre-pin extractor, reamer and gauge',
  },
  jack: {
    title: 'Jack under the knuckle',
    short: 'jack',
    after: ['key', 'centre'],
    disturbs: ['lever', 'let-off'],
    grade: 'published trade text',
    source:
      'professionalpianotunerlondon, part 6: rear face of the jack in line with the rear of the knuckle\u2019s core',
    published: null,
    where: 'half out',
    tool: 'jack regulating tool',
  },
  lever: {
    title: 'Repetition lever',
    short: 'lever',
    after: ['jack'],
    disturbs: ['blow', 'spring', 'drop'],
    grade: 'published trade text',
    source: 'londonpianotuning, part X: a hair of air under the knuckle',
    published: {
      what: 'jack top below the lever\u2019s window',
      low: 0.2,
      high: 0.2,
      source: 'londonpianotuning, part X: a paper\u2019s thickness',
    },
    where: 'half out',
    tool: 'lever regulating tool',
  },
  spring: {
    title: 'Repetition spring',
    short: 'spring',
    after: ['jack', 'lever', 'check'],
    disturbs: ['drop'],
    grade: 'published trade text',
    source: 'pianotuningmatters, part XXIII: back checks are set before springs',
    published: null,
    where: 'half out',
    tool: 'spring hook, or a small screwdriver where it has a screw',
  },
  blow: {
    title: 'Hammer line',
    short: 'hammer line',
    after: ['lever'],
    disturbs: ['let-off', 'drop', 'dip', 'check', 'damper'],
    grade: 'published trade text',
    source:
      'pianotuningmatters, 2023-09: turning the capstan calls for new let-off and drop; the rest is common practice',
    published: {
      what: 'hammer to string at rest',
      low: 44,
      high: 48,
      source: 'makers\u2019 sheets quoted by Brekne, pianotech list, October 2002',
    },
    where: 'half out',
    tool: 'capstan wrench and a gauge for the blow',
  },
  'let-off': {
    title: 'Let-off',
    short: 'let-off',
    after: ['blow'],
    disturbs: ['drop', 'aftertouch'],
    grade: 'published trade text',
    source: 'pianotuningmatters, part 17',
    published: {
      what: 'hammer to string where it lets off, more in the bass',
      low: 1.5,
      high: 2.5,
      source: 'pianotech list, attachment on let-off',
    },
    where: 'in the piano',
    tool: 'let-off tool and a gauge',
  },
  drop: {
    title: 'Drop',
    short: 'drop',
    after: ['let-off', 'spring'],
    disturbs: ['aftertouch'],
    grade: 'published trade text',
    source: 'pianotuningmatters, part 17: let-off first, and springs strong enough to hold the hammer',
    published: {
      what: 'hammer falls below let-off',
      low: 1.6,
      high: 1.6,
      source: 'a maker\u2019s service manual, p. 7: 1/16 inch',
    },
    where: 'in the piano',
    tool: 'drop screwdriver',
  },
  dip: {
    title: 'Dip and aftertouch',
    short: 'dip',
    after: ['let-off', 'drop'],
    disturbs: ['aftertouch', 'check', 'damper'],
    grade: 'published trade text',
    source: 'pianotuningmatters, 2023-09 and part XXII',
    published: {
      what: 'key dip',
      low: 9.5,
      high: 11,
      source: 'makers\u2019 sheets quoted by Brekne, pianotech list, October 2002',
    },
    where: 'on the bench',
    tool: 'dip block and front punchings',
  },
  aftertouch: {
    title: 'Aftertouch',
    short: 'aftertouch',
    after: ['let-off', 'drop', 'dip'],
    disturbs: ['check'],
    grade: 'published trade text',
    source: 'mmdigest.com, 2002-08-23: with too little, soft play and checking are unsure',
    published: null,
    where: 'on the bench',
    tool: 'front punchings',
  },
  check: {
    title: 'Back check',
    short: 'check',
    after: ['dip'],
    disturbs: ['spring'],
    grade: 'published trade text',
    source: 'pianotuningmatters, parts XXII and XXIII: set before springs, affected by key height and dip',
    published: null,
    where: 'half out',
    tool: 'back-check bender',
  },
};

/** The working order most texts agree on; some set the dip first, then the blow (two schools: pianotuningmatters, 2023-09). */
export const WORKING_ORDER: readonly Part[] = [
  'climate',
  'screws',
  'bedding',
  'rail',
  'key',
  'centre',
  'jack',
  'lever',
  'blow',
  'cushion',
  'let-off',
  'drop',
  'dip',
  'aftertouch',
  'check',
  'spring',
  'damper',
];

/** A circle in what is set before what, and how the work gets out of it. */
export interface WayOut extends Sourced {
  /** The two parts between which the circle is opened: the first is set once before the second, and again after it. */
  readonly between: readonly [Part, Part];
  readonly way: string;
}

/** Every circle in {@link PartOfAction.after} goes through one of these. */
export const WAYS_OUT: readonly WayOut[] = [
  {
    between: ['spring', 'drop'],
    way: 'The springs are set roughly before the drop, and finely once the checks are set.',
    grade: 'published trade text',
    source: 'pianotuningmatters, part 17 (springs strong enough for the drop) and part XXIII (checks before springs)',
  },
  {
    between: ['blow', 'dip'],
    way: 'Blow first or dip first: both are allowed, and the other follows from the one that was chosen.',
    grade: 'published trade text',
    source: 'pianotuningmatters, 2023-09: two schools',
  },
];

/** What has to be right before a part is set and what to look at again after, in one sentence; null where nothing is. */
export function companyOf(part: Part): string | null {
  const { title, after, disturbs } = ACTION[part];
  const name = inSentence(title);
  const again = disturbs.length > 0 ? `look again at: ${listed(disturbs)}.` : null;
  if (after.length === 0) return again && `After work on the ${name}, ${again}`;
  return `Set first: ${listed(after)}; then: ${name}.${again === null ? '' : ` After that, ${again}`}`;
}

/** Published values of a part as a sentence that puts the maker first; null where none is published. */
export function usualValue(part: Part): string | null {
  const { published } = ACTION[part];
  if (published === null) return null;
  const { what, low, high } = published;
  const range = low === high ? `about ${low} mm` : `${low} to ${high} mm`;
  return `Maker\u2019s specification first; published texts have ${range} (${what}).`;
}

function listed(parts: readonly Part[]): string {
  return parts.map((part) => ACTION[part].short).join(', ');
}

function inSentence(title: string): string {
  return title.charAt(0).toLowerCase() + title.slice(1);
}
