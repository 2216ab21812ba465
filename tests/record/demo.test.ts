/** The demo visit in samples: every thing of it is one of the record as it is now, with no step to be taken. */

import { readFileSync } from 'node:fs';
import { gunzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { check } from '../../src/record/check.ts';
import { RECORD_VERSION, type Shelf } from '../../src/record/types.ts';

const packed = readFileSync(new URL('../../samples/demo/visit.packed', import.meta.url));
const demo = JSON.parse(gunzipSync(packed).toString()) as Readonly<Record<string, unknown>>;
const listOf = (name: string) => demo[name] as readonly { readonly recordVersion: number }[];
const LISTS: readonly (readonly [Shelf, readonly { readonly recordVersion: number }[]])[] = [
  ['pianos', [demo.piano as { recordVersion: number }]],
  ['visits', [demo.visit as { recordVersion: number }]],
  ...(['rounds', 'takes', 'adjustments', 'gauges', 'marks', 'hours'] as const).map(
    (shelf) => [shelf, listOf(shelf)] as const,
  ),
];

describe('the demo visit', () => {
  it.each(LISTS)('%s are whole', (shelf, things) => {
    expect(things.length).toBeGreaterThan(0);
    for (const thing of things) {
      expect(check(shelf, thing).refusal).toBeNull();
      expect(thing.recordVersion).toBe(RECORD_VERSION);
    }
  });

  it('has the line that Home shows', () => {
    const line = JSON.parse(readFileSync(new URL('../../samples/demo/line.json', import.meta.url), 'utf8')) as object;
    expect(line).toEqual((demo.rounds as readonly { summary: object }[])[0].summary);
  });
});
