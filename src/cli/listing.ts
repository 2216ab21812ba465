/**
 * An analysis document as text for a person: rounded, in trade words. Full precision stands in the JSON alone.
 */

import type {
  AnalysisDocument,
  Measure,
  MeasureKind,
  NoteResult,
  PooledDocument,
  Source,
  Verdict,
} from '../analysis/document.ts';
import { keyName } from '../piano/keys.ts';
import { NOTHING, tableLines, type Column } from './table.ts';

type Document = AnalysisDocument | PooledDocument;
type Stroke = Document['strokes'][number];

type Doubt = Stroke['doubt'][number];
type Absence = NonNullable<Stroke['absent']['contact']>;

const VERDICT_WORDS: Readonly<Record<Verdict, string>> = {
  steady: 'Steady',
  watch: 'Watch',
  unstable: 'Unstable',
  insufficient: 'Not enough yet',
};

const DOUBT_WORDS: Readonly<Record<Doubt, string>> = {
  'period-ambiguous': 'may be one swing of the string off',
  'inferred-from-beat': 'placed by the beat',
  'two-candidates': 'two contacts fit',
  'low-fit': 'unlike the note\u2019s other strokes',
  'no-template': 'nothing to compare it with',
  clipped: 'clipped',
  'note-uncertain': 'note not sure',
  'cut-off': 'cut off by the end of the recording',
  'other-sound': 'may be another sound than a piano string',
  'several-notes': 'other notes sound with it',
  'not-a-take': 'too few or too irregular for a take',
};

/** How to read the table; once for all files. */
export const HOW_TO_READ: readonly string[] = [
  'Watch: quick repeats of this note plainly fail: three or more stayed silent, so see to it first.',
  'Not enough yet is no praise: this version lists what was heard and only says "Watch" where repeats plainly fail.',
  'Whether a hammer comes to rest in one place is not judged yet, so no note is called Steady or Unstable.',
  'Uneven: how far quick strokes stray from an even beat, in 100 of the time between two, the hand still in it; in 9 of 10 takes it lies within the brackets. Timed to: how well the strokes of a note are timed against each other.',
  'Contacts: slow strokes whose finger-key contact was heard; Travel: the time from it to the tone, at the loudness it was played with. "none heard" is an answer: a pressed key makes no sound.',
  'No failed repeat is no proof: none of 8 still allows about 1 in 3, none of 12 about 1 in 5; --strokes says which strokes are in doubt and why.',
];

/** The listing of one recording or of several pooled: headings, warnings, notes, and each stroke where asked for. */
export function listing(document: Document, withStrokes: boolean): string {
  const lines = [...headings(document), ''];
  for (const warning of document.warnings) {
    const place = 'source' in warning ? `recording ${warning.source + 1}, ` : '';
    lines.push(`Warning (${place}${warning.code}): ${warning.message}`);
  }
  if (document.warnings.length > 0) lines.push('');
  if (document.notes.length > 0) {
    lines.push(...noteTable(document), '');
    const findings = document.notes.filter((note) => note.findings.length > 0).map(findingLine);
    if (findings.length > 0) lines.push(...findings, '');
  }
  const strokes: readonly Stroke[] = document.strokes;
  const nameless = strokes.filter((stroke) => stroke.midi === null).length;
  if (nameless > 0) lines.push(`${counted(nameless, 'stroke')} could not be given to a note.`, '');
  if (withStrokes && strokes.length > 0) lines.push(...strokeTable(strokes), '');
  return `${lines.join('\n')}\n`;
}

/** A line a recording, numbered where several are pooled. */
function headings(document: Document): string[] {
  if ('source' in document) return [heading(document.source)];
  return document.sources.map((source, i) => {
    const words = 'code' in source ? `${source.file}: not read: ${source.message}` : heading(source);
    return `${i + 1}. ${words}`;
  });
}

function heading(source: Source): string {
  const name = source.file === '-' ? 'standard input' : source.file;
  const channels = counted(source.channels, 'channel');
  return `${name}: ${source.durationSeconds.toFixed(1)} s, ${source.sampleRate} Hz, ${channels}`;
}

