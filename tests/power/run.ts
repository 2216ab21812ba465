/**
 * The meter of whole sittings: false alarms, what is found of planted faults, and what a piano costs in strokes and minutes.
 *
 *   npm run power                          every design; several minutes on one core
 *   npm run power -- --quick               a few sittings of the designs that goals rest on; about a minute
 *   npm run power -- --design plain-15     one design
 *   npm run power -- --sittings 100        so many sittings a design (times its weight)
 *   npm run power -- --sound               whole pianos from sound instead: some minutes
 *   npm run power -- --markdown            tables in Markdown
 *
 * Sittings go through the program's own judgement, stroke by stroke. Seeds are fixed: the same figures every time.
 */

import { parseArgs } from 'node:util';
import { asMarkdown, asText, type Table } from '../accuracy/table.ts';
import { designOf, DESIGNS } from './designs.ts';
import { soundTables } from './fromSound.ts';
import { GOALS } from './goals.ts';
import { couldHaveShown, falseFindings, goals, goodNotes, hands, intervals, plantedFaults, scores } from './tables.ts';
import { tallyOf } from './tally.ts';

const QUICK = 6;
const FULL = 16;

const { values } = parseArgs({
  options: {
    quick: { type: 'boolean', default: false },
    markdown: { type: 'boolean', default: false },
    sound: { type: 'boolean', default: false },
    design: { type: 'string' },
    sittings: { type: 'string' },
  },
});

const sittings = values.sittings === undefined ? (values.quick ? QUICK : FULL) : Number(values.sittings);
if (!Number.isInteger(sittings) || sittings < 1) {
  throw new RangeError(`--sittings is "${values.sittings}"; expected a whole number from 1`);
}
const tell = (what: string): void => void process.stderr.write(`${what} ...\n`);

function sittingTables(): Table[] {
  const aimedAt = DESIGNS.filter(({ id }) => GOALS.some((goal) => goal.design === id));
  const designs = values.design !== undefined ? [designOf(values.design)] : values.quick ? aimedAt : DESIGNS;
  const tallies = designs.map((design) => {
    tell(design.what);
    return tallyOf(design, sittings * design.weight);
  });
  return [goals, goodNotes, falseFindings, plantedFaults, hands, intervals, scores, couldHaveShown].map((table) =>
    table(tallies),
  );
}

for (const table of values.sound ? soundTables(tell) : sittingTables()) {
  if (table.rows.length > 0) console.log(values.markdown ? asMarkdown(table) : asText(table));
}
