/** The report as plain data: everything it says, in words and figures, before it is laid out. */

import { cautionsAt } from '../piano/cautions.ts';
import { UPRIGHT_WHY } from '../piano/uprights.ts';
import { VERDICTS_IN_ORDER } from './verdicts.ts';
import type { Verdict } from '../record/documents.ts';
import type { LineMark } from '../pictures/compass/platformLine.ts';
import { figure } from '../pictures/words.ts';
import { lineMarks } from './line.ts';
import { CANNOT_TELL, doneSentences, headlineOf, leadOf, nextSentences, trustSentences } from './ownerWords.ts';
import { standings, type NoteStanding } from './standing.ts';
import { technicianOf, type TechnicianSheet } from './technician.ts';
import { visitAsMeasured } from './uprights.ts';
import type { ReportedVisit } from './visit.ts';
import { dayWords, noteList } from './words.ts';

export interface VerdictCount {
  readonly verdict: Verdict;
  readonly now: number;
  /** Null where nothing was heard twice. */
  readonly before: number | null;
  /** The notes themselves, where they are few and not steady; empty otherwise. */
  readonly names: string;
}

/** A heading with its sentences. */
export interface Said {
  readonly title: string;
  readonly sentences: readonly string[];
}

export interface Report {
  /** "Aldervane 274, Quillwater Hall". */
  readonly piano: string;
  readonly day: string;
  /** Day, temperature and humidity, as far as they are known. */
  readonly circumstances: readonly string[];
  readonly headline: string;
  readonly lead: string;
  /** Adds up to the notes heard; null where nothing was. */
  readonly counts: readonly VerdictCount[] | null;
  /** Why an upright's verdicts say nothing of the rest and of causes; null for a grand. */
  readonly uprightWhy: string | null;
  /** One line, or two: before and after. Empty where nothing was heard. */
  readonly lines: readonly { readonly title: string; readonly marks: readonly LineMark[] }[];
  readonly said: readonly Said[];
  readonly trust: readonly string[];
  readonly technician: TechnicianSheet;
}

/** Makes the report of a visit. */
export function reportOf(kept: ReportedVisit): Report {
  const reported = visitAsMeasured(kept);
  const { piano, visit, utcOffsetMinutes } = reported;
  const notes = standings(reported);
  const grand = piano.kind === 'grand';
  const twice = notes.some(({ before, now }) => before.round !== now.round);
  const day = dayWords(visit.startedAt, utcOffsetMinutes);
  return {
    piano: [piano.name, piano.place].filter(Boolean).join(', '),
    day,
    circumstances: [
      day,
      ...(visit.temperatureC === null ? [] : [`${figure(visit.temperatureC, decimals(visit.temperatureC))} \u00b0C`]),
      ...(visit.humidityPercent === null ? [] : [`${figure(visit.humidityPercent)} % humidity`]),
    ],
    headline: headlineOf(notes),
    lead: leadOf(reported, notes),
    counts: notes.length > 0 ? VERDICTS_IN_ORDER.map((verdict) => countOf(verdict, notes, twice)) : null,
    uprightWhy: grand ? null : UPRIGHT_WHY,
    lines:
      notes.length === 0
        ? []
        : twice
          ? [
              { title: 'Before', marks: lineMarks(notes, 'before') },
              { title: 'After', marks: lineMarks(notes, 'now') },
            ]
          : [{ title: 'As heard', marks: lineMarks(notes, 'now') }],
    said: [
      { title: 'What was done', sentences: doneSentences(notes) },
      { title: 'What comes next', sentences: nextSentences(reported, notes) },
      { title: 'What sound cannot tell', sentences: [CANNOT_TELL] },
    ],
    trust: trustSentences(reported, notes),
    // On the bench is a grand's action alone.
    technician: technicianOf(reported, notes, cautionsAt('report'), grand ? cautionsAt('on the bench') : []),
  };
}

const MOST_NAMES = 4;

function countOf(verdict: Verdict, notes: readonly NoteStanding[], twice: boolean): VerdictCount {
  const now = notes.filter((note) => note.now.verdict === verdict).map(({ midi }) => midi);
  return {
    verdict,
    now: now.length,
    before: twice ? notes.filter((note) => note.before.verdict === verdict).length : null,
    names: verdict === 'steady' || now.length === 0 || now.length > MOST_NAMES ? '' : noteList(now, MOST_NAMES),
  };
}

function decimals(value: number): number {
  return Number.isInteger(value) ? 0 : 1;
}

/** What a file of the report is called, without its ending: "evenfall-aldervane-274-2026-05-18". */
export function reportName({ piano, visit }: Pick<ReportedVisit, 'piano' | 'visit'>): string {
  const plain = piano.name
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')
    .slice(0, 40);
  return ['evenfall', plain, visit.startedAt.slice(0, 10)].filter((part) => part !== '').join('-');
}
