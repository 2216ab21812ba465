/**
 * Checking what is to be kept, and what was kept: older things are migrated, newer and damaged ones refused by name.
 *
 * A refusal names the thing, the field, what was found and what was expected. What passes is the thing itself, not a copy, with
 * all its fields, unless it had to be migrated.
 */

import * as v from 'valibot';
import { expectedAt, shown } from './refusalWords.ts';
import { PIECE_SCHEMA, SCHEMAS } from './schemas.ts';
import { RECORD_VERSION, type Piano, type Shelf, type Shelves, type SoundPiece, type Take } from './types.ts';

/** Why a thing is no part of the record. */
export interface Refusal {
  /** `newer`: a later program made it. `damaged`: it is not what it should be. */
  readonly code: 'newer' | 'damaged';
  /** The field, such as `plan.steps.0.midi`; empty for the thing as a whole. */
  readonly field: string;
  readonly found: string;
  readonly expected: string;
  /** All of it in one sentence. */
  readonly message: string;
  /** What the person can do, one sentence. */
  readonly remedy: string;
}

export type Checked<T> =
  { readonly thing: T; readonly refusal: null } | { readonly thing: null; readonly refusal: Refusal };

/** Makes a thing of one version into one of the next; `recordVersion` is set by the caller. */
export type Migration = (old: Readonly<Record<string, unknown>>) => Record<string, unknown>;

/** Migrations by the version that they start from, and by shelf. A shelf that is not named did not change in that step. */
export type Migrations = Readonly<Record<number, Readonly<Partial<Record<Shelf, Migration>>>>>;

/** Every step from the first version of the record to {@link RECORD_VERSION}. */
export const MIGRATIONS: Migrations = {
  1: {
    pianos: (old) => ({ ...old, order: 'blow-first' }),
    visits: (old) => ({ ...old, readiness: [], newParts: '' }),
    rounds: (old) => ({
      ...old,
      setting: null,
      // As far as it stands there: the words come when it is judged again.
      summary:
        typeof old.summary === 'object' && old.summary !== null
          ? { ...old.summary, flagged: [], line: [] }
          : old.summary,
    }),
    adjustments: (old) => ({ ...old, undone: false }),
    gauges: (old) => ({ ...old, undone: false }),
  },
};

/** What a thing of a shelf is called. */
const NAMES: Readonly<Record<Shelf, string>> = {
  pianos: 'piano',
  visits: 'visit',
  rounds: 'round',
  takes: 'take',
  templates: 'note template',
  references: 'hand reference',
  adjustments: 'adjustment',
  gauges: 'gauge reading',
  marks: 'mark of the worklist',
  hours: 'stretch of work',
};

/**
 * The thing, if it is one of that shelf; migrated to the present version where it is older.
 * @param migrations - steps from older versions
 */
export function check<S extends Shelf>(
  shelf: S,
  value: unknown,
  migrations: Migrations = MIGRATIONS,
): Checked<Shelves[S]> {
  const what = called(NAMES[shelf], value);
  const present = migrated(shelf, value, what, migrations);
  if (present.refusal) return present;
  const fault = faultOf(SCHEMAS[shelf], present.thing, what) ?? beyondSchema(shelf, present.thing, what);
  // The compiler holds schema and type together; what a document holds beyond the schema is let be.
  return fault ? { thing: null, refusal: fault } : { thing: present.thing as unknown as Shelves[S], refusal: null };
}

/** The stretch of sound, if it is one. */
export function checkPiece(value: unknown): Checked<SoundPiece> {
  const fault = faultOf(PIECE_SCHEMA, value, 'stretch of sound');
  return fault ? { thing: null, refusal: fault } : { thing: value as SoundPiece, refusal: null };
}

type Fields = Readonly<Record<string, unknown>>;