function noteTable({ notes, strokes: all }: Document): string[] {
  const strokes: readonly Stroke[] = all;
  const heard = (note: NoteResult, passage: 'slow' | 'fast') =>
    strokes.filter((s) => s.midi === note.midi && s.passage === passage && s.kind === 'sounded').length;
  const doubtful = (note: NoteResult) => strokes.filter((s) => s.midi === note.midi && s.doubt.length > 0).length;
  return tableLines<NoteResult>(
    [
      { title: 'Note', side: 'left', cell: (note) => note.name },
      { title: 'Verdict', side: 'left', cell: (note) => VERDICT_WORDS[note.verdict] },
      { title: 'Slow', side: 'right', cell: (note) => String(heard(note, 'slow')) },
      { title: 'Fast', side: 'right', cell: (note) => String(heard(note, 'fast')) },
      { title: 'Rate /s', side: 'right', cell: (note) => withMeasure(note, 'rate', ({ value }) => value.toFixed(1)) },
      { title: 'Uneven', side: 'right', cell: (note) => withMeasure(note, 'fast-unevenness', withBrackets) },
      {
        title: 'Level spread',
        side: 'right',
        cell: (note) => withMeasure(note, 'fast-level-spread', ({ value }) => `${value.toFixed(1)} dB`),
      },
      {
        title: 'Failed repeats',
        side: 'right',
        cell: (note) => withMeasure(note, 'failed-repeats', ({ value, n }) => `${Math.round(value * n)} of ${n}`),
      },
      {
        title: 'Contacts',
        side: 'right',
        cell: (note) => withMeasure(note, 'contacts-heard', ({ value, n }) => `${Math.round(value * n)} of ${n}`),
      },
      {
        title: 'Travel',
        side: 'right',
        cell: (note) => withMeasure(note, 'travel-time', ({ value }) => `${value.toFixed(0)} ms`),
      },
      {
        title: 'Timed to',
        side: 'right',
        cell: (note) => withMeasure(note, 'onset-error', ({ value }) => `${value.toFixed(3)} ms`),
      },
      { title: 'In doubt', side: 'right', cell: (note) => String(doubtful(note)) },
    ],
    notes,
  );
}

function withMeasure(note: NoteResult, kind: MeasureKind, say: (measure: Measure) => string): string {
  const measure = note.measures.find((candidate) => candidate.kind === kind);
  return measure ? say(measure) : NOTHING;
}

function withBrackets({ value, interval: [low, high] }: Measure): string {
  return `${value.toFixed(1)} (${low.toFixed(1)} to ${high.toFixed(1)})`;
}

/** What the hand would feel, then the evidence, kinds apart. */
function findingLine({ name, findings }: NoteResult): string {
  const evidence = findings.map(({ kind, size, unit, n }) => {
    const count = unit === 'share' ? `${Math.round(size * n)} of ${n}` : `${size.toFixed(1)} ${unit}, ${n} strokes`;
    if (kind === 'missed-repeats') return `${count} did not speak`;
    return kind === 'weak-repeats' ? `${count} came out weak` : `${kind.replaceAll('-', ' ')} ${count}`;
  });
  return `${name}: quick repeats fail; ${evidence.join(', ')}.`;
}

/** Number of a stroke's recording, as in the headings. */
const RECORDING: Column<Stroke> = {
  title: 'Recording',
  side: 'right',
  cell: (stroke) => ('source' in stroke ? String(stroke.source + 1) : NOTHING),
};

function strokeTable(strokes: readonly Stroke[]): string[] {
  return tableLines<Stroke>(
    [
      ...(strokes.some((stroke) => 'source' in stroke) ? [RECORDING] : []),
      { title: 'Time (s)', side: 'right', cell: (stroke) => stroke.timeSeconds.toFixed(4) },
      { title: 'Note', side: 'left', cell: ({ midi }) => (midi === null ? NOTHING : keyName(midi)) },
      { title: 'Take', side: 'right', cell: (stroke) => String(stroke.take) },
      { title: 'Stroke', side: 'left', cell: (stroke) => stroke.kind },
      { title: 'Passage', side: 'left', cell: (stroke) => stroke.passage ?? NOTHING },
      {
        title: 'Level',
        side: 'right',
        cell: ({ levelDb }) => (levelDb === null ? NOTHING : `${levelDb.toFixed(1)} dB`),
      },
      { title: 'Travel', side: 'right', cell: travelCell },
      { title: 'Sure', side: 'right', cell: ({ confidence }) => `${Math.floor(100 * confidence)} in 100` },
      {
        title: 'In doubt because',
        side: 'left',
        cell: ({ doubt }) => doubt.map((code) => DOUBT_WORDS[code]).join(', ') || NOTHING,
      },
    ],
    strokes,
  );
}

const ABSENT_WORDS: Readonly<Record<Absence, string>> = {
  'none-heard': 'none heard',
  masked: 'covered',
  'two-candidates': 'two heard',
  'outside-recording': 'outside',
  'not-sought': NOTHING,
  'not-known': NOTHING,
};

/** From the finger's contact to the tone, or why it is not known. */
function travelCell({ contactSeconds, onsetSeconds, absent }: Stroke): string {
  if (contactSeconds !== null && onsetSeconds !== null)
    return `${(1000 * (onsetSeconds - contactSeconds)).toFixed(1)} ms`;
  return absent.contact ? ABSENT_WORDS[absent.contact] : NOTHING;
}

function counted(n: number, thing: string): string {
  return `${n} ${thing}${n === 1 ? '' : 's'}`;
}
