/** `evenfall plan` as shipped: each plan, its document against the schema, arguments that make no sense. */

import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { minutes, sampled } from '../../src/piano/notePlans.ts';
import { PATTERNS, PLAN_KINDS } from '../../src/piano/plan.ts';
import { patternWords, planDocument, planLines, type PlanDocument } from '../../src/piano/planDocument.ts';
import { KEYS_88, USUAL_BREAKS } from '../../src/piano/sections.ts';
import { BuiltBin } from './builtBin.ts';

const schema = JSON.parse(readFileSync(new URL('../../src/piano/plan.schema.json', import.meta.url), 'utf8')) as object;
const check = new Ajv2020({ strict: true, strictRequired: false }).compile(schema);
const PIANO = { compass: KEYS_88, breaks: USUAL_BREAKS, usualBreaks: true };

let bin: BuiltBin;
beforeAll(async () => {
  bin = await BuiltBin.make();
}, 60_000);
afterAll(() => bin.remove());

async function planned(...args: string[]): Promise<PlanDocument> {
  const { code, stdout, stderr } = await bin.run(['plan', '--json', ...args]);
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  const document = JSON.parse(stdout) as PlanDocument;
  expect(check(document), JSON.stringify(check.errors)).toBe(true);
  return document;
}
const names = ({ steps }: PlanDocument) => steps.map(({ name }) => name).join(' ');

describe('a plan', () => {
  it('without options is the sampled notes, with minutes', async () => {
    const { code, stdout } = await bin.run(['plan']);
    expect(code).toBe(0);
    expect(stdout).toMatch(/^Sampled notes: .*\n21 notes, about 5 minutes of play\.\nEach: 8 slow strokes/);
    expect(stdout).toContain('Bass         A0 B0 E1 B1 E2 A#2\n');
    const document = await planned();
    expect(document).toMatchObject({ kind: 'sampled', usualBreaks: true });
    expect(document.minutes).toBeCloseTo(minutes(sampled()), 12);
  });

  it('is one section of the piano whose breaks are given, by name or number', async () => {
    const one = await planned('--kind', 'section', '--section', 'TENOR', '--breaks', 'F2,C#5');
    expect(one.sections.map(({ name }) => name)).toEqual(['Bass', 'Tenor', 'Treble']);
    expect([one.steps[0].name, one.steps.at(-1)!.name, one.usualBreaks]).toEqual(['F2', 'C5', false]);
    expect(await planned('--kind', 'section', '--section', '2', '--breaks', 'F2,C#5')).toEqual(one);
  });

  it('is the whole compass, one note, picked notes, open notes, or what to hear after work', async () => {
    expect((await planned('--kind', 'compass', '--compass', 'A0-A7')).steps).toHaveLength(85);
    expect(names(await planned('--kind', 'one-note', '--notes', 'F#4'))).toMatch(/^C4 .* F#4 .* C5$/);
    expect(names(await planned('--notes', 'A4, C#5 Bb2-C3'))).toBe('A#2 B2 C3 A4 C#5');
    const open = await planned('--open', 'B3 D#3');
    expect([names(open), open.steps[0].asked]).toEqual(['D#3 B3', 'open']);
    const after = await planned('--turned', 'D#3', '--in-order', 'A0-C2');
    expect(after).toMatchObject({ kind: 'after-adjustment' });
    expect(names(after)).toMatch(/ D3 D#3 E3$/);
    expect(after.steps).toHaveLength(13);
    const { stdout } = await bin.run(['plan', '--turned', 'D#3']);
    expect(stdout).toContain('First seat each turned note with a few firm blows');
  });

  it.each([
    [['--notes', 'H4'], '--notes: "H4" names no piano key; expected a name from A0 to C8'],
    [['--notes', 'A4', '--compass', 'C5-C6'], '--notes: "A4": A4 is not on this piano; expected C5 to C6'],
    [['--kind', 'sampled', '--notes', 'A4'], '--notes: given with a plan of kind sampled; expected --kind one-note'],
    [['--kind', 'hand-picked'], '--notes: not given; expected the notes to play'],
    [['--kind', 'one-note', '--notes', 'A4 B4'], '--notes: 2 notes; expected the one note in question'],
    [['--kind', 'section'], '--section: not given; expected one of 1 Bass, 2 Tenor, 3 Treble, 4 High treble'],
    [['--kind', 'section', '--section', '9'], '--section: "9"; expected one of 1 Bass'],
    [['--section', 'Bass'], '--section: given with a plan of kind sampled; expected --kind section'],
    [['--compass', 'A4'], '--compass: "A4"; expected the lowest and the highest key'],
    [['--breaks', 'A0'], '--breaks: a section cannot begin at A0; expected a key above A0'],
    [['--turned', 'A4', '--open', 'B4'], '--turned, --open: given together; expected one of them'],
    [['--in-order', 'A4'], '--in-order: given without --turned; expected the notes that were turned'],
    [['--kind', 'odd'], "option '--kind <kind>' argument 'odd' is invalid"],
  ])('%j is refused by name', async (args, message) => {
    const { code, stdout, stderr } = await bin.run(['plan', ...args]);
    expect({ code, stdout }).toEqual({ code: 2, stdout: '' });
    expect(stderr).toContain(message);
  });

  it('has help with examples', async () => {
    const { code, stdout } = await bin.run(['plan', '--help']);
    expect(code).toBe(0);
    expect(stdout).toContain('Examples:');
    expect(stdout).toContain('--turned "D#3 B3"');
  });
});

describe('the document', () => {
  it('has the lists of its schema', () => {
    const plan = planDocument(sampled(), PIANO);
    const holds = (more: object) => check({ ...plan, ...more });
    for (const kind of PLAN_KINDS) expect(holds({ kind })).toBe(true);
    for (const asked of PATTERNS) expect(holds({ steps: [{ ...plan.steps[0], asked }] })).toBe(true);
    expect(holds({ kind: 'odd' })).toBe(false);
    expect(holds({ steps: [{ ...plan.steps[0], asked: 'odd' }] })).toBe(false);
    for (const field of Object.keys(plan)) expect(holds({ [field]: undefined }), field).toBe(false);
  });

  it('has words for every pattern and every kind', () => {
    for (const asked of PATTERNS) expect(patternWords(asked)).toMatch(/^\d+ /);
    for (const kind of PLAN_KINDS) {
      const [title] = planLines(planDocument({ kind, steps: [{ midi: 60, asked: 'open' }] }, PIANO));
      expect(title).toMatch(/^[A-Z].*\.$/);
    }
  });
});
