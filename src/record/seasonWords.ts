/** What a piano's seasons come to, in words: the stories of notes, what is to be taken with reserve, the sentence that matters most. */

import type { SeasonReserve, Seasons, SeasonStory } from './seasons.ts';

export const STORY_WORDS: Readonly<Record<SeasonStory, string>> = {
  'came-back': 'came back',
  drifts: 'drifts',
  'still-flagged': 'still flagged',
  stayed: 'in order since',
  'flagged-once': 'flagged in one visit',
  'in-order': 'in order',
};

export const RESERVE_WORDS: Readonly<Record<SeasonReserve, string>> = {
  'other-climate': 'The humidity was another: what moved may be the season\u2019s, and come back with it.',
  'climate-unknown': 'Humidity was not kept for every visit, so a season cannot be told from wear.',
  'other-place': 'The microphone stood elsewhere: only repeats and doubles compare, not how evenly a hammer rests.',
  'other-microphone': 'Another microphone: only repeats and doubles compare, not how evenly a hammer rests.',
  'other-player': 'Another player: what differs may be the hand.',
  'other-hand': 'Another stored hand was held against: what differs may be the hand.',
  'other-analysis': 'Visits were judged by different versions of Evenfall: a verdict may differ for that alone.',
};

/** What drifts and what came back, one sentence or two. */
export function leadWords({ visits, notes }: Seasons): string {
  if (visits.length < 2) return 'One visit only: what drifts shows at the next.';
  const count = (story: SeasonStory) => notes.filter((note) => note.story === story).length;
  const [back, drifts] = [count('came-back'), count('drifts')];
  if (back + drifts === 0) return 'No note that was left in order was found flagged in a later visit.';
  const counted = (n: number) => `${n} note${n === 1 ? '' : 's'}`;
  const told = [
    ...(drifts > 0 ? [`${counted(drifts)} in order before ${drifts === 1 ? 'was' : 'were'} flagged later`] : []),
    ...(back > 0 ? [`${counted(back)} put right ${back === 1 ? 'was' : 'were'} flagged again`] : []),
  ];
  return `${told.join('; ')}. A note flagged in one visit alone may be chance.`;
}
