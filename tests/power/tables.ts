/** The tables of the meter of whole sittings. */

import { FINDING_KINDS } from '../../src/steadiness/kinds.ts';
import { figure, perCent, type Table } from '../accuracy/table.ts';
import { GOALS } from './goals.ts';
import { measuredFor, meets } from './reached.ts';
import { STUDIED, STUDIED_FOUND } from './study.ts';
import { foundShare, goodShare, meanOf, per88, ranking, shareOf, type Figure, type Tally } from './tally.ts';

const share = (one: Figure | null): string =>
  one === null ? '-' : `${perCent(one.value, 0)} ±${perCent(one.error, 0)}`;

/** A rate per 88 with its error; where nothing happened, the upper limit at 95 % (three in the number played). */
function rate({ value, error, n }: Figure): string {
  return value === 0 ? `0 (< ${figure((3 * 88) / n, 2)})` : `${figure(value, 2)} ±${figure(error, 2)}`;
}

const LAW =
  'Strokes drawn by a law that the judgement does not assume (tests/power); play and pauses as a player would be asked for them.';

/** What becomes of notes in order, and what the sitting costs. */
export function goodNotes(tallies: readonly Tally[]): Table {
  return {
    title: 'Whole sittings: notes in order',
    rests: `${LAW} In brackets: simulation study of the statistics. ± is the standard error from sitting to sitting.`,
    head: [
      'design',
      'sittings',
      'notes in order',
      'unstable per 88',
      'expected in a sitting',
      'watch per 88',
      'steady %',
      'insufficient %',
      'strokes',
      'minutes',
      'ms judging',
    ],
    rows: tallies.map((tally) => {
      const studied = STUDIED[tally.design.id];
      const beside = (text: string, value: string | undefined) => (value === undefined ? text : `${text} (${value})`);
      const expected = tally.expected.filter((one) => one !== null);
      return [
        tally.design.what,
        String(tally.sittings),
        String(goodShare(tally, 'steady').n),
        beside(rate(per88(tally, 'unstable')), studied && figure(studied.unstable, 2)),
        expected.length ? figure(meanOf(expected).value, 2) : '-',
        rate(per88(tally, 'watch')),
        beside(share(goodShare(tally, 'steady')), studied && perCent(studied.steady, 0)),
        share(goodShare(tally, 'insufficient')),
        figure(meanOf(tally.strokes).value, 0),
        beside(figure(meanOf(tally.minutes).value, 0), studied && figure(studied.minutes, 0)),
        figure(tally.judging, 0),
      ];
    }),
  };
}

/** What was found on notes in order, kind by kind, and how many of them were played again. */
export function falseFindings(tallies: readonly Tally[]): Table {
  const kinds = FINDING_KINDS.filter((kind) => tallies.some((tally) => tally.falseFindings.has(kind)));
  return {
    title: 'Whole sittings: what was found on notes in order',
    rests:
      'Per 88 notes in order: those with a finding of each kind, whatever their verdict; and those that were played again.',
    head: ['design', 'played twice', 'thrice', ...kinds],
    rows: tallies.map((tally) => {
      const notes = tally.good.reduce((sum, { n }) => sum + n, 0);
      const per = (count: number | undefined) => figure((88 * (count ?? 0)) / notes, 2);
      return [
        tally.design.id,
        ...[2, 3].map((look) => per(tally.looks.get(look))),
        ...kinds.map((kind) => per(tally.falseFindings.get(kind))),
      ];
    }),
  };
}

/** What is found of each planted fault, a row a fault. */
export function plantedFaults(tallies: readonly Tally[]): Table {
  return {
    title: 'Whole sittings: planted faults',
    rests:
      'Share of the notes with each fault that get each verdict, and that have a finding of the right kind. Ranking: chance that such a note scores over one in order. Studied: share unstable in the simulation study of the statistics, or (model of an action) in the model study of repeated strokes.',
    head: [
      'design',
      'fault',
      'notes',
      'unstable %',
      'studied',
      'unstable or watch %',
      'steady %',
      'right finding %',
      'ranking',
    ],
    rows: tallies.flatMap((tally) =>
      [...tally.faults.entries()]
        .sort(([, a], [, b]) => order(tally, a.fault) - order(tally, b.fault))
        .map(([name, count]) => [
          tally.design.id,
          name,
          String(count.n),
          share(foundShare(count, 'unstable')),
          perCent(STUDIED_FOUND[tally.design.id]?.[name], 0),
          share(foundShare(count, 'unstable', 'watch')),
          share(foundShare(count, 'steady')),
          share(shareOf(count.named, count.n)),
          figure(count.over / count.n, 2),
        ]),
    ),
  };
}

function order({ design }: Tally, fault: unknown): number {
  return design.options.menu.findIndex((one) => one === fault);
}