function migrated(shelf: Shelf, value: unknown, what: string, migrations: Migrations): Checked<Fields> {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    return refused(what, '', shown(value), 'an object');
  }
  let thing = value as Fields;
  const stated = thing.recordVersion;
  if (typeof stated !== 'number' || !Number.isInteger(stated)) {
    return refused(what, 'recordVersion', shown(stated), `a whole number up to ${RECORD_VERSION}`);
  }
  if (stated > RECORD_VERSION) {
    const message = `${what}: made by a newer Evenfall (version ${stated} of the record; this one knows ${RECORD_VERSION})`;
    return {
      thing: null,
      refusal: {
        code: 'newer',
        field: 'recordVersion',
        found: shown(stated),
        expected: `a whole number up to ${RECORD_VERSION}`,
        message,
        remedy: 'Update this Evenfall; nothing of it was changed.',
      },
    };
  }
  for (let version = stated; version < RECORD_VERSION; version++) {
    if (!(version in migrations)) {
      return refused(what, 'recordVersion', shown(stated), `a version that this Evenfall can still read`);
    }
    const step = migrations[version][shelf];
    try {
      thing = { ...(step ? step(thing) : thing), recordVersion: version + 1 };
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      return refused(
        what,
        '',
        `one that cannot be brought from version ${version} to ${version + 1} (${reason})`,
        'a whole one',
      );
    }
  }
  return { thing, refusal: null };
}

function faultOf(schema: v.GenericSchema, value: unknown, what: string): Refusal | null {
  const { issues } = v.safeParse(schema, value, { abortEarly: true });
  if (!issues) return null;
  const [issue] = issues;
  const path = (issue.path ?? []).map(({ key }) => String(key));
  const expected = expectedAt(schema, path) ?? issue.message;
  return refused(what, path.join('.'), shown(issue.input), expected).refusal;
}

/** What only several fields together can say. */
function beyondSchema(shelf: Shelf, thing: Fields, what: string): Refusal | null {
  if (shelf === 'pianos') return pianoFault(thing as unknown as Piano, what);
  if (shelf === 'takes') return takeFault(thing as unknown as Take, what);
  return null;
}

function pianoFault({ lowest, highest, breaks, highestDamper }: Piano, what: string): Refusal | null {
  const fault = (field: string, found: number, expected: string) =>
    refused(what, field, shown(found), expected).refusal;
  if (highest <= lowest) return fault('highest', highest, `a key above the lowest, ${lowest}`);
  for (const [i, first] of breaks.entries()) {
    const below = i === 0 ? lowest : breaks[i - 1];
    if (first <= below || first > highest) {
      return fault(`breaks.${i}`, first, `a key above ${below}, up to the highest, ${highest}`);
    }
  }
  if (highestDamper !== null && (highestDamper < lowest || highestDamper > highest)) {
    return fault('highestDamper', highestDamper, `a key from ${lowest} to ${highest}, or null`);
  }
  return null;
}

function takeFault({ frames, gaps }: Take, what: string): Refusal | null {
  const outside = gaps.findIndex((gap) => gap.frame + gap.frames > frames);
  if (outside < 0) return null;
  const { frame, frames: length } = gaps[outside];
  return refused(what, `gaps.${outside}`, `${frame} to ${frame + length}`, `frames up to the take's end, ${frames}`)
    .refusal;
}

function called(kind: string, value: unknown): string {
  if (typeof value !== 'object' || value === null) return kind;
  const { name, id } = value as Fields;
  const own = [name, id].find((each) => typeof each === 'string' && each !== '');
  return own === undefined ? kind : `${kind} ${JSON.stringify(own)}`;
}

function refused(what: string, field: string, found: string, expected: string): { thing: null; refusal: Refusal } {
  const place = field === '' ? what : `${what}: "${field}"`;
  return {
    thing: null,
    refusal: {
      code: 'damaged',
      field,
      found,
      expected,
      message: `${place} is ${found}; expected ${expected}`,
      remedy: 'Everything else is as it was: read it from a copy, or leave it out.',
    },
  };
}
