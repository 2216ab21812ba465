/**
 * The fields of kept things, as schemas. Every schema's message says in words what is expected: refusals repeat it.
 *
 * Lists come out as readonly arrays, as in the types. Every number is finite, because JSON holds no other.
 */

import * as v from 'valibot';

/** Text that may be empty. */
export const words = () => v.string('text');

/** Text that is not empty: names, ids. */
export const named = (what = 'text that is not empty') => v.pipe(v.string(what), v.minLength(1, what));

/** A time in UTC as ISO 8601 writes it, to the second or finer. */
export function time() {
  const what = 'a time in UTC such as 2026-05-04T09:30:00Z';
  return v.pipe(
    v.string(what),
    v.regex(/^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])T([01]\d|2[0-3]):[0-5]\d:[0-5]\d(\.\d{1,9})?Z$/, what),
  );
}

/** The version of the analysis that made the numbers. */
export function analysisVersion() {
  const what = 'a version such as 1.2.0';
  return v.pipe(v.string(what), v.regex(/^[0-9]+\.[0-9]+\.[0-9]+/, what));
}

/** A whole number within limits. */
export function whole(least: number, most: number = Number.MAX_SAFE_INTEGER) {
  const what =
    most === Number.MAX_SAFE_INTEGER ? `a whole number from ${least}` : `a whole number from ${least} to ${most}`;
  return v.pipe(v.number(what), v.integer(what), v.minValue(least, what), v.maxValue(most, what));
}

/** A number within limits, both included. */
export function from(least: number, most: number) {
  const what = `a number from ${least} to ${most}`;
  return v.pipe(v.number(what), v.minValue(least, what), v.maxValue(most, what));
}

/** Any number but infinities. */
export const real = () => v.pipe(v.number('a number'), v.finite('a number'));

/** A time span or place in time, seconds from a beginning. */
export const seconds = () => from(0, 1e9);

/** A key of any piano: MIDI number, 0 to 127. Pianos end at 21 and 108; some go further. */
export const key = () => whole(0, 127);

export const yesNo = () => v.boolean('true or false');

/** One of a closed list. */
export const oneOf = <const L extends readonly string[]>(list: L) => v.picklist(list, list.join(', '));

/** Exactly this. */
export const exactly = <const T extends string | number>(value: T) => v.literal(value, JSON.stringify(value));

/** What is not known is null. */
export const orNull = <S extends v.GenericSchema>(schema: S) => v.nullable(schema);

/** A list of things of one shape. */
export const list = <S extends v.GenericSchema>(item: S) => v.pipe(v.array(item, 'a list'), v.readonly());

/** A lower and an upper bound. */
export const interval = () => v.pipe(v.strictTuple([real(), real()], 'a lower and an upper bound'), v.readonly());

/** A thing with these fields. Others are let be: they are neither looked at nor lost. */
export const thing = <E extends v.ObjectEntries>(fields: E) => v.object(fields, 'an object');

/** Sound of 16 bit. JSON has no such list: there it is a list of whole numbers. */
export const sound16 = () =>
  v.custom<Int16Array<ArrayBuffer>>(
    (value) => value instanceof Int16Array && value.buffer instanceof ArrayBuffer,
    'samples of 16 bit (Int16Array)',
  );

/** Values under keys of their own choice. */
export const byName = <S extends v.GenericSchema>(value: S, what: string) =>
  v.pipe(
    // Lists and maps are objects too.
    v.custom<Readonly<Record<string, unknown>>>(
      (found) => Object.prototype.toString.call(found) === '[object Object]',
      what,
    ),
    v.record(v.string(), value, what),
  );
