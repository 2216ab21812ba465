/** From the record of a piano's visits to what the seasons show. Formatting only. */

import { comeAgain } from '../../record/comeAgain.ts';
import {
  SEASON_STORIES,
  type SeasonCell,
  type SeasonReserve,
  type Seasons,
  type SeasonStory,
} from '../../record/seasons.ts';
import type { Piano, Visit } from '../../record/types.ts';
import { counted } from '../words.ts';
import type { SeasonMark, SeasonsView } from './view.ts';

const STORY_WORDS: Readonly<Record<SeasonStory, string>> = {
  'came-back': 'came back',
  drifts: 'drifts',
  'still-flagged': 'still flagged',
  stayed: 'in order since',
  'flagged-once': 'flagged in one visit',
  'in-order': 'in order',
};

const RESERVE_WORDS: Readonly<Record<SeasonReserve, string>> = {
  'other-climate': 'The humidity was another: what moved may be the season\u2019s, and come back with it.',
  'climate-unknown': 'Humidity was not kept for every visit, so a season cannot be told from wear.',
  'other-place': 'The microphone stood elsewhere: only repeats and doubles compare, not how evenly a hammer rests.',
  'other-microphone': 'Another microphone: only repeats and doubles compare, not how evenly a hammer rests.',
  'other-player': 'Another player: what differs may be the hand.',
  'other-hand': 'Another stored hand was held against: what differs may be the hand.',
  'other-analysis': 'Visits were judged by different versions of Evenfall: a verdict may differ for that alone.',
};

/** The seasons of a piano; `dayOf` writes a day as this device does. */
export function seasonsView(piano: Piano, seasons: Seasons, dayOf: (date: Date) => string): SeasonsView {
  const { visits, notes, reserves } = seasons;
  const flagged = notes.filter(({ story }) => story !== 'in-order');
  const order = (story: SeasonStory) => SEASON_STORIES.indexOf(story);
  return {
    piano: [piano.name, piano.place].filter(Boolean).join(', '),
    visits: [...visits].reverse().map(({ visit, counts }) => {
      const heard = Object.values(counts).reduce((sum, count) => sum + count, 0);
      return {
        id: visit.id,
        day: dayOf(new Date(visit.startedAt)),
        climate: climateOf(visit),
        counts: `${counts.watch + counts.unstable} flagged of ${heard}`,
      };
    }),
    lead: leadOf(seasons),
    rows: [...flagged]
      .sort((a, b) => order(a.story) - order(b.story) || a.midi - b.midi)
      .map(({ midi, cells, story }) => ({ midi, marks: cells.map(markOf).reverse(), story: STORY_WORDS[story] })),
    inOrder: notes.length - flagged.length,
    reserves: reserves.map((reserve) => RESERVE_WORDS[reserve]),
    again: comeAgain(seasons).map(({ words, grade }) => `${words.slice(0, -1)} (${grade}, no source).`),
  };
}

function markOf(cell: SeasonCell | null): SeasonMark | null {
  return cell && { found: cell.found, left: cell.left === cell.found ? null : cell.left, turned: cell.turned };
}

function climateOf({ temperatureC, humidityPercent }: Visit): string {
  const parts = [
    ...(temperatureC === null ? [] : [`${temperatureC} \u00b0C`]),
    ...(humidityPercent === null ? [] : [`${humidityPercent} %`]),
  ];
  return parts.length > 0 ? parts.join(', ') : 'climate not kept';
}

function leadOf({ visits, notes }: Seasons): string {
  if (visits.length < 2) return 'One visit only: what drifts shows at the next.';
  const count = (story: SeasonStory) => notes.filter((note) => note.story === story).length;
  const [back, drifts] = [count('came-back'), count('drifts')];
  if (back + drifts === 0) return 'No note that was left in order was found flagged in a later visit.';
  const told = [
    ...(drifts > 0
      ? [`${counted(drifts, 'note')} in order before ${drifts === 1 ? 'was' : 'were'} flagged later`]
      : []),
    ...(back > 0 ? [`${counted(back, 'note')} put right ${back === 1 ? 'was' : 'were'} flagged again`] : []),
  ];
  return `${told.join('; ')}. A note flagged in one visit alone may be chance.`;
}
