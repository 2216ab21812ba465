/**
 * What to look at for a note's symptoms, and in which order: the hand, then what the sound says, then what is easiest to see.
 */

import type { Check } from './checks/check.ts';
import { FRAME } from './checks/frame.ts';
import { EVIDENCE, MARKS, OWN_MARKS, type Evidence, type Mark } from './evidence.ts';
import type { Sourced } from './grades.ts';
import { ACTION, usualValue, type Part } from './regulation.ts';
import { CHECKS, easiestFirst, type Symptom } from './symptoms.ts';

/** Why a look stands where it stands, where the sound has moved it. */
export interface Reason extends Sourced {
  readonly text: string;
}

/** One look, with the reason for its place; null where it is only as easy to see. */
export interface Look {
  readonly check: Check;
  readonly reason: Reason | null;
}

/** What decided the order. Closed list. */
export const ORDERED_BY = ['evidence', 'easiest-to-see'] as const;
export type OrderedBy = (typeof ORDERED_BY)[number];

/** As it stands beside "Look at first". */
export const ORDER_WORDS: Readonly<Record<OrderedBy, string>> = {
  evidence: 'what was heard first, then easiest to see',
  'easiest-to-see': 'easiest to see first',
};

export interface Looks {
  /** Each look once; the hand first. Empty without symptoms. */
  readonly looks: readonly Look[];
  readonly orderedBy: OrderedBy;
}

/**
 * What to look at for these symptoms. What each symptom says of itself moves its looks, and so do the marks given; several
 * symptoms take turns, so that the first look of each stands early. A jammed note is looked at for that alone: it is not
 * played on.
 *
 * @param marks - what else was heard, in any order; a mark that bears on none of the symptoms changes nothing
 */
export function looksFor(symptoms: readonly Symptom[], marks: readonly Mark[] = []): Looks {
  const shown: readonly Symptom[] = symptoms.includes('jammed') ? ['jammed'] : symptoms;
  const lists = shown.map((symptom) => looksOf(symptom, marks));
  const longest = Math.max(0, ...lists.map(({ length }) => length));
  const inTurn = Array.from({ length: longest }, (_, i) => lists.flatMap((list) => list.slice(i, i + 1))).flat();
  const once = inTurn.flatMap((look, i) => {
    const same = ({ check }: Look) => check.look === look.check.look;
    if (inTurn.findIndex(same) !== i) return [];
    return [look.reason === null ? (inTurn.find((other) => same(other) && other.reason !== null) ?? look) : look];
  });
  const ofHand = ({ check }: Look) => check.part === 'hand';
  const looks = [...once.filter(ofHand), ...once.filter((look) => !ofHand(look))];
  return { looks, orderedBy: looks.some(({ reason }) => reason !== null) ? 'evidence' : 'easiest-to-see' };
}

/** One symptom's looks: hand, what is moved up, the rest as easy to see, what is moved down. */
function looksOf(symptom: Symptom, given: readonly Mark[]): Look[] {
  const known = [...(OWN_MARKS[symptom] ?? []), ...given];
  const weighed = MARKS.filter((mark) => known.includes(mark) && EVIDENCE[mark].of.includes(symptom)).map(
    (mark) => EVIDENCE[mark],
  );
  const checks = easiestFirst([...CHECKS[symptom], ...weighed.flatMap(({ adds }) => adds[symptom] ?? [])]);
  const last = weighed.flatMap((evidence) => evidence.last);
  const first = [...new Set(weighed.flatMap((evidence) => evidence.first))].filter((part) => !last.includes(part));
  const rank = ({ part }: Check) => {
    if (part === 'hand') return -1;
    if (last.includes(part)) return first.length + 1;
    const place = first.indexOf(part);
    return place < 0 ? first.length : place;
  };
  return [...checks]
    .sort((a, b) => rank(a) - rank(b))
    .map((check) => ({ check, reason: last.includes(check.part) ? null : reasonFor(check.part, weighed) }));
}

function reasonFor(part: Part, weighed: readonly Evidence[]): Reason | null {
  const found = weighed.find(({ first }) => first.includes(part));
  return found ? { text: found.reason, grade: found.grade, source: found.source } : null;
}

/** What comes before single notes where many notes of one section are off: {@link troubledSections} tells where. */
export const SECTION_LOOKS: readonly Check[] = [FRAME.climate, FRAME.bedding, FRAME.rail];

/** A look as a sentence or a few: the part, what to do, why it may be this with its grade, what is usual, why it stands here. */
export function sayLook({ check, reason }: Look): string {
  const usual = usualValue(check.part);
  return [
    beginningOf(check),
    ...(usual === null ? [] : [usual]),
    ...(reason === null ? [] : [`${reason.text.slice(0, -1)} (${reason.grade}).`]),
  ].join(' ');
}

/** The look that {@link sayLook} has said so; null for any other sentence. */
export function lookSaid(sentence: string): Check | null {
  return EVERY_CHECK.find((check) => sentence.startsWith(beginningOf(check))) ?? null;
}

/** What decided the order of looks that {@link sayLook} has said: evidence, where one of them has a reason for its place. */
export function orderSaid(sentences: readonly string[]): OrderedBy {
  const moved = sentences.some((sentence) => {
    const check = lookSaid(sentence);
    return check !== null && sentence !== sayLook({ check, reason: null });
  });
  return moved ? 'evidence' : 'easiest-to-see';
}

function beginningOf({ part, look, why, grade }: Check): string {
  return `${ACTION[part].title}: ${look} ${why.slice(0, -1)} (${grade}).`;
}

/** All looks that there are. */
export const EVERY_CHECK: readonly Check[] = [
  ...new Set([
    ...Object.values(CHECKS).flat(),
    ...Object.values(EVIDENCE).flatMap(({ adds }) => Object.values(adds).flat()),
    ...SECTION_LOOKS,
  ]),
];
