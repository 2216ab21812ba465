/** Earlier visits to the piano beside this one, as the report tells them: a sentence for the owner, a part of the technician's sheet. */

import { comeAgain } from '../record/comeAgain.ts';
import { seasonsOf, type Seasons, type SeasonStory } from '../record/seasons.ts';
import { countsOf } from '../record/rounds.ts';
import { leadWords, RESERVE_WORDS, STORY_WORDS } from '../record/seasonWords.ts';
import { figure } from '../pictures/words.ts';
import type { Visit } from '../record/types.ts';
import type { NoteStanding } from './standing.ts';
import { visitAsMeasured } from './uprights.ts';
import type { ReportedVisit } from './visit.ts';
import { capital, dayWords, noteList, numberWord } from './words.ts';

/** The technician's part. */
export interface SeasonsTold {
  readonly lead: string;
  /** Day with climate, and the counts as it was left; the newest first. */
  readonly visits: readonly (readonly [string, string])[];
  /** What became of notes, and which: "came back", "B3 and D5"; those in order throughout are left out. */
  readonly stories: readonly (readonly [string, string])[];
  /** To be taken with reserve, then when to come again; a sentence each. */
  readonly words: readonly string[];
}

/** The seasons up to this visit; null where no earlier one was judged, or this one was not. */
function seasonsAt(reported: ReportedVisit): Seasons | null {
  const { piano, visit, rounds, adjustments, earlier = [] } = reported;
  const before = earlier
    .filter((one) => Date.parse(one.visit.startedAt) < Date.parse(visit.startedAt) && one.visit.id !== visit.id)
    .map((one) => ({ ...one, rounds: visitAsMeasured({ piano, rounds: one.rounds }).rounds }));
  const seasons = seasonsOf([...before, { visit, rounds, adjustments }]);
  return seasons.visits.length > 1 && seasons.visits.at(-1)!.visit.id === visit.id ? seasons : null;
}

const TOLD: readonly SeasonStory[] = ['came-back', 'drifts', 'still-flagged', 'stayed', 'flagged-once'];
/** Names in a row; more are counted. */
const MOST_NAMES = 12;
const MOST_OWNER_NAMES = 3;

/** For the technician; null without earlier visits. @param notes - of this visit, as they stand now */
export function seasonsTold(reported: ReportedVisit, notes: readonly NoteStanding[]): SeasonsTold | null {
  const seasons = seasonsAt(reported);
  if (!seasons) return null;
  const { visits, reserves } = seasons;
  return {
    lead: leadWords(seasons),
    visits: [...visits].reverse().map(({ visit, counts }) => {
      // Of this one as the rest of the report counts: a note that was turned stands as it was heard since.
      const own = visit.id === reported.visit.id ? countsOf(notes.map(({ now }) => now)) : counts;
      const { steady, watch, unstable, insufficient } = own;
      const heard = steady + watch + unstable + insufficient;
      return [
        `${dayWords(visit.startedAt, reported.utcOffsetMinutes)}, ${climateOf(visit)}`,
        `${watch + unstable} flagged of ${heard}`,
      ];
    }),
    stories: TOLD.flatMap((story): [string, string][] => {
      const midis = notesOf(seasons, story);
      return midis.length === 0 ? [] : [[capital(STORY_WORDS[story]), noteList(midis, MOST_NAMES)]];
    }),
    words: [
      ...reserves.map((reserve) => RESERVE_WORDS[reserve]),
      ...comeAgain(seasons).map(({ words, grade }) => `${words.slice(0, -1)} (${grade}, no source).`),
    ],
  };
}

/** For the owner, what moved since the earlier visits; null without them. */
export function seasonSentence(reported: ReportedVisit): string | null {
  const seasons = seasonsAt(reported);
  if (!seasons) return null;
  const before = seasons.visits.slice(0, -1).map(({ visit }) => visit);
  const last = before[before.length - 1];
  const climate = last.humidityPercent === null ? '' : `, ${figure(last.humidityPercent)} % humidity`;
  const day = `${dayWords(last.startedAt, reported.utcOffsetMinutes)}${climate}`;
  const since =
    before.length === 1
      ? `Against the visit before (${day})`
      : `Against the ${numberWord(before.length)} visits before (the last ${day})`;
  const [drifts, back] = [notesOf(seasons, 'drifts'), notesOf(seasons, 'came-back')];
  const told = [
    ...(drifts.length > 0 ? [`in order once, found off later: ${noteList(drifts, MOST_OWNER_NAMES)}`] : []),
    ...(back.length > 0 ? [`put right once, off again later: ${noteList(back, MOST_OWNER_NAMES)}`] : []),
  ];
  return `${since}: ${told.length === 0 ? 'no note that was left in order was found off later' : told.join('; ')}.`;
}

function notesOf({ notes }: Seasons, story: SeasonStory): number[] {
  return notes.filter((note) => note.story === story).map(({ midi }) => midi);
}

function climateOf({ temperatureC, humidityPercent }: Visit): string {
  const parts = [
    ...(temperatureC === null ? [] : [`${figure(temperatureC, Number.isInteger(temperatureC) ? 0 : 1)} \u00b0C`]),
    ...(humidityPercent === null ? [] : [`${figure(humidityPercent)} %`]),
  ];
  return parts.length > 0 ? parts.join(', ') : 'climate not kept';
}
