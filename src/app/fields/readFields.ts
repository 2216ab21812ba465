/**
 * What people type into the fields of a form, read: lengths, numbers, names of keys. What cannot be is told in words that name what
 * was found and what is expected; it is never changed into something else.
 */

import { isKey, keyName, parseKeyName } from '../../piano/keys.ts';
import { inchesToMillimetres, millimetresToInches, type MidiNote, type Millimetres } from '../../units.ts';
import type { Settings } from '../settings.ts';
import { lengthsIn } from '../lengths.ts';

export type LengthUnit = Settings['lengths'];

/** What was read: a value (null for an empty field), or why there is none. */
export type Read<T> =
  { readonly value: T | null; readonly fault: null } | { readonly value: null; readonly fault: string };

const value = <T>(read: T | null): Read<T> => ({ value: read, fault: null });
const fault = (words: string): Read<never> => ({ value: null, fault: words });

/** With a decimal comma or point: "10,2", ".5". */
const DECIMAL = /^([+-]?)(\d*)(?:[.,](\d*))?$/;
/** A fraction, alone or apart from a whole number before it: "1/16", "1 3/4", "1-3/4". */
const FRACTION = /^([+-]?)(?:(\d+)[\s-]+)?(\d+)\s*\/\s*(\d+)$/;
const VULGAR = /[\u00bc-\u00be\u2150-\u215e]/g;

/** The number that a text is; null where it is none. */
export function numberIn(text: string): number | null {
  const plain = text
    .replace(VULGAR, (sign) => ` ${sign.normalize('NFKC').replace('\u2044', '/')}`)
    .replace('\u2212', '-')
    .trim();
  const signed = (sign: string, size: number) => (sign === '-' ? -size : size);
  const fraction = FRACTION.exec(plain);
  if (fraction) {
    const [, sign, whole, over, under] = fraction;
    return Number(under) === 0 ? null : signed(sign, Number(whole ?? 0) + Number(over) / Number(under));
  }
  const decimal = DECIMAL.exec(plain);
  if (!decimal) return null;
  const [, sign, whole, decimals] = decimal;
  return whole || decimals ? signed(sign, Number(`${whole || '0'}.${decimals || '0'}`)) : null;
}

/** Sums in two units differ in their last bits: a millionth of a millimetre is no difference. */
const NEAREST = 1e6;

const UNIT_NAMES = { mm: 'millimetres', inch: 'inches' } as const;

/**
 * A length in millimetres. A unit that is typed with it ("1 3/4 in", "44 mm") goes before the one that is set.
 * @param least - what can be at all, both ends included
 */
