/**
 * A note plan as a document for other programs, `evenfall.plan/1`, and as lines for a person.
 *
 * Its JSON Schema stands beside it in `plan.schema.json`. Fields may be added, never renamed.
 */

import type { MidiNote } from '../units.ts';
import { keyName } from './keys.ts';
import { minutes } from './notePlans.ts';
import { PASSAGES_OF, type AskedPassage, type NotePlan, type Pattern, type PlanKind } from './plan.ts';
import { sectionsOf, type Compass } from './sections.ts';

export const PLAN_SCHEMA = 'evenfall.plan/1';

export interface PlanDocument {
  readonly schema: typeof PLAN_SCHEMA;
  readonly kind: PlanKind;
  readonly compass: Compass;
  readonly sections: readonly (Compass & { readonly name: string })[];
  /** The breaks were not given: the usual ones stand for them. */
  readonly usualBreaks: boolean;
  /** Of play, rests of the hand not counted. */
  readonly minutes: number;
  /** In the order of play. */
  readonly steps: readonly { readonly midi: MidiNote; readonly name: string; readonly asked: Pattern }[];
}

/** The piano that a plan is made for. */
export interface PlannedPiano {
  readonly compass: Compass;
  /** First key of each section after the lowest. */
  readonly breaks: readonly MidiNote[];
  readonly usualBreaks: boolean;
}

/** @throws RangeError as `sectionsOf`. */
export function planDocument(plan: NotePlan, { compass, breaks, usualBreaks }: PlannedPiano): PlanDocument {
  return {
    schema: PLAN_SCHEMA,
    kind: plan.kind,
    compass,
    sections: sectionsOf(breaks, compass),
    usualBreaks,
    minutes: minutes(plan),
    steps: plan.steps.map(({ midi, asked }) => ({ midi, name: keyName(midi), asked })),
  };
}

const TITLES: Readonly<Record<PlanKind, string>> = {
  free: 'Any note',
  'one-note': 'One note among its neighbours',
  'hand-picked': 'Picked notes',
  section: 'One section',
  compass: 'Whole compass',
  sampled: 'Sampled notes: B and E of each octave, both ends of each section',
  'open-worklist': 'Open notes, heard fresh before the work',
  'after-adjustment': 'After adjustment: turned notes, their neighbours, ten untouched',
};

const RETURNS = {
  'right-up': 'the key let right up',
  'half-way': 'the key let up a little less than half-way',
  'just-over-half': 'the key let up a little more than half-way',
} as const;

/** The plan in lines: what, how many notes and minutes, how each is played, the notes section by section. */
export function planLines({ kind, sections, usualBreaks, minutes: long, steps }: PlanDocument): string[] {
  const about = Math.max(1, Math.round(long));
  const notes = new Set(steps.map(({ midi }) => midi)).size;
  const patterns = [...new Set(steps.map(({ asked }) => asked))];
  const width = Math.max(...sections.map(({ name }) => name.length));
  return [
    `${TITLES[kind]}.`,
    ...(kind === 'after-adjustment' ? ['First seat each turned note with a few firm blows (common practice).'] : []),
    `${notes} ${notes === 1 ? 'note' : 'notes'}, about ${about} ${about === 1 ? 'minute' : 'minutes'} of play.`,
    ...patterns.map((asked) => `${patterns.length > 1 ? `${asked}: ` : 'Each: '}${patternWords(asked)}.`),
    '',
    ...sections.flatMap(({ name, lowest, highest }) => {
      const own = steps.filter(({ midi }) => midi >= lowest && midi <= highest).map((step) => step.name);
      return own.length > 0 ? [`${name.padEnd(width)}  ${own.join(' ')}`] : [];
    }),
    ...(usualBreaks
      ? ['', `Sections broken at the usual keys (${breakNames(sections)}); --breaks names this piano\u2019s.`]
      : []),
  ];
}

/** How a pattern is played: "8 slow strokes, one a second, the key let right up; then ...". */
export function patternWords(asked: Pattern): string {
  return PASSAGES_OF[asked].map(passageWords).join('; then ');
}

function passageWords({ kind, wanted, return: letUp, rate }: AskedPassage): string {
  const back = letUp === null ? '' : `, ${RETURNS[letUp]}`;
  switch (kind) {
    case 'slow':
      return `${wanted} slow strokes, one a second${back}`;
    case 'fast':
      return `${wanted} fast strokes, ${rate} a second${back}`;
    case 'firm-slow-slow':
      return `${wanted / 3} times one firm stroke and two slow ones${back}`;
    case 'gentle':
      return `${wanted} strokes as soft as will still speak${back}`;
    case 'bar':
      return `${wanted} slow presses under the bar${back}`;
  }
}

function breakNames(sections: readonly Compass[]): string {
  return sections
    .slice(1)
    .map(({ lowest }) => keyName(lowest))
    .join(', ');
}
