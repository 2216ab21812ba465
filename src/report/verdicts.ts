/** Verdicts and changes as the report draws them: shape and word, so that grey print loses nothing. */

import { element, type PictureNode } from '../pictures/element.ts';
import type { Verdict } from '../record/documents.ts';
import type { Outcome } from './standing.ts';

export const VERDICTS_IN_ORDER: readonly Verdict[] = ['steady', 'watch', 'unstable', 'insufficient'];

/** As they stand after a count: "75 steady". */
export const COUNTED_AS: Readonly<Record<Verdict, string>> = {
  steady: 'steady',
  watch: 'to watch',
  unstable: 'unstable',
  insufficient: 'not enough heard',
};

export const OUTCOME_WORDS: Readonly<Record<Outcome, string>> = {
  improved: 'Improved',
  worse: 'Worse',
  'no-change-shown': 'No change shown',
  insufficient: 'Not enough yet',
  'not-heard': 'Not heard again',
};

/** A 24 pixel drawing without words: the word always stands beside it. */
function glyph(name: string, ...shapes: readonly PictureNode[]): PictureNode {
  return element('svg', { class: `glyph ${name}`, viewBox: '0 0 24 24', 'aria-hidden': 'true' }, ...shapes);
}

const disc = (cx: number, cy: number, r: number) => element('circle', { cx, cy, r, class: 'solid' });
const stroke = (d: string, width: number) => element('path', { d, 'stroke-width': width });

/** A hammer head resting on its shelf. */
export function hammerMark(): PictureNode {
  const head = 'M12 4.5c3.4 0 5.5 2.7 5.5 5.4 0 2-1.1 3.9-2.7 5.1H9.2c-1.6-1.2-2.7-3.1-2.7-5.1 0-2.7 2.1-5.4 5.5-5.4z';
  return glyph('hammer', element('path', { d: head, class: 'solid' }), stroke('M2.5 18.5h19', 2.6));
}

/** Level, tilted, broken or dashed shelf. */
export function verdictMark(verdict: Verdict): PictureNode {
  switch (verdict) {
    case 'steady':
      return glyph(verdict, disc(12, 11, 4), stroke('M4 18h16', 3));
    case 'watch':
      return glyph(
        verdict,
        disc(8.5, 9, 3.6),
        stroke('M4 16.6l16-4.2', 3),
        element('path', { d: 'M13 17.5l3 4h-6z', class: 'solid' }),
      );
    case 'unstable':
      return glyph(verdict, disc(7, 7, 3.2), disc(17, 12, 3.2), stroke('M3 13.5h8M13 18.5h8', 3));
    case 'insufficient':
      return glyph(
        verdict,
        element('circle', { cx: 12, cy: 9.5, r: 4, 'stroke-dasharray': '2.2 2', 'stroke-width': 1.8 }),
        stroke('M3 18h4.5M9.8 18h4.5M16.6 18h4.5', 2.6),
      );
  }
}

const OUTCOME_SHAPES: Readonly<Record<Outcome, string>> = {
  improved: 'M3 3v18M7 5.5L18 11M7 18.5L18 13M22 10v4',
  worse: 'M2 10v4M6 11l11-5.5M6 13l11 5.5M21 3v18',
  'no-change-shown': 'M3 4v16M7 8.5h10M7 15.5h10M21 4v16',
  insufficient: 'M3 4v16M7 8.5h3M12 8.5h3M17 8.5h3M7 15.5h3M12 15.5h3M17 15.5h3',
  'not-heard': 'M3 4v16M7 8.5h3M12 8.5h3M17 8.5h3M7 15.5h3M12 15.5h3M17 15.5h3',
};

/** Two bars that close, open, stay level or are dashed. */
export function outcomeMark(outcome: Outcome): PictureNode {
  return glyph(`outcome-${outcome}`, stroke(OUTCOME_SHAPES[outcome], 2.4));
}
