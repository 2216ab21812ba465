/**
 * The form of a piano: what its fields show, and the piano that they make.
 *
 * Fields are text as it is typed. What can be read becomes the piano's; where a field cannot be read the piano keeps what it had, so
 * that a piano made from a form can always be kept.
 */

import { keyName } from '../../piano/keys.ts';
import { MEASURED, MEASURED_LENGTHS, unusualLength, type Measured } from '../../piano/measuredLengths.ts';
import { KEYS_85, KEYS_88, type Compass } from '../../piano/sections.ts';
import type { Piano } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';
import {
  keysShown,
  lengthShown,
  readKey,
  readKeptLength,
  readKeys,
  readNumber,
  type LengthUnit,
} from '../fields/readFields.ts';
import { lengthsIn } from '../lengths.ts';

export const COMPASSES = ['88', '85', 'other'] as const;

export interface PianoDraft extends Readonly<Record<Measured, string>> {
  readonly name: string;
  readonly place: string;
  readonly kind: Piano['kind'];
  readonly lengthCm: string;
  readonly compass: (typeof COMPASSES)[number];
  /** Read only where the compass is another. */
  readonly lowest: string;
  readonly highest: string;
  readonly breaks: string;
  readonly highestDamper: string;
  readonly order: Piano['order'];
}
export type PianoField = keyof PianoDraft;

/** What is to be said beside fields, by field. */
export type Said<Field extends string> = Readonly<Partial<Record<Field, string>>>;

export interface PianoRead {
  readonly piano: Piano;
  /** Why a field was not read: what was found, what is expected. */
  readonly faults: Said<PianoField>;
  /** What is kept, but is seldom so. */
  readonly unusual: Said<PianoField>;
}

/** The fields of a piano as it is kept. */
export function pianoDraft(piano: Piano, unit: LengthUnit): PianoDraft {
  const is = ({ lowest, highest }: Compass) => piano.lowest === lowest && piano.highest === highest;
  return {
    name: piano.name,
    place: piano.place ?? '',
    kind: piano.kind,
    lengthCm: piano.lengthCm === null ? '' : String(piano.lengthCm),
    compass: is(KEYS_88) ? '88' : is(KEYS_85) ? '85' : 'other',
    lowest: keysShown([piano.lowest]),
    highest: keysShown([piano.highest]),
    breaks: keysShown(piano.breaks),
    highestDamper: piano.highestDamper === null ? '' : keysShown([piano.highestDamper]),
    ...lengthsOf((kind) => lengthShown(piano.targets[kind], unit)),
    order: piano.order,
  };
}

function lengthsOf<T>(of: (kind: Measured) => T): Record<Measured, T> {
  return Object.fromEntries(MEASURED.map((kind) => [kind, of(kind)])) as Record<Measured, T>;
}

/** Beyond lies no piano; what is usual: common practice, no source. */
const LENGTH_CM = { least: 50, most: 500, grand: [130, 310], upright: [85, 160] } as const;

/** The piano that the fields make; `kept` is what it was. */
export function readPiano(draft: PianoDraft, kept: Piano, unit: LengthUnit): PianoRead {
  const faults: Partial<Record<PianoField, string>> = {};
  const unusual: Partial<Record<PianoField, string>> = {};
  const { kind } = draft;
  const name = draft.name.trim();
  if (name === '') faults.name = 'Found nothing; expected a name by which you know it again.';
  const long = readNumber(draft.lengthCm, lengthWords(kind), LENGTH_CM.least, LENGTH_CM.most);
  if (long.fault !== null) faults.lengthCm = long.fault;
  const [low, high] = LENGTH_CM[kind];
  if (long.value !== null && (long.value < low || long.value > high)) {
    unusual.lengthCm = `Unusual: most are ${low} to ${high} cm. It is kept all the same.`;
  }
  const compass = readCompass(draft, kept, faults);
  const targets = lengthsOf((measured) => {
    const { least, most } = MEASURED_LENGTHS[measured];
    const read = readKeptLength(draft[measured], kept.targets[measured], unit, least, most);
    if (read.fault !== null) faults[measured] = read.fault;
    const words = read.value === null ? null : unusualLength(measured, read.value, kind);
    if (words !== null) unusual[measured] = lengthsIn(unit, words);
    return read.fault === null ? read.value : kept.targets[measured];
  });
  return {
    piano: {
      ...kept,
      ...compass,
      name: name || kept.name,
      place: draft.place.trim() || null,
      kind,
      lengthCm: long.fault === null ? long.value : kept.lengthCm,
      breaks: readBreaks(draft, kept, compass, faults),
      highestDamper: readDamper(draft, kept, compass, faults),
      targets,
      order: draft.order,
    },
    faults,
    unusual,
  };
}

/** "a length in cm", "a height in cm". */
export function lengthWords(kind: Piano['kind']): string {
  return kind === 'grand' ? 'a length in cm' : 'a height in cm';
}

type Faults = Partial<Record<PianoField, string>>;

function readCompass({ compass, lowest, highest }: PianoDraft, kept: Piano, faults: Faults): Compass {
  if (compass === '88') return KEYS_88;
  if (compass === '85') return KEYS_85;
  const before = { lowest: kept.lowest, highest: kept.highest };
  const [low, high] = [readKey(lowest), readKey(highest)];
  const lacking = 'Found nothing; expected the name of a key such as A0 or C8.';
  if (low.value === null) faults.lowest = low.fault ?? lacking;
  if (high.value === null) faults.highest = high.fault ?? lacking;
  if (low.value === null || high.value === null) return before;
  if (high.value <= low.value) {
    faults.highest = `Found ${keyName(high.value)}; expected a key above the lowest, ${keyName(low.value)}.`;
    return before;
  }
  return { lowest: low.value, highest: high.value };
}

function readBreaks(draft: PianoDraft, kept: Piano, { lowest, highest }: Compass, faults: Faults): readonly MidiNote[] {
  const within = kept.breaks.filter((midi) => midi > lowest && midi <= highest);
  const read = readKeys(draft.breaks);
  if (read.fault !== null) {
    faults.breaks = read.fault;
    return within;
  }
  const keys = [...new Set(read.value)].sort((a, b) => a - b);
  const outside = keys.find((midi) => midi <= lowest || midi > highest);
  if (outside === undefined) return keys;
  faults.breaks = `Found ${keyName(outside)}; expected keys above ${keyName(lowest)} and up to ${keyName(highest)}: the first key of each section but the lowest.`;
  return within;
}

function readDamper(draft: PianoDraft, kept: Piano, { lowest, highest }: Compass, faults: Faults): MidiNote | null {
  const before = kept.highestDamper;
  const within = before !== null && before >= lowest && before <= highest ? before : null;
  const read = readKey(draft.highestDamper);
  if (read.fault !== null) {
    faults.highestDamper = read.fault;
    return within;
  }
  if (read.value === null || (read.value >= lowest && read.value <= highest)) return read.value;
  faults.highestDamper = `Found ${keyName(read.value)}; expected a key of this piano, ${keyName(lowest)} to ${keyName(highest)}.`;
  return within;
}
