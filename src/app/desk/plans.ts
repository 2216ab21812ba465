/** What can be chosen before a round, and the plan that comes of it. */

import { keyName } from '../../piano/keys.ts';
import { compass, FREE_PLAN, handPicked, minutes, oneNote, sampled, section } from '../../piano/notePlans.ts';
import { PLAN_KINDS, type NotePlan } from '../../piano/plan.ts';
import { sectionsOf } from '../../piano/sections.ts';
import { bytesOfSound } from '../../record/soundSize.ts';
import type { Piano } from '../../record/types.ts';
import type { PlanOffer, StartChoices, StartOffers } from '../home/view.ts';
import type { Notice } from '../listen/view.ts';
import { breaksOf, breaksWithin } from '../sitting/breaks.ts';
import { counted } from '../words.ts';
import type { MidiNote } from '../../units.ts';
import { NO_FACTS, readVisit, visitDraft } from '../visit/visitForm.ts';
import { visitToday } from './beginRound.ts';
import type { Shelves } from './shelves.ts';

/** Sound of a plan is reckoned at this rate; devices differ little. */
const USUAL_RATE = 48000;
const FREE_MINUTES = 20;
const MIDDLE_KEY: MidiNote = 60;

export const NO_CHOICES: StartChoices = {
  pianoId: null,
  pianoName: '',
  place: '',
  player: '',
  microphonePlace: '',
  visit: null,
  keepAudio: 'all',
  referenceId: null,
  plan: 'free',
  oneNote: null,
  picked: [],
  sectionId: null,
};

/** The plan as chosen; null where something to choose is lacking. */
export function planOf(choices: StartChoices, piano: Piano | null): NotePlan | null {
  const keys = piano ? { lowest: piano.lowest, highest: piano.highest } : undefined;
  const breaks = piano ? breaksWithin(piano) : breaksOf(null);
  switch (choices.plan) {
    // The last two are made from the worklist, not chosen here.
    case 'free':
    case 'open-worklist':
    case 'after-adjustment':
      return FREE_PLAN;
    case 'one-note':
      return choices.oneNote === null ? null : oneNote(choices.oneNote, keys);
    case 'hand-picked':
      return choices.picked.length === 0 ? null : handPicked(choices.picked, keys);
    case 'section':
      return choices.sectionId === null ? null : section(breaks, Number(choices.sectionId), keys);
    case 'compass':
      return compass(keys?.lowest, keys?.highest);
    case 'sampled':
      return sampled(breaks, keys);
  }
}

/** Plans that are chosen; the others are made from the worklist. */
const OFFERED = PLAN_KINDS.filter((kind) => kind !== 'open-worklist' && kind !== 'after-adjustment');

/** What the start screen offers, for the choices as they stand. */
export function offersOf(
  choices: StartChoices,
  { pianos, references, visits, bytesLeft }: Shelves,
  notices: readonly Notice[],
  now: string,
): StartOffers {
  const piano = pianos.find(({ id }) => id === choices.pianoId) ?? null;
  const plans = OFFERED.map((kind): PlanOffer => {
    const plan = planOf({ ...choices, oneNote: choices.oneNote ?? anyNote(piano), plan: kind }, piano);
    const known = plan !== null && plan.steps.length > 0;
    return {
      kind,
      notes: known ? plan.steps.length : null,
      minutes: known ? Math.max(1, Math.round(minutes(plan))) : null,
    };
  });
  const today = piano ? visitToday(visits, piano.id, now) : undefined;
  const begun = today?.visit ?? NO_FACTS;
  const draft = choices.visit ?? visitDraft(begun);
  const chosen = plans.find(({ kind }) => kind === choices.plan);
  const all = bytesOfSound(60 * (chosen?.minutes ?? FREE_MINUTES), USUAL_RATE);
  return {
    pianos: pianos.map(({ id, name, place }) => ({ id, name, place })),
    references: references.map(({ id, name, learnedAt }) => ({ id, name, learned: dayOf(new Date(learnedAt)) })),
    sections: sectionsOffered(choices, piano),
    plans,
    keeping: {
      all: `about ${bytesInWords(all)}`,
      flagged: 'a small part of that',
      none: `about ${bytesInWords(all)} until then`,
    },
    roomLeft: bytesLeft === null ? null : bytesInWords(bytesLeft),
    visit: { draft, read: readVisit(draft, begun), goesOn: today !== undefined },
    notices,
  };
}

/** One note in question takes as long wherever it stands. */
function anyNote(piano: Piano | null): MidiNote {
  return piano ? Math.round((piano.lowest + piano.highest) / 2) : MIDDLE_KEY;
}

/** "Tenor, B2 to A#4, about 5 minutes". */
function sectionsOffered(choices: StartChoices, piano: Piano | null): StartOffers['sections'] {
  const sections = piano ? sectionsOf(breaksWithin(piano), piano) : sectionsOf(breaksOf(null));
  return sections.map(({ name, lowest, highest }, i) => {
    const plan = planOf({ ...choices, plan: 'section', sectionId: String(i) }, piano)!;
    const about = counted(Math.max(1, Math.round(minutes(plan))), 'minute');
    return { id: String(i), name: `${name}, ${keyName(lowest)} to ${keyName(highest)}, about ${about}` };
  });
}

/** "180 MB", "11 GB". */
export function bytesInWords(bytes: number): string {
  const megabytes = bytes / 1e6;
  return megabytes < 1000 ? `${Math.max(1, Math.round(megabytes))} MB` : `${Math.round(megabytes / 1000)} GB`;
}

/** "3 November 2026", in the words of this device's calendar. */
export function dayOf(date: Date): string {
  return date.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
}
