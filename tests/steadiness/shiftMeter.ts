/**
 * Prints what the comparison with neighbours reaches: npx tsx tests/steadiness/shiftMeter.ts [sittings].
 * Made sittings: see playedPiano. Sizes in percent of the travel time, negative for early.
 */

import { asText, figure } from '../accuracy/table.ts';
import { judgeShift } from '../../src/steadiness/support/shift.ts';
import { COMPASS, type Setting } from './playedPiano.ts';
import { eachOff, keysOff, shiftRates, withoutLevels } from './shiftMeasure.ts';

const sittings = Number(process.argv[2] ?? 40);
const asIs: typeof withoutLevels = ({ travel, hand }) => judgeShift(travel, hand);
const head = ['setting', 'false per 88', 'found', '90 % interval holds', 'could have shown %'];

function row(name: string, setting: Partial<Setting>, times = sittings, judge = asIs): string[] {
  const { falsePer88, found, coverage, couldHaveShown } = shiftRates(setting, times, judge);
  return [name, figure(falsePer88, 2), figure(found, 2), figure(coverage, 2), figure(couldHaveShown, 1)];
}

function print(title: string, rows: string[][]): void {
  console.log(asText({ title, rests: `${sittings} sittings a row`, head, rows }));
}

print(
  'Notes in order',
  [7, 14].flatMap((strokes) =>
    [false, true].flatMap((zero) =>
      [0.005, 0.01, 0.02, 0.03].map((scatter) => {
        const name = `${strokes} strokes, scatter ${100 * scatter} %${zero ? ', zeros scatter' : ''}`;
        return row(name, { strokes, scatter, zero });
      }),
    ),
  ),
);
for (const zero of [false, true]) {
  for (const keys of [COMPASS, COMPASS.slice(39, 59)]) {
    print(
      `${keys.length} notes off, good neighbours scatter 1 %${zero ? ', zeros scatter' : ''}`,
      [7, 14].flatMap((strokes) =>
        [0, 0.15, 0.33].flatMap((share) =>
          [-0.03, -0.05, -0.08, -0.12].map((size) => {
            // No others off: one key in the middle.
            const fault = share === 0 ? keysOff([keys[Math.floor(keys.length / 2)]], size) : eachOff(share, size);
            const name = `${strokes} strokes, ${100 * share} % others off, ${100 * size} %`;
            return row(name, { keys, strokes, zero, fault }, keys.length < 88 ? 4 * sittings : sittings);
          }),
        ),
      ),
    );
  }
}
const mixed: [string, Partial<Setting>][] = [
  ['black keys 3 ms late, none off', { blackMs: 3 }],
  ['black keys 3 ms late, 15 % off by -8 %', { blackMs: 3, fault: eachOff(0.15, -0.08) }],
  ['black keys 3 ms late, 14 strokes, 15 % off by -8 %', { blackMs: 3, strokes: 14, fault: eachOff(0.15, -0.08) }],
  ['block of 5 keys off by -8 %, 14 strokes', { strokes: 14, fault: keysOff([60, 61, 62, 63, 64], -0.08) }],
  ['block of 5 keys off by -12 %, 14 strokes', { strokes: 14, fault: keysOff([60, 61, 62, 63, 64], -0.12) }],
  [
    'block of 12 keys off by -12 %, 14 strokes',
    {
      strokes: 14,
      fault: keysOff(
        COMPASS.filter((m) => m >= 60 && m < 72),
        -0.12,
      ),
    },
  ],
  ['strings 0.5 dB', { stringsDb: 0.5 }],
  ['strings 1.5 dB', { stringsDb: 1.5 }],
  ['strings 1.5 dB, 14 strokes, 15 % off by -12 %', { stringsDb: 1.5, strokes: 14, fault: eachOff(0.15, -0.12) }],
  ['player 1.5 dB between notes', { playerDb: 1.5 }],
  ['strings and player 1 dB', { stringsDb: 1, playerDb: 1 }],
];
print(
  'Other pianos and players, 7 strokes unless said',
  mixed.map(([name, setting]) => row(name, setting)),
);
print(
  'The same without the regression on the mean levels',
  mixed.slice(-5).map(([name, setting]) => row(name, setting, sittings, withoutLevels)),
);
