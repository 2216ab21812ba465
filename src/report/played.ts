/** How a visit was played, in lines: microphone, lid, who; each round with its time, notes and patterns. */

import { countedTakes } from '../record/beforeSide.ts';
import type { Asked, Visit } from '../record/types.ts';
import { settingOf, type ReportedVisit } from './visit.ts';
import { capital, clockWords, countWords, listed } from './words.ts';

const PATTERNS: Readonly<Record<Asked, string>> = {
  'slow-fast': '8 slow, 12 fast half-way',
  open: 'doubtful notes firm and slow in turn, then 36 fast',
  gentle: '8 gentle',
  'just-over-half': '12 fast just over half-way',
  'full-return': '12 fast right up',
  bar: '8 under the bar',
};

const LIDS: Readonly<Record<NonNullable<Visit['lid']>, string>> = {
  closed: 'lid closed',
  half: 'lid half open',
  open: 'lid open',
  off: 'lid off',
};

const TOUCHES = { finger: 'struck touch', weight: 'weight', bar: 'bar' } as const;

/** The lines: first what held for all of the visit, then one a round. */
export function playedLines(reported: ReportedVisit): string[] {
  const { visit, rounds, utcOffsetMinutes } = reported;
  const inOrder = [...rounds].sort((a, b) => a.number - b.number);
  const own = inOrder.map((round) => {
    const { microphone, microphonePlace, player } = settingOf(round, visit);
    return [
      ...(microphonePlace === null || microphonePlace === '' ? [] : [`microphone ${microphonePlace}`]),
      ...(microphone === null || microphone === '' ? [] : [microphone]),
      ...(player === null || player === '' ? [] : [`played by ${player}`]),
    ].join(' \u00b7 ');
  });
  const same = new Set(own).size <= 1;
  const whole = [...(same && own[0] ? [own[0]] : []), ...(visit.lid === null ? [] : [LIDS[visit.lid]])].join(
    ' \u00b7 ',
  );
  return [
    ...(whole === '' ? [] : [capital(whole)]),
    ...inOrder.map((round, i) => {
      const takes = countedTakes(round, reported);
      const notes = new Set(takes.map(({ midi }) => midi)).size;
      const asked = (Object.keys(PATTERNS) as Asked[]).filter((one) => takes.some((take) => take.asked === one));
      const touches = [...new Set(takes.map(({ touch }) => TOUCHES[touch]))];
      const parts = [
        `${clockWords(round.startedAt, utcOffsetMinutes)}${round.closedAt === null ? '' : ` to ${clockWords(round.closedAt, utcOffsetMinutes)}`}`,
        `${countWords(notes, 'note')}, ${takes.length} ${takes.length === 1 ? 'take' : 'takes'}`,
        ...(touches.length === 0 ? [] : [listed(touches)]),
        ...asked.map((one) => PATTERNS[one]),
        ...(same || own[i] === '' ? [] : [own[i]]),
      ];
      return `Round ${round.number}: ${parts.join(' \u00b7 ')}`;
    }),
  ];
}
