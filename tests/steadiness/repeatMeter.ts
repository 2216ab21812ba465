/** Prints what the judgement of repeats reaches: npx tsx tests/steadiness/repeatMeter.ts [sittings]. Made sittings: see repeatPiano. */

import { asText, figure } from '../accuracy/table.ts';
import { HANDS, repeatRates, type Fault, type Hand } from './repeatPiano.ts';

const sittings = Number(process.argv[2] ?? 20);
const head = [
  'setting',
  'silent %',
  'faint %',
  'false/88',
  'expected/88',
  'found',
  'missed',
  'clear',
  'doubtful',
  'again',
  'gauges',
];

function row(name: string, hand: Hand, fault: Fault | null, share: number): string[] {
  const r = repeatRates(hand, fault, share, sittings);
  const { found, missed, clear, doubtful, again } = r;
  const gauges = Object.entries(r.gauges).map(([gauge, n]) => `${gauge} ${n}`);
  const shares = fault ? [found, missed, clear, doubtful, again] : [null, null, clear, doubtful, again];
  return [
    name,
    figure(100 * r.silentInOrder, 1),
    figure(100 * r.faintInOrder, 1),
    figure(r.falsePer88, 2),
    figure(r.expectedPer88, 2),
    ...shares.map((v) => figure(v, 2)),
    gauges.join(' '),
  ];
}

function print(title: string, rows: string[][]): void {
  console.log(asText({ title, rests: `${sittings} sittings a row`, head, rows }));
}

const every = (rate: number): Fault => ({ silent: [rate, rate] });
/** Silent and weak in 100 at six and eight a second, the hand's own not taken off: model study of repeated strokes, mean 5.0, SD 0.8. */
const MODEL: Readonly<Record<string, Fault>> = {
  'spring x0.8': { silent: [0.16, 0.32], weak: [0.07, 0.03] },
  'spring x0.7': { silent: [0.3, 0.35], weak: [0.03, 0.03] },
  'lever -0.45': { silent: [0.02, 0.03], weak: [0.14, 0.08] },
  'lever -0.6': { silent: [0.08, 0.11], weak: [0.12, 0.06] },
  'check 20': { silent: [0.02, 0.27], weak: [0.12, 0.1] },
  'check 25': { silent: [0.05, 0.8], weak: [0.2, 0.08] },
  'centre x4': { silent: [0.1, 0.08], weak: [0.03, 0.03] },
};
const which = process.argv[3] ?? 'all';
const shares = (process.argv[4] ?? '0.1,0.33').split(',').map(Number);
const hands = Object.entries(HANDS);
if (which !== 'model') {
  print(
    'Notes in order',
    hands.map(([name, hand]) => row(name, hand, null, 0)),
  );
  for (const share of shares) {
    print(
      `${100 * share} % of the notes fail`,
      hands.flatMap(([name, hand]) => [
        ...[0.1, 0.2, 0.4].map((rate) => row(`${name}, ${100 * rate} % silent`, hand, every(rate), share)),
        row(`${name}, 25 % doubles`, hand, { doubles: 0.25 }, share),
      ]),
    );
  }
  const worse: [string, Hand][] = [0.9, 0.5, 0, -0.5].map((over) => [
    `hand ${over}`,
    { over, within: 0.8, between: 0.3 },
  ]);
  worse.push(
    ['uneven hand 1.5', { over: 1.5, within: 0.8, between: 0.6 }],
    ['deep hand', { over: 4, within: 0.6, between: 0.3 }],
  );
  print(
    'Other hands, all notes in order',
    worse.map(([name, hand]) => row(name, hand, null, 0)),
  );
}
if (which !== 'plain') {
  print(
    'Faults of a model, 10 % of the notes',
    Object.entries(MODEL).map(([name, fault]) => row(name, HANDS.one, fault, 0.1)),
  );
}
