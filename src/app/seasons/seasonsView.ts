/** From the record of a piano's visits to what the seasons show. Formatting only. */

import { comeAgain } from '../../record/comeAgain.ts';
import { SEASON_STORIES, type SeasonCell, type Seasons, type SeasonStory } from '../../record/seasons.ts';
import { leadWords, RESERVE_WORDS, STORY_WORDS } from '../../record/seasonWords.ts';
import type { Piano, Visit } from '../../record/types.ts';
import type { SeasonMark, SeasonsView } from './view.ts';

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
    lead: leadWords(seasons),
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
