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
} from '../analysis/document.ts';
import { cautionBlock, handLines, isDoubted, noteBlock, VERDICT_WORDS, waitingBlock } from './noteBlocks.ts';
import { strokeTable } from './strokeTable.ts';
import { NOTHING, tableLines } from './table.ts';

type Document = AnalysisDocument | PooledDocument;
type Stroke = Document['strokes'][number];

/** The listing of one recording or of several pooled: headings, warnings, advice, notes, the hand, each stroke where asked for. */
export function listing(document: Document, withStrokes: boolean): string {
  const lines = [...headings(document), ''];
  for (const warning of document.warnings) {
    const place = 'source' in warning ? `recording ${warning.source + 1}, ` : '';
    lines.push(`Warning (${place}${warning.code}): ${warning.message}`);
  }
  for (const { code, message } of document.advice) lines.push(`Advice (${code}): ${message}`);
  if (document.warnings.length + document.advice.length > 0) lines.push('');
  if (document.notes.length > 0) {
    lines.push(...noteTable(document), '');
    const doubted = document.notes.filter(({ verdict }) => isDoubted(verdict));
    for (const note of doubted) lines.push(...noteBlock(note), '');
    const waiting = waitingBlock(document.notes.filter(({ verdict }) => verdict === 'insufficient'));
    if (waiting.length > 0) lines.push(...waiting, '');
    const cautions = cautionBlock(doubted);
    if (cautions.length > 0) lines.push(...cautions, '');
    lines.push(...handLines(document), '');
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

function counted(n: number, thing: string): string {
  return `${n} ${thing}${n === 1 ? '' : 's'}`;
}
