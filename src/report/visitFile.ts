/**
 * A visit as one JSON file, `evenfall.visit/1`: all that is kept of it, and its rounds as judged and compared.
 *
 * The JSON Schema stands beside it in `visit.schema.json`. Sound is not in it (a backup has that), so its takes have no pieces. What
 * is read is held to the record's schemas: older things are migrated, newer and damaged ones refused by name, and the documents are
 * let be as they stand.
 */

import { check } from '../record/check.ts';
import type { Shelf, Shelves } from '../record/types.ts';
import type { ReportedVisit, VisitThings } from './visit.ts';

export const VISIT_SCHEMA = 'evenfall.visit/1';

/** What stands in the file. */
export interface VisitFile extends VisitThings {
  readonly schema: typeof VISIT_SCHEMA;
  /** Rounds as judged by the program that wrote the file, by number; figures for other programs. */
  readonly judged: ReportedVisit['judged'];
  readonly compared: ReportedVisit['compared'];
  /** What could not be judged or compared, a sentence each. */
  readonly remarks: readonly string[];
  /** The piano and its sound are invented. */
  readonly invented: boolean;
}

/** Why a text is no such file. */
export class VisitFileError extends Error {
  override readonly name = 'VisitFileError';
  constructor(
    readonly found: string,
    readonly expected: string,
    /** It was made by a newer program, or things in it were. */
    readonly newer = false,
  ) {
    super(`${found}; expected ${expected}`);
  }
}

/** The file of a visit. */
export function visitFile(reported: ReportedVisit): VisitFile {
  const { piano, visit, rounds, adjustments, gauges, marks, hours, reference, judged, compared, remarks, invented } =
    reported;
  const takes = reported.takes.map((take) => ({ ...take, pieces: 0 }));
  return {
    schema: VISIT_SCHEMA,
    ...{
      invented,
      piano,
      visit,
      rounds,
      takes,
      adjustments,
      gauges,
      marks,
      hours,
      reference,
      judged,
      compared,
      remarks,
    },
  };
}

/** Its text. */
export function visitText(reported: ReportedVisit): string {
  return `${JSON.stringify(visitFile(reported), null, 2)}\n`;
}

const LISTS = ['rounds', 'takes', 'adjustments', 'gauges', 'marks', 'hours'] as const;

/**
 * Reads such a file.
 * @throws VisitFileError saying what was found and what was expected.
 */
export function readVisitFile(text: string): VisitFile {
  let parsed: unknown;
  try {
    parsed = JSON.parse(text);
  } catch {
    throw new VisitFileError('no whole JSON', `a visit (${VISIT_SCHEMA})`);
  }
  const fields = (typeof parsed === 'object' && parsed !== null ? parsed : {}) as Readonly<Record<string, unknown>>;
  const version = /^evenfall\.visit\/(\d+)$/.exec(typeof fields.schema === 'string' ? fields.schema : '');
  if (!version) throw new VisitFileError(schemaFound(fields.schema), `a visit (${VISIT_SCHEMA})`);
  if (fields.schema !== VISIT_SCHEMA) {
    const found = `${String(fields.schema)}, from another Evenfall`;
    throw new VisitFileError(found, `${VISIT_SCHEMA}: update this one`, true);
  }
  const piano = checked('pianos', fields.piano);
  const visit = checked('visits', fields.visit);
  if (visit.pianoId !== piano.id)
    throw new VisitFileError('a visit to another piano than the one in the file', 'its own piano');
  const [rounds, takes, adjustments, gauges, marks, hours] = LISTS.map((shelf) => list(fields, shelf));
  const things = {
    rounds: rounds.map((one) => checked('rounds', one)),
    takes: takes.map((one) => checked('takes', one)),
    adjustments: adjustments.map((one) => checked('adjustments', one)),
    gauges: gauges.map((one) => checked('gauges', one)),
    marks: marks.map((one) => checked('marks', one)),
    hours: hours.map((one) => checked('hours', one)),
  };
  for (const shelf of LISTS) {
    const stray = things[shelf].findIndex(({ visitId }) => visitId !== visit.id);
    if (stray >= 0) throw new VisitFileError(`${shelf}.${stray} of another visit`, 'things of one visit alone');
  }
  return {
    schema: VISIT_SCHEMA,
    invented: fields.invented === true,
    piano,
    visit,
    ...things,
    reference:
      fields.reference === null || fields.reference === undefined ? null : checked('references', fields.reference),
    judged: list(fields, 'judged') as VisitFile['judged'],
    compared: list(fields, 'compared') as VisitFile['compared'],
    remarks: list(fields, 'remarks').map(String),
  };
}

function checked<S extends Shelf>(shelf: S, value: unknown): Shelves[S] {
  const { thing, refusal } = check(shelf, value);
  if (refusal)
    throw new VisitFileError(refusal.message.split('; expected ')[0], refusal.expected, refusal.code === 'newer');
  return thing;
}

function list(fields: Readonly<Record<string, unknown>>, name: string): readonly unknown[] {
  const found = fields[name];
  if (!Array.isArray(found)) throw new VisitFileError(`no "${name}"`, 'a list of them, which may be empty');
  return found;
}

function schemaFound(schema: unknown): string {
  return typeof schema === 'string' ? `a file of "${schema.slice(0, 60)}"` : 'JSON that says of itself no schema';
}