/** Whether the 90 % intervals of the spread ratio hold the true one. */
export function intervals(tallies: readonly Tally[]): Table {
  return {
    title: 'Whole sittings: the 90 % interval of the spread ratio',
    rests:
      'The true ratio is the scatter of the note at equal level, slips left out, over that of the median note in order. Goal: 88 to 92 % hold it. Factor: upper over lower limit, geometric mean.',
    head: ['design', 'notes', 'usable strokes', 'intervals', 'hold the true ratio %', 'factor'],
    rows: tallies.flatMap(({ design, coverage }) =>
      [...coverage.entries()]
        .sort(([a], [b]) => a.localeCompare(b))
        .map(([key, { n, held, width }]) => {
          const [notes, usable] = key.split(' | ');
          return [design.id, notes, usable, String(n), share(shareOf(held, n)), figure(Math.exp(width / n), 2)];
        }),
    ),
  };
}

/** How the score ranks, and what share of the notes with such a score is bad. */
export function scores(tallies: readonly Tally[]): Table {
  const edges = [0, 0.1, 0.2, 0.4, 0.6, 0.8, 1.000001];
  return {
    title: 'Whole sittings: the score',
    rests:
      'Ranking: chance that a bad note scores over one in order, within a sitting. Then the share of bad notes among those with such a score, and their number.',
    head: ['design', 'ranking', ...edges.slice(1).map((edge, i) => `${edges[i]} to ${Math.min(1, edge)}`)],
    rows: tallies.flatMap((tally) => {
      const area = ranking(tally);
      if (area === null) return [];
      return [
        [
          tally.design.id,
          `${figure(area.value, 3)} ±${figure(area.error, 3)}`,
          ...edges.slice(1).map((edge, i) => {
            const within = tally.scores.filter(({ score }) => score >= edges[i] && score < edge);
            const bad = within.filter((one) => one.bad).length;
            return within.length ? `${perCent(bad / within.length, 0)} % of ${within.length}` : '-';
          }),
        ],
      ];
    }),
  };
}

/** What the judgement learns of the hand. */
export function hands(tallies: readonly Tally[]): Table {
  return {
    title: 'Whole sittings: the hand as judged',
    rests:
      'Firm scale and slope over the true ones, mean over the sittings; the share of strokes said to go astray. Late fingers are 3 %, wrong contacts 2 % of those heard, and the touch has heavy tails, which may count as either.',
    head: ['design', 'sittings', 'scale / true', 'slope / true', 'astray %'],
    rows: tallies.flatMap(({ design, hands: said }) => {
      if (said.length === 0) return [];
      const ratio = (values: readonly number[]) =>
        `${figure(meanOf(values).value, 3)} ±${figure(meanOf(values).error, 3)}`;
      const [scale, slope] = [ratio(said.map((one) => one.scale)), ratio(said.map((one) => one.slope))];
      return [[design.id, String(said.length), scale, slope, share(meanOf(said.map((one) => one.slips)))]];
    }),
  };
}

/** Whether what "could have been shown" is found that often. */
export function couldHaveShown(tallies: readonly Tally[]): Table {
  return {
    title: 'Whole sittings: what could have been shown',
    rests:
      'Notes whose planted spread, or share of silent re-strikes, was no smaller than what the judgement said it could have shown with 80 % power, and the share of them found unstable.',
    head: ['design', 'spread: notes', 'found %', 'failures: notes', 'found %'],
    rows: tallies.flatMap(({ design, shown: { spread, failures } }) => {
      if (spread.n + failures.n === 0) return [];
      const found = ({ n, unstable }: { n: number; unstable: number }) => share(n ? shareOf(unstable, n) : null);
      return [[design.id, String(spread.n), found(spread), String(failures.n), found(failures)]];
    }),
  };
}

/** Every goal against what was measured. */
export function goals(tallies: readonly Tally[]): Table {
  return {
    title: 'Whole sittings: goals',
    rests: 'Reached: the figure itself is on the right side; ± is its standard error.',
    head: ['goal', 'aim', 'measured', 'n', 'reached'],
    rows: GOALS.flatMap((goal) => {
      const tally = tallies.find(({ design }) => design.id === goal.design);
      if (!tally) return [];
      const measured = measuredFor(goal, tally);
      const per = goal.of === 'false per 88';
      const text = (value: number) => (per ? figure(value, 2) : `${perCent(value)} %`);
      const aim = `${goal.sense} ${text(goal.goal)}${goal.upTo === undefined ? '' : ` and ${text(goal.upTo)}`}`;
      if (measured === null) return [[goal.what, aim, 'not measured', '0', 'no']];
      const { value, error, n } = measured;
      const reached = meets(goal, value, goal.goal) ? 'yes' : 'no';
      return [[goal.what, aim, `${text(value)} ±${text(error)}`, String(n), reached]];
    }),
  };
}
