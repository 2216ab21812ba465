/**
 * When to come again, from what is kept of a piano's visits.
 *
 * All of it is common practice without a source: nobody has measured here how parts settle or how far a climate moves a hammer's rest.
 */

import type { Seasons } from './seasons.ts';

/** Why to come again. Closed list. */
export const COME_AGAIN = ['new-parts', 'dry', 'damp', 'drifting', 'other-season'] as const;

export interface ComeAgain {
  readonly code: (typeof COME_AGAIN)[number];
  /** One sentence or two. */
  readonly words: string;
  /** What that rests on. */
  readonly grade: 'common practice';
  readonly source: null;
}

/** Relative humidity below and above which a room counts as dry and damp for a piano (common practice, no source). */
const DRY_BELOW = 40;
const DAMP_ABOVE = 60;

/** Reasons to come again, the most pressing first; none before a visit was judged. */
export function comeAgain({ visits, notes, reserves }: Seasons): ComeAgain[] {
  const last = visits.at(-1)?.visit;
  if (!last) return [];
  const moved = notes.filter(({ story }) => story === 'drifts' || story === 'came-back').length;
  const humidity = last.humidityPercent;
  const found: [ComeAgain['code'], string][] = [];
  const parts = last.newParts.trim().replace(/\.$/, '');
  if (parts !== '') {
    found.push([
      'new-parts',
      `New parts settle (${parts}): come again after two to six weeks of regular playing, and hear the whole compass before anything is turned.`,
    ]);
  }
  if (moved > 0 && reserves.includes('other-climate')) {
    found.push([
      'drifting',
      'Notes moved while the climate did: hear them once more in the season in which they were set before you turn them for good.',
    ]);
  }
  if (humidity !== null && humidity < DRY_BELOW) {
    found.push([
      'dry',
      `It was dry (${humidity} %): hear it again in the damp season, when bushings and centres tighten.`,
    ]);
  } else if (humidity !== null && humidity > DAMP_ABOVE) {
    found.push([
      'damp',
      `It was damp (${humidity} %): hear it again in the dry season, when screws and flanges loosen.`,
    ]);
  }
  if (found.length === 0) {
    found.push([
      'other-season',
      'One visit in the dry season and one in the damp one tell what drifts from what chance brought.',
    ]);
  }
  return found.map(([code, words]) => ({ code, words, grade: 'common practice', source: null }));
}
