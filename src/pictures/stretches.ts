/**
 * Where in its recordings a note was played, cut into rows of one time scale, like the lines of a page of music.
 */

import type { Seconds } from '../units.ts';
import type { Stroke } from './heard.ts';

/** Sound of one recording, mono. */
export interface Sound {
  readonly samples: Float32Array;
  readonly sampleRate: number;
}

/** One row of the picture. */
export interface SoundRow {
  readonly source: number;
  readonly from: Seconds;
  readonly to: Seconds;
  readonly strokes: readonly Stroke[];
}

export interface SoundRows {
  /** Seconds that a whole row is long; no row is longer. */
  readonly rowSeconds: Seconds;
  readonly rows: readonly SoundRow[];
}

const BEFORE: Seconds = 0.3;
const AFTER: Seconds = 0.8;
/** A longer pause, with another note or with talk in it, is left out. */
const PAUSE: Seconds = 5;
/** At eight strokes a second this keeps their marks apart. */
const PIXELS_A_SECOND = 64;
/** A single stroke is not drawn out further than this. */
const LEAST_ROW: Seconds = 2;
/** About so many rows at most; then the scale grows narrower. */
const MOST_ROWS = 12;
/** A row that is followed by another is at least this share full. */
const EARLIEST_CUT = 0.5;
/** Share of the longest pause near the end of a row that is as good to cut at. */
const LONG_PAUSE = 0.6;

/** The rows for a note's strokes (ordered in time within a source) where there is sound, `width` pixels wide. */
export function soundRows(strokes: readonly Stroke[], sounds: readonly (Sound | null)[], width: number): SoundRows {
  const stretches: SoundRow[] = [];
  for (const stroke of strokes) {
    const source = stroke.source ?? 0;
    const sound = sounds[source];
    const end = sound ? sound.samples.length / sound.sampleRate : 0;
    if (end <= 0 || stroke.timeSeconds > end) continue;
    const last = stretches.at(-1);
    const to = Math.min(end, stroke.timeSeconds + AFTER);
    if (last && last.source === source && stroke.timeSeconds - (last.to - AFTER) <= PAUSE) {
      stretches[stretches.length - 1] = { ...last, to, strokes: [...last.strokes, stroke] };
    } else {
      const first = stroke.contactSeconds ?? stroke.timeSeconds;
      stretches.push({ source, from: Math.max(0, first - BEFORE), to, strokes: [stroke] });
    }
  }
  const whole = stretches.reduce((sum, { from, to }) => sum + to - from, 0);
  const longest = Math.max(0, ...stretches.map(({ from, to }) => to - from));
  const most = Math.max(LEAST_ROW, Math.min(longest, Math.max(width / PIXELS_A_SECOND, whole / MOST_ROWS)));
  const rows = stretches.flatMap((stretch) => cut(stretch, most));
  return { rowSeconds: Math.max(LEAST_ROW, ...rows.map(({ from, to }) => to - from)), rows };
}

/** Cuts a stretch into rows of at most `rowSeconds`: at the last of the long pauses before a row is full. */
function cut(stretch: SoundRow, rowSeconds: Seconds): SoundRow[] {
  const rows: SoundRow[] = [];
  let { from, strokes } = stretch;
  while (stretch.to - from > rowSeconds + 1e-9) {
    const pauses = strokes.slice(1).flatMap((stroke, i) => {
      const [before, after] = [strokes[i].timeSeconds, stroke.timeSeconds];
      // The finger's contact stays with its stroke.
      const at = Math.max((before + after) / 2, (stroke.contactSeconds ?? after) - BEFORE);
      const fits = at > from + EARLIEST_CUT * rowSeconds && at <= from + rowSeconds;
      return fits ? [{ at, length: after - before }] : [];
    });
    const long = LONG_PAUSE * Math.max(0, ...pauses.map(({ length }) => length));
    const to = pauses.findLast(({ length }) => length >= long)?.at ?? from + rowSeconds;
    rows.push({ ...stretch, from, to, strokes: strokes.filter(({ timeSeconds }) => timeSeconds < to) });
    strokes = strokes.filter(({ timeSeconds }) => timeSeconds >= to);
    from = to;
  }
  rows.push({ ...stretch, from, strokes });
  return rows;
}
