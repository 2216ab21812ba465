/** One note, by name: a made round through the real analysis (`makeNoteRound.ts`). */

import type { PooledDocument } from '../../../src/analysis/document.ts';
import { noteView, type NoteView, type NoteWork } from '../../../src/app/note/view.ts';
import { parseKeyName } from '../../../src/piano/keys.ts';
import { documentAsMeasured } from '../../../src/piano/uprights.ts';
import text from './noteRound.json?raw';

const ROUND = JSON.parse(text) as PooledDocument;
const ORDER = ['D#3', 'F4', 'G3', 'B4'].map(parseKeyName);
/** Sound is kept of every take but the last, of B4. */
const TAKES = ROUND.sources.slice(0, -1).map((_, source) => ({ id: `take-${source + 1}`, source }));

const view = (name: string, playable = true): NoteView => noteView(ROUND, parseKeyName(name), TAKES, ORDER, playable)!;

export const NOTE_VIEWS: Readonly<Record<string, NoteView>> = {
  repeats: view('D#3'),
  gentle: view('F4'),
  steady: view('G3'),
  insufficient: view('B4'),
  closed: view('G3', false),
  gauged: noteView(ROUND, parseKeyName('F4'), TAKES, ORDER, true, [
    { title: 'Let-off', words: '0.8 mm, then 1.6 mm', target: '1.5 mm' },
    { title: 'Drop', words: '0.5 mm before', target: null },
  ])!,
  upright: noteView(documentAsMeasured(ROUND, 'upright'), parseKeyName('D#3'), TAKES, ORDER, true, [], 'upright')!,
};

/** Where the work on it stands, by the same names; nothing to see to for the others. */
export const NOTE_WORK: Readonly<Record<string, NoteWork>> = {
  repeats: { state: 'open', turned: null },
  gentle: { state: 'adjusted', turned: 'hammer centre eased' },
};
