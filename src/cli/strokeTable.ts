/**
 * The strokes of a document as a table, one a line, in order of time.
 */

import type { AnalysisDocument, PooledDocument } from '../analysis/document.ts';
import { keyName } from '../piano/keys.ts';
import { contactOf } from '../pictures/heard.ts';
import { NOTHING, tableLines, type Column } from './table.ts';

type Stroke = (AnalysisDocument | PooledDocument)['strokes'][number];
type Doubt = Stroke['doubt'][number];
type Absence = NonNullable<Stroke['absent']['contact']>;

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

/** Number of a stroke's recording, as in the headings. */
const RECORDING: Column<Stroke> = {
  title: 'Recording',
  side: 'right',
  cell: (stroke) => ('source' in stroke ? String(stroke.source + 1) : NOTHING),
};

/** The table as lines of text; pooled strokes name their recording. */
export function strokeTable(strokes: readonly Stroke[]): string[] {
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
  gap: 'gap',
  'not-sought': NOTHING,
  'not-known': NOTHING,
};

/** From the finger's contact to the tone, in brackets where it does not count; or why it is not known. */
function travelCell(stroke: Stroke): string {
  const { contactSeconds, onsetSeconds, absent } = stroke;
  if (contactSeconds !== null && onsetSeconds !== null) {
    const ms = `${(1000 * (onsetSeconds - contactSeconds)).toFixed(1)} ms`;
    return contactOf(stroke).kind === 'clear' ? ms : `(${ms})`;
  }
  return absent.contact ? ABSENT_WORDS[absent.contact] : NOTHING;
}
