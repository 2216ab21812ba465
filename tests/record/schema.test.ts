/** The published JSON Schema of the record: as generated, and of one mind with the program. */

import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { check } from '../../src/record/check.ts';
import { RECORD_VERSION } from '../../src/record/types.ts';
import { changed, fullThing, leavesOf, SHELVES, thingsOf } from './generated.ts';
import { SCHEMA_FILE, schemaText } from './jsonSchema.ts';

const published = readFileSync(SCHEMA_FILE, 'utf8');
const ajv = new Ajv2020({ strict: true, strictTuples: false });
ajv.addSchema(JSON.parse(published) as object);

/** Whether ajv takes a thing, as JSON, for one of a shelf. */
function accepts(shelf: string, thing: unknown): boolean {
  const validate = ajv.getSchema(`urn:evenfall:record:${RECORD_VERSION}#/$defs/${shelf}`);
  if (!validate) throw new Error(`no definition of ${shelf}`);
  const asJson = JSON.stringify(thing, (_, value: unknown) => (value instanceof Int16Array ? [...value] : value));
  return validate(JSON.parse(asJson)) === true;
}

describe('the published schema', () => {
  it('is as generated', async () => {
    expect(published, 'npx tsx tests/record/writeSchema.ts writes it anew').toBe(await schemaText());
  });

  it.each(SHELVES)('%s: accepts what the program accepts', (shelf) => {
    fc.assert(
      fc.property(thingsOf(shelf), (thing) => accepts(shelf, thing)),
      { numRuns: 50 },
    );
    expect(accepts(shelf, { ...fullThing(shelf), more: [1] })).toBe(true);
  });

  it.each(SHELVES)('%s: agrees with the program on damage in every place', (shelf) => {
    const whole = fullThing(shelf);
    let refused = 0;
    for (const path of leavesOf(whole)) {
      // JSON knows a list of samples only as numbers.
      if (path.at(-1) === 'samples') continue;
      for (const value of [undefined, null, 'odd', '', -7, 0.5, 1e12, true, {}, [], ['odd']]) {
        const broken = changed(whole, path, value);
        if (value === undefined && /^\d+$/.test(path.at(-1)!)) continue;
        const { refusal } = check(shelf, broken);
        if (refusal) refused++;
        // Of fields that must fit each other, and of newer things, the schema says less.
        if (refusal && /^(a key|frames up)/.test(refusal.expected)) continue;
        expect(accepts(shelf, broken), `${path.join('.')} = ${JSON.stringify(value)}`).toBe(refusal === null);
      }
    }
    expect(refused).toBeGreaterThan(30);
  });
});
