/** Things that a schema of the record describes, generated from the schema itself. */

import fc from 'fast-check';
import { SCHEMAS } from '../../src/record/schemas.ts';
import type { Piano, Shelf, Shelves, Take } from '../../src/record/types.ts';

/** What the generator reads of a schema. */
interface Node {
  readonly type: string;
  readonly entries?: Readonly<Record<string, Node>>;
  readonly item?: Node;
  readonly items?: readonly Node[];
  readonly value?: Node;
  readonly wrapped?: Node;
  readonly options?: readonly string[];
  readonly literal?: unknown;
  readonly pipe?: readonly Node[];
  readonly requirement?: unknown;
}

/** Values of a schema: every kind that the record's schemas are made of, and an error for any other. */
function valuesOf(node: Node): fc.Arbitrary<unknown> {
  const bound = (type: string) => node.pipe?.find((step) => step.type === type)?.requirement;
  const record = node.pipe?.find((step) => step.type === 'record');
  if (record) return valuesOf({ ...record, type: 'record' });
  const has = (type: string) => node.pipe?.some((step) => step.type === type) ?? false;
  switch (node.type) {
    case 'object':
      return fc.record(
        Object.fromEntries(Object.entries(node.entries!).map(([key, inner]) => [key, valuesOf(inner)])),
        {
          noNullPrototype: true,
        },
      );
    case 'array':
      return fc.array(valuesOf(node.item!), { maxLength: 3 });
    case 'strict_tuple':
      return fc.tuple(...node.items!.map(valuesOf));
    case 'record':
      return fc.dictionary(fc.stringMatching(/^[a-z]{1,8}$/), valuesOf(node.value!), {
        maxKeys: 3,
        noNullPrototype: true,
      });
    case 'nullable':
      return fc.option(valuesOf(node.wrapped!), { nil: null });
    case 'picklist':
      return fc.constantFrom(...node.options!);
    case 'literal':
      return fc.constant(node.literal);
    case 'boolean':
      return fc.boolean();
    case 'custom':
      return fc.int16Array({ maxLength: 20 });
    case 'string': {
      const pattern = bound('regex');
      return pattern instanceof RegExp
        ? textOf(pattern)
        : fc.string({ minLength: (bound('min_length') as number) ?? 0 });
    }
    case 'number': {
      const min = bound('min_value') as number | undefined;
      const max = bound('max_value') as number | undefined;
      if (has('integer')) return fc.integer({ min, max });
      return fc.double({ min, max, noNaN: true, noDefaultInfinity: true });
    }
    default:
      throw new Error(`no values known of "${node.type}"`);
  }
}

/** Text of the record's two patterns; times come as the program writes them. */
function textOf(pattern: RegExp): fc.Arbitrary<string> {
  const times = fc.date({ min: new Date('1990-01-01'), max: new Date('2200-01-01'), noInvalidDate: true });
  const versions = fc.tuple(fc.nat(20), fc.nat(20), fc.nat(20)).map((parts) => parts.join('.'));
  const texts = [times.map((date) => date.toISOString()), versions].map((texts) =>
    texts.filter((t) => pattern.test(t)),
  );
  return pattern.test('0.1.0') ? texts[1] : texts[0];
}

/** Things of a shelf; what their fields say of each other is put right. */
export function thingsOf<S extends Shelf>(shelf: S): fc.Arbitrary<Shelves[S]> {
  const things = valuesOf(SCHEMAS[shelf] as unknown as Node) as fc.Arbitrary<Shelves[Shelf]>;
  return things.map((thing) => {
    if (shelf === 'pianos') return inOrder(thing as Piano);
    return shelf === 'takes' ? { ...(thing as Take), gaps: [] } : thing;
  }) as fc.Arbitrary<Shelves[S]>;
}

function inOrder(piano: Piano): Piano {
  const keys = [...new Set([piano.lowest, piano.highest, ...piano.breaks])].sort((a, b) => a - b);
  const [lowest, ...rest] = keys.length > 1 ? keys : [21, 108];
  return { ...piano, lowest, highest: rest[rest.length - 1], breaks: rest.slice(0, -1), highestDamper: null };
}

export const SHELVES = Object.keys(SCHEMAS) as Shelf[];

/** The first of many generated things that fills every list, so that damage can be done anywhere. */
export function fullThing<S extends Shelf>(shelf: S): Shelves[S] {
  const filled = fc.sample(thingsOf(shelf), { numRuns: 300, seed: 5 });
  return filled.reduce((most, thing) => (leavesOf(thing).length > leavesOf(most).length ? thing : most));
}

/** Paths of all values in a thing; lists count by their first item. */
export function leavesOf(value: unknown, path: readonly string[] = []): (readonly string[])[] {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return [path];
  const inner = Object.entries(value).slice(0, Array.isArray(value) ? 1 : undefined);
  return [...(path.length > 0 ? [path] : []), ...inner.flatMap(([key, each]) => leavesOf(each, [...path, key]))];
}

/** A copy whose value at a path is another, or gone where that is undefined. */
export function changed(thing: unknown, path: readonly string[], value: unknown): unknown {
  const copy = structuredClone(thing);
  let holder = copy as Record<string, unknown>;
  for (const step of path.slice(0, -1)) holder = holder[step] as Record<string, unknown>;
  const last = path[path.length - 1];
  if (value === undefined) Reflect.deleteProperty(holder, last);
  else holder[last] = value;
  return copy;
}
