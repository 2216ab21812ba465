/** What to do now, in two words and a count, and how. */

import type { AskedPassage } from '../../piano/plan.ts';
import type { ListenView } from '../listen/view.ts';
import type { PassageSoFar } from './lanes.ts';

const MANNERS: Readonly<Record<AskedPassage['kind'], string>> = {
  slow: 'let the key right up, wait',
  fast: 'not quite half-way up, keep it ringing',
  'firm-slow-slow': 'one firm, then two slow',
  gentle: 'as soft as will still speak',
  bar: 'slowly and steadily',
};
const FAST_MANNERS = {
  'right-up': 'let the key right up',
  'half-way': MANNERS.fast,
  'just-over-half': '8 a second, just over half-way up',
} as const;

/** The order line for the passage `now`; where all is done, that. */
export function orderOf(soFar: readonly PassageSoFar[], now: number): ListenView['order'] {
  if (now < 0) return { word: 'Done', count: '', manner: 'go on to the next note' };
  const { passage, strokes } = soFar[now];
  const { kind, wanted } = passage;
  const more = `${wanted - strokes.length} more`;
  switch (kind) {
    case 'slow':
      return { word: 'Slow', count: more, manner: MANNERS.slow };
    case 'gentle':
      return { word: 'Gentle', count: more, manner: MANNERS.gentle };
    case 'bar':
      return { word: 'Press', count: more, manner: MANNERS.bar };
    case 'fast':
      return { word: 'Fast', count: more, manner: FAST_MANNERS[passage.return ?? 'half-way'] };
    case 'firm-slow-slow': {
      const group = Math.floor(strokes.length / 3) + 1;
      return {
        word: strokes.length % 3 === 0 ? 'Firm' : 'Slow',
        count: `${group} of ${wanted / 3}`,
        manner: MANNERS[kind],
      };
    }
  }
}

/** Said aloud at the turn to another passage. */
export function turnWords(passage: AskedPassage): string {
  switch (passage.kind) {
    case 'slow':
      return 'Now slow, let the key right up.';
    case 'fast':
      return `Now fast, ${FAST_MANNERS[passage.return ?? 'half-way']}.`;
    case 'firm-slow-slow':
      return 'Now one firm, then two slow.';
    case 'gentle':
      return 'Now gentle, as soft as will still speak.';
    case 'bar':
      return 'Turn the bar round.';
  }
}
