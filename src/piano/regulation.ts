/**
 * What is set on a grand action: its parts in working order, what has to be right before each, what each disturbs when it is
 * turned, published values, and what to mind.
 *
 * Text for people. The maker's specification always comes first: the values only say what is usual. Grades: `published trade
 * text` is read in the text named; `model` is a model study of one grand action, never compared with a piano out of order;
 * `common practice` has no source. Sources of the trade: makers' sheets as quoted by Brekne (pianotech list, October 2002);
 * a pianotech list attachment on let-off; mmdigest.com 2002-08-23; azpianoservice.com; a maker's service manual, p. 7
 * (manualshive 767322); professionalpianotunerlondon, part 6; londonpianotuning, parts X and XV; pianotuningmatters
 * (2023-09, parts 17, XXII, XXIII); howardpianoindustries.com (2023-04-18); uremusic.org.
 */

/** How far a statement can be trusted. Closed list. */
export const GRADES = ['published trade text', 'model', 'common practice'] as const;
export type Grade = (typeof GRADES)[number];

/** What is looked at; the hand is no part of the action, but often the cause. Closed list. */
export const PARTS = [
  'hand',
  'screws',
  'key',
  'centre',
  'jack',
  'lever',
  'spring',
  'blow',
  'let-off',
  'drop',
  'dip',
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

export interface PartOfAction {
  /** As it stands before a colon. */
  readonly title: string;
  /** What has to be right before this is set. */
  readonly after: readonly Part[];
  /** What is to be looked at again once this was turned. */
  readonly disturbs: readonly Part[];
  readonly grade: Grade;
  readonly source: string;
  readonly published: Published | null;
  /** The action has to slide out for it. */
  readonly slidesOut: boolean;
}

const ORDER_SOURCE = 'working orders of professionalpianotunerlondon, caradine.co.uk and markarothpiano.com, merged';
const PRACTICE = 'no source';

export const ACTION: Readonly<Record<Part, PartOfAction>> = {
  hand: {
    title: 'The hand',
    after: [],
    disturbs: [],
    grade: 'model',
    source: 'model study of fast repeats: the hand\u2019s return depth matters as much as most faults',
    published: null,
    slidesOut: false,
  },
  screws: {
    title: 'Screws',
    after: [],
    disturbs: ['blow', 'let-off', 'drop'],
    grade: 'published trade text',
    source: ORDER_SOURCE,
    published: null,
    slidesOut: true,
  },
  key: {
    title: 'Key',
    after: [],
    disturbs: ['dip', 'check'],
    grade: 'published trade text',
    source: ORDER_SOURCE,
    published: null,
    slidesOut: true,
  },
  centre: {
    title: 'Hammer and wippen centres',
    after: ['key'],
    disturbs: ['spring', 'drop'],
    grade: 'common practice',
    source: PRACTICE,
    published: null,
    slidesOut: true,
  },
  jack: {
    title: 'Jack under the knuckle',
    after: ['key', 'centre'],
    disturbs: ['lever', 'let-off'],
    grade: 'published trade text',
    source:
      'professionalpianotunerlondon, part 6: rear face of the jack in line with the rear of the knuckle\u2019s core',
    published: null,
    slidesOut: true,
  },
  lever: {
    title: 'Repetition lever',
    after: ['jack'],
    disturbs: ['spring', 'drop', 'blow'],
    grade: 'published trade text',
    source: 'londonpianotuning, part X: a hair of air under the knuckle',
    published: {
      what: 'jack top below the lever\u2019s window',
      low: 0.2,
      high: 0.2,
      source: 'londonpianotuning, part X: a paper\u2019s thickness',
    },
    slidesOut: true,
  },
  spring: {
    title: 'Repetition spring',
    after: ['jack', 'lever', 'check'],
    disturbs: ['drop'],
    grade: 'published trade text',
    source: 'pianotuningmatters, part XXIII: back checks are set before springs',
    published: null,
    slidesOut: true,
  },
  blow: {
    title: 'Hammer line',
    after: ['lever'],
    disturbs: ['let-off', 'drop'],
    grade: 'published trade text',
    source: 'pianotuningmatters, 2023-09: turning the capstan calls for new let-off and drop',
    published: {
      what: 'hammer to string at rest',
      low: 44,
      high: 48,
      source: 'makers\u2019 sheets quoted by Brekne, pianotech list, October 2002',
    },
    slidesOut: true,
  },
  'let-off': {
    title: 'Let-off',
    after: ['blow'],
    disturbs: ['drop', 'dip'],
    grade: 'published trade text',
    source: 'pianotuningmatters, part 17',
    published: {
      what: 'hammer to string where it lets off, more in the bass',
      low: 1.5,
      high: 2.5,
      source: 'pianotech list, attachment on let-off',
    },
    slidesOut: false,
  },
  drop: {
    title: 'Drop',
    after: ['let-off', 'spring'],
    disturbs: ['dip'],
    grade: 'published trade text',
    source: 'pianotuningmatters, part 17: let-off first, and springs strong enough to hold the hammer',
    published: {
      what: 'hammer falls below let-off',
      low: 1.6,
      high: 1.6,
      source: 'a maker\u2019s service manual, p. 7: 1/16 inch',
    },
    slidesOut: false,
  },
  dip: {
    title: 'Dip and aftertouch',
    after: ['let-off', 'drop'],
    disturbs: ['check'],
    grade: 'published trade text',
    source: 'pianotuningmatters, 2023-09 and part XXII',
    published: {
      what: 'key dip',
      low: 9.5,
      high: 11,
      source: 'makers\u2019 sheets quoted by Brekne, pianotech list, October 2002',
    },
    slidesOut: true,
  },
  check: {
    title: 'Back check',
    after: ['dip'],
    disturbs: ['spring'],
    grade: 'published trade text',
    source: 'pianotuningmatters, parts XXII and XXIII: set before springs, affected by key height and dip',
    published: null,
    slidesOut: true,
  },
};

/** The working order most texts agree on; some set the dip first, then the blow (two schools: pianotuningmatters, 2023-09). */
export const WORKING_ORDER: readonly Part[] = [
  'screws',
  'key',
  'centre',
  'jack',
  'lever',
  'blow',
  'let-off',
  'drop',
  'dip',
  'check',
  'spring',
];

/** A warning, with what it rests on. */
export interface Caution {
  readonly text: string;
  readonly grade: Grade;
  readonly source: string;
}

export const CAUTIONS = {
  specification: {
    text: 'The maker\u2019s specification comes first; where you are not sure, leave it to a qualified technician.',
    grade: 'common practice',
    source: PRACTICE,
  },
  stop: {
    text: 'If the note jams or clicks, stop playing it until it has been looked at.',
    grade: 'common practice',
    source: PRACTICE,
  },
  slide: {
    text: 'Never press a key while the action slides out or in: a raised hammer catches and breaks. Pull straight, by the key frame.',
    grade: 'published trade text',
    source: 'howardpianoindustries.com, 2023-04-18',
  },
  heavy: {
    text: 'The action is heavy: two people, and a clear, padded surface to set it on.',
    grade: 'published trade text',
    source: 'uremusic.org (one person at each end); the surface is common practice',
  },
  strings: {
    text: 'The strings are under tension: do not touch them or their pins.',
    grade: 'common practice',
    source: 'no source; strings warned of in uremusic.org',
  },
  onceOnly: {
    text: 'Turn a little, one thing at a time, and play the note again before the next.',
    grade: 'common practice',
    source: PRACTICE,
  },
} as const satisfies Readonly<Record<string, Caution>>;

/** What to mind when these parts are looked at or turned: never empty. With `jams`, to stop comes first. */
export function cautionsFor(parts: readonly Part[], jams: boolean): Caution[] {
  const worked = parts.filter((part) => part !== 'hand');
  const cautions: Caution[] = jams ? [CAUTIONS.stop] : [];
  cautions.push(CAUTIONS.specification);
  if (worked.length === 0) return cautions;
  if (worked.some((part) => ACTION[part].slidesOut)) cautions.push(CAUTIONS.slide, CAUTIONS.heavy);
  cautions.push(CAUTIONS.strings, CAUTIONS.onceOnly);
  return cautions;
}

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
  return parts.map((part) => inSentence(ACTION[part].title)).join(', ');
}

function inSentence(title: string): string {
  return title.charAt(0).toLowerCase() + title.slice(1);
}
