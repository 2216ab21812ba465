/**
 * A note's first line: what the hand would feel, without figures or statistics.
 *
 * What is heard outright (a repeat that fails) is said outright; what sound only suggests has "seems" or "as if".
 */

import type { FindingKind, RepeatPattern } from './kinds.ts';
import { firmContrast, repeatCounts, repeatsHeard, restHeard, type NoteFacts } from './noteFacts.ts';
import { isMeasured } from './symptoms.ts';

type Fails = 'silent' | 'weak' | 'both';

const FAILS: Readonly<Record<Fails, string>> = {
  silent: 'stay silent',
  weak: 'come out weak',
  both: 'stay silent or come out weak',
};

/** How quick repeats fail. */
function repeatFeeling(fails: Fails, pattern: RepeatPattern | null): string {
  const verb = FAILS[fails];
  switch (pattern) {
    case 'lone':
      return `A single quick repeat ${fails === 'weak' ? 'came out weak' : 'failed'}; it seems to be the hand rather than the note.`;
    case 'every-second':
      return `Every second quick repeat fails: those strokes ${verb}.`;
    case 'until-return':
      return `Once a quick repeat fails, the next ones ${verb} until the key is let right up.`;
    case 'rate':
      return `Quick repeats fail as they come faster: more of them ${verb}.`;
    case 'after-damped':
      return `Quick repeats fail although the key seems to be let up far enough: some ${verb}.`;
    case 'scattered':
    case null:
      return `Quick repeats fail: some ${verb}.`;
  }
}

interface Feeling {
  /** As the first sentence. */
  readonly first: string;
  /** As the second. */
  readonly also: string;
}

const FEELINGS: Readonly<Record<Exclude<FindingKind, 'missed-repeats' | 'weak-repeats' | 'early-or-late'>, Feeling>> = {
  'wandering-rest': {
    first: 'Feels as if the hammer did not always start from the same place.',
    also: 'It also seems not to start from the same place each time.',
  },
  'silent-when-gentle': {
    first: 'Played very softly, it does not always speak.',
    also: 'Very soft strokes do not always speak either.',
  },
  'weak-when-hard': {
    first: 'Struck hard, it seems to give less than it should.',
    also: 'It also seems to give less than it should when struck hard.',
  },
  'double-strikes': {
    first: 'The hammer seems to strike twice now and then.',
    also: 'The hammer also seems to strike twice now and then.',
  },
  jammed: {
    first: 'It jammed: leave it alone until it has been looked at.',
    also: 'It also jammed: leave it alone until it has been looked at.',
  },
  'fading-repeats': {
    first: 'Quick repeats seem to tire: they get weaker as they go on.',
    also: 'The repeats also seem to get weaker as they go on.',
  },
  'uneven-repeats': {
    first: 'Quick repeats come unevenly, as if the note answered now sooner, now later.',
    also: 'The repeats also seem to come unevenly.',
  },
};

const AFTER_FIRM: Feeling = {
  first: 'After a firm stroke it seems to start from another place than after a soft one.',
  also: 'After a firm stroke it also seems to start from another place.',
};
const QUICK_SOFTER: Feeling = {
  first: 'Quick repeats seem to give less than slow strokes do.',
  also: 'Quick repeats also seem to give less than slow strokes do.',
};

/** Feelings of the findings, in their order; silent and weak repeats make one. */
function feelingsOf({ findings, pattern, measures }: NoteFacts): Feeling[] {
  const silent = findings.some(({ kind }) => kind === 'missed-repeats');
  const weak = findings.some(({ kind }) => kind === 'weak-repeats');
  const repeats = repeatFeeling(silent && weak ? 'both' : weak ? 'weak' : 'silent', pattern);
  const found = new Map<string, Feeling>();
  for (const finding of findings) {
    const { kind, size } = finding;
    if (isMeasured(finding, 'after-firm', measures)) {
      found.set('after-firm', AFTER_FIRM);
      continue;
    }
    if (isMeasured(finding, 'level-drop', measures)) {
      found.set('level-drop', QUICK_SOFTER);
      continue;
    }
    switch (kind) {
      case 'missed-repeats':
      case 'weak-repeats':
        found.set('repeats', { first: repeats, also: repeats });
        break;
      case 'early-or-late': {
        const when = size < 0 ? 'sooner' : 'later';
        found.set(kind, {
          first: `Seems to answer ${when} than its neighbours at the same loudness.`,
          also: `It also seems to answer ${when} than its neighbours.`,
        });
        break;
      }
      default:
        found.set(kind, FEELINGS[kind]);
    }
  }
  return [...found.values()];
}

const NOT_HEARD = 'how evenly it rests was not heard';

/** The first line: a sentence or two, in words only. */
export function feelingLine(facts: NoteFacts): string {
  const { verdict, findings, measures } = facts;
  const [first, second] = feelingsOf(facts);
  const said = first ? [first.first, ...(second ? [second.also] : [])] : [];
  switch (verdict) {
    case 'steady':
      return steadyLine(facts);
    case 'unstable':
      return said.length > 0 ? said.join(' ') : 'Seems not to rest or repeat evenly.';
    case 'watch': {
      // A jammed note is not to be played for a second look.
      if (findings.some(({ kind }) => kind === 'jammed')) return said.join(' ');
      if (said.length > 0) return [...said, 'Worth a second look.'].join(' ');
      if (firmContrast(measures)) {
        return `${AFTER_FIRM.first} Worth a second look.`;
      }
      return repeatCounts(measures).failed > 0
        ? 'Quick repeats do not always speak as they should. Worth a second look.'
        : 'Something seems off; worth a second look.';
    }
    case 'insufficient':
      if (said.length > 0) return [...said, 'Not enough to judge it by yet.'].join(' ');
      return repeatCounts(measures).failed > 0
        ? 'Not every quick repeat spoke as it should, but there is not enough to judge by.'
        : 'Nothing wrong heard so far, but not enough to call it steady.';
  }
}

function steadyLine(facts: NoteFacts): string {
  const rest = restHeard(facts) === 'judged';
  const repeats = repeatsHeard(facts) === 'judged';
  if (rest && repeats) return 'Repeats well and seems to rest evenly.';
  if (repeats) return `Repeats well; ${NOT_HEARD}.`;
  return rest
    ? 'Seems to rest evenly; its quick repeats were not tested.'
    : `Nothing wrong was heard, but ${NOT_HEARD}.`;
}