export function readLength(text: string, unit: LengthUnit, least: Millimetres, most: Millimetres): Read<Millimetres> {
  const match = /^(.*?)\s*(mm|in|inch|inches|"|\u2033)?$/i.exec(text.trim())!;
  if (match[1] === '' && match[2] === undefined) return value<Millimetres>(null);
  const said = match[2] === undefined ? unit : match[2].toLowerCase() === 'mm' ? 'mm' : 'inch';
  const number = numberIn(match[1]);
  if (number === null) {
    const such = unit === 'mm' ? '10.2' : '0.4, 1 3/4 or 1/16';
    return fault(`Found \u201c${text.trim()}\u201d; expected a length in ${UNIT_NAMES[unit]} such as ${such}.`);
  }
  const length = said === 'mm' ? number : Math.round(inchesToMillimetres(number) * NEAREST) / NEAREST;
  if (length < least || length > most) {
    const found = said === 'mm' ? `${number} mm` : `${match[1].trim()} in`;
    const other = said === 'mm' ? inchesToMillimetres(number) : number;
    // The commonest slip: the other unit.
    const meant =
      other >= least && other <= most
        ? ` If ${said === 'mm' ? 'inches' : 'millimetres'} were meant, write \u201c${match[1].trim()} ${said === 'mm' ? 'in' : 'mm'}\u201d.`
        : '';
    return fault(`Found ${found}; expected ${lengthsIn(unit, `${least} to ${most} mm`)}.${meant}`);
  }
  return value(length);
}

/** Fractions of an inch that are written as such: down to sixty-fourths. */
const SIXTY_FOURTHS = 64;
const SAME = 1e-4;

/** A length as a field shows it, without its unit: "10.2"; "1 3/4", "0.394". */
export function lengthShown(length: Millimetres | null, unit: LengthUnit): string {
  if (length === null) return '';
  if (unit === 'mm') return String(Number(length.toFixed(2)));
  const inches = millimetresToInches(length);
  const parts = Math.round(inches * SIXTY_FOURTHS);
  if (Math.abs(inches * SIXTY_FOURTHS - parts) > SAME) return String(Number(inches.toFixed(3)));
  const whole = Math.floor(parts / SIXTY_FOURTHS);
  let [over, under] = [parts % SIXTY_FOURTHS, SIXTY_FOURTHS];
  if (over === 0) return String(whole);
  while (over % 2 === 0) [over, under] = [over / 2, under / 2];
  return whole === 0 ? `${over}/${under}` : `${whole} ${over}/${under}`;
}

/**
 * As {@link readLength}; a field that shows a kept length unchanged is that length, not what its rounded figures come to.
 * @param kept - what the field showed at first
 */
export function readKeptLength(
  text: string,
  kept: Millimetres | null,
  unit: LengthUnit,
  least: Millimetres,
  most: Millimetres,
): Read<Millimetres> {
  return text.trim() === lengthShown(kept, unit) ? value(kept) : readLength(text, unit, least, most);
}

/**
 * A number within limits, both included.
 * @param what - as it stands after "expected": "a relative humidity in per cent"
 */
export function readNumber(text: string, what: string, least: number, most: number): Read<number> {
  if (text.trim() === '') return value<number>(null);
  const number = numberIn(text.replace(/%$/, ''));
  if (number === null) return fault(`Found \u201c${text.trim()}\u201d; expected ${what}, ${least} to ${most}.`);
  if (number < least || number > most) return fault(`Found ${number}; expected ${what}, ${least} to ${most}.`);
  return value(number);
}

/** A temperature in degrees Celsius; "70 F" is read as Fahrenheit. */
export function readTemperature(text: string, least: number, most: number): Read<number> {
  const match = /^(.*?)\s*\u00b0?\s*([cf])?$/i.exec(text.trim())!;
  const number = numberIn(match[1]);
  if (text.trim() === '') return value<number>(null);
  const expected = `expected a room temperature in \u00b0C, ${least} to ${most}, or with an F in Fahrenheit`;
  if (number === null) return fault(`Found \u201c${text.trim()}\u201d; ${expected}.`);
  const celsius = match[2]?.toLowerCase() === 'f' ? Math.round((number - 32) * (50 / 9)) / 10 : number;
  if (celsius < least || celsius > most) return fault(`Found ${celsius} \u00b0C; ${expected}.`);
  return value(celsius);
}

/** Sharps and flats as they are printed stand for those that are typed. */
function typed(name: string): string {
  return name.replace(/[\u266f]/g, '#').replace(/[\u266d]/g, 'b');
}

/** One key by its name. */
export function readKey(text: string): Read<MidiNote> {
  if (text.trim() === '') return value<MidiNote>(null);
  const read = readKeys(text);
  if (read.fault !== null) return read;
  if (read.value!.length > 1) return fault(`Found \u201c${text.trim()}\u201d; expected the name of one key.`);
  return value(read.value![0]);
}

/** Keys by their names, as they were typed, between commas or blanks. An empty field is an empty list. */
export function readKeys(text: string): Read<readonly MidiNote[]> {
  const names = text.split(/[\s,;]+/).filter((name) => name !== '');
  const keys: MidiNote[] = [];
  for (const name of names) {
    try {
      keys.push(parseKeyName(typed(name)));
    } catch {
      return fault(`Found \u201c${name}\u201d; expected names of keys from A0 to C8, such as E2, B3 or F#5.`);
    }
  }
  return value(keys);
}

/** Keys as a field shows them. */
export function keysShown(keys: readonly MidiNote[]): string {
  return keys.map((midi) => (isKey(midi) ? keyName(midi) : String(midi))).join(', ');
}
