/**
 * The sound of a note with what was heard in it: over the sound a mark a stroke, through it the upright of the onset, at its
 * foot the tick of the finger's contact, under it the seconds of the recording.
 */

import type { MidiNote } from '../units.ts';
import type { Chart } from './chart.ts';
import { drawn } from './colours.ts';
import { element, moved, pathData, type PictureNode } from './element.ts';
import { extremes } from './extremes.ts';
import { shapeOf, type Stroke } from './heard.ts';
import { line, strokeMark, text } from './marks.ts';
import { levelRange } from './scale.ts';
import { soundRows, type Sound, type SoundRow } from './stretches.ts';
import { counted, cutToFit, figure, spokenNote, textWidth } from './words.ts';

const SHELF = 54;
const WAVE_TOP = 60;
const WAVE = 60;
const AXIS = WAVE_TOP + WAVE + 4;
const ROW_HEIGHT = AXIS + 30;
const LOWEST = 11;
const HIGHEST = 29;
const MOST_REACH = 10;
/** Uprights closer than this leave nothing of the sound between them: they are drawn as ticks. */
const CLOSE = 7;

type Level = Stroke['levelDb'];

/**
 * The chart of one note's strokes over its sound, `sounds` by the index of the source (one for a single recording, null
 * where it is not at hand); null where there is no sound for any of them.
 */
export function waveformChart(
  midi: MidiNote,
  strokes: readonly Stroke[],
  sounds: readonly (Sound | null)[],
  width: number,
  files: readonly string[] = [],
): Chart | null {
  const { rows, rowSeconds } = soundRows(strokes, sounds, width);
  if (rows.length === 0) return null;
  const range = levelRange(strokes.map(({ levelDb }) => levelDb));
  const rise = (level: Level): number | null =>
    level === null || range === null
      ? null
      : LOWEST + ((level - range[0]) / (range[1] - range[0])) * (HIGHEST - LOWEST);
  const peaks = sounds.map((_, source) =>
    peakOf(
      rows.filter((row) => row.source === source),
      sounds[source],
    ),
  );
  const scale = width / rowSeconds;
  const marks: PictureNode[] = [];
  let top = 0;
  let source = -1;
  for (const row of rows) {
    if (row.source !== source && row.strokes[0]?.source !== undefined) {
      marks.push(
        text(0, top + 13, cutToFit(`${row.source + 1}. ${files[row.source] ?? ''}`, width / 1.1, 13), {
          colour: 'ink2',
          bold: true,
        }),
      );
      top += 20;
    }
    source = row.source;
    const sound = sounds[row.source]!;
    marks.push(moved(0, top, rowMarks(row, sound, peaks[row.source], scale, width, rise)));
    top += ROW_HEIGHT;
  }
  const drawnStrokes = rows.flatMap((row) => row.strokes);
  const contacts = drawnStrokes.some(({ contactSeconds }) => contactSeconds !== null);
  const shapes = new Set(drawnStrokes.map(shapeOf));
  return {
    title: 'The sound',
    aside: 'time in seconds',
    result: resultOf(midi, drawnStrokes, strokes.length),
    below: [
      'Upright: the hammer at the string.',
      ...(contacts ? ['Tick at the foot: the finger at the key.'] : []),
      ...(shapes.has('silent') ? ['Cross: silent.'] : []),
      ...(shapes.has('weak') ? ['Half disc: weak.'] : []),
      ...(shapes.has('double') ? ['Small second dot: double.'] : []),
      ...(drawnStrokes.some((stroke) => stroke.doubt.length > 0 && shapeOf(stroke) === 'sounded')
        ? ['Ring: in doubt.']
        : []),
    ],
    width,
    height: top,
    marks,
  };
}

function resultOf(midi: MidiNote, strokes: readonly Stroke[], all: number): string {
  const count = (shape: string) => strokes.filter((stroke) => shapeOf(stroke) === shape).length;
  const kinds = (['silent', 'weak', 'double'] as const).map((shape) => [shape, count(shape)] as const);
  const faults = kinds.filter(([, n]) => n > 0).map(([shape, n]) => `${n} ${shape}`);
  const played = strokes.filter(({ kind }) => kind !== 'double').length;
  const words = faults.length > 0 ? faults.join(', ') : played === 1 ? 'it spoke' : 'all spoke';
  const left = all > strokes.length ? ` ${all - strokes.length} more without their sound.` : '';
  return `${counted(played, 'stroke')} of ${spokenNote(midi)} over their sound: ${words}.${left}`;
}

/** The loudest sample of the rows of one sound, so that all are drawn at one scale. */
function peakOf(rows: readonly SoundRow[], sound: Sound | null): number {
  if (sound === null) return 0;
  return rows.reduce((peak, { from, to }) => {
    const [{ low, high }] = extremes(sound.samples, from * sound.sampleRate, to * sound.sampleRate, 1);
    return Math.max(peak, -low, high);
  }, 0);
}

function rowMarks(
  row: SoundRow,
  sound: Sound,
  peak: number,
  scale: number,
  width: number,
  rise: (level: Level) => number | null,
): PictureNode[] {
  const { from, to, strokes } = row;
  const x = (seconds: number) => (seconds - from) * scale;
  const end = x(to);
  const uprights: PictureNode[] = [];
  const stands: PictureNode[] = [];
  strokes.forEach((stroke, i) => {
    const place = x(stroke.timeSeconds);
    const before = i > 0 ? place - x(strokes[i - 1].timeSeconds) : Infinity;
    const after = i + 1 < strokes.length ? x(strokes[i + 1].timeSeconds) - place : Infinity;
    const shape = shapeOf(stroke);
    const colour = shape === 'silent' ? 'ember' : 'ink';
    if (stroke.onsetSeconds !== null || shape === 'silent') {
      const dash = shape === 'silent' ? '3 4' : undefined;
      if (Math.min(before, after) >= CLOSE) uprights.push(line(place, SHELF, place, WAVE_TOP + WAVE, colour, { dash }));
      else uprights.push(line(place, SHELF, place, WAVE_TOP + 10, colour));
    }
    if (stroke.contactSeconds !== null && stroke.contactSeconds >= from) {
      const contact = x(stroke.contactSeconds);
      uprights.push(line(contact, WAVE_TOP + WAVE - 12, contact, WAVE_TOP + WAVE + 1, 'ink', { width: 2 }));
    }
    const reach = Math.min(MOST_REACH, Math.max(1, 0.42 * Math.min(before, after)));
    const doubtful = stroke.doubt.length > 0;
    const level = rise(stroke.levelDb);
    // A double's dot stands beside the one before it, whatever little room there is.
    const [own, near] = shape === 'double' ? [7, place] : [roomBeside(strokes, i, reach, x), place];
    stands.push(strokeMark({ x: near, shelf: SHELF, shape, rise: level, reach: own, doubtful }));
  });
  return [
    wave(sound, row, peak, scale),
    ...uprights,
    ...stands,
    ...passageLabels(strokes, x, width),
    ...axis(row, x, end, width),
  ];
}

/** Half the shelf that a stroke has room for when the doubles beside it, which have no shelf, are passed over. */
function roomBeside(strokes: readonly Stroke[], i: number, reach: number, x: (seconds: number) => number): number {
  const place = x(strokes[i].timeSeconds);
  const before = strokes.slice(0, i).findLast(({ kind }) => kind !== 'double');
  const after = strokes.slice(i + 1).find(({ kind }) => kind !== 'double');
  const room = Math.min(
    before ? place - x(before.timeSeconds) : Infinity,
    after ? x(after.timeSeconds) - place : Infinity,
  );
  return Math.max(reach, Math.min(MOST_REACH, 0.42 * room));
}

function wave({ samples, sampleRate }: Sound, { from, to }: SoundRow, peak: number, scale: number): PictureNode {
  const width = Math.max(1, Math.round((to - from) * scale));
  const middle = WAVE_TOP + WAVE / 2;
  const gain = peak > 0 ? WAVE / 2 / peak : 0;
  const parts: (string | number)[] = [];
  extremes(samples, from * sampleRate, to * sampleRate, width).forEach(({ low, high }, column) => {
    // Half a pixel more, so that silence is a thin line and not nothing.
    parts.push('M', column + 0.5, middle - high * gain - 0.25, 'V', middle - low * gain + 0.25);
  });
  return element('path', { d: pathData(...parts), class: drawn('edge'), 'stroke-width': 1 });
}

/** Over each run of one passage its word and a thin line as long as the run. */
function passageLabels(strokes: readonly Stroke[], x: (seconds: number) => number, width: number): PictureNode[] {
  const runs: { passage: Stroke['passage']; from: number; to: number }[] = [];
  for (const { passage, timeSeconds, kind } of strokes) {
    const last = runs.at(-1);
    const place = x(timeSeconds);
    // A damped or doubtful stroke between two of one passage does not part them, a pause does.
    if (last && last.passage === passage && (passage !== 'fast' || place - last.to <= x(1) - x(0))) last.to = place;
    else if (kind !== 'double') runs.push({ passage, from: place, to: place });
  }
  let free = 0;
  return runs.flatMap(({ passage, from, to }): PictureNode[] => {
    if (passage === null) return [];
    const letters = textWidth(passage, 13);
    const start = Math.max(0, Math.min(from - 6, width - letters));
    if (start < free) return [];
    free = start + letters + 8;
    const rule = to - start - letters > 14 ? [line(start + letters + 4, 9, to + 6, 9, 'hair', { width: 1.5 })] : [];
    return [text(start, 13, passage, { colour: 'ink2' }), ...rule];
  });
}

function axis({ from, to }: SoundRow, x: (seconds: number) => number, end: number, width: number): PictureNode[] {
  const least = 60 / (x(1) - x(0));
  const steps = [0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1800, 3600];
  const step = steps.find((each) => each >= least) ?? 7200;
  const marks: PictureNode[] = [line(0, AXIS, end, AXIS, 'hair')];
  for (let place = Math.ceil(from / step - 1e-9); place * step <= to + 1e-9; place++) {
    const at = x(place * step);
    const words = figure(place * step, step < 1 ? 1 : 0);
    const half = textWidth(words, 13) / 2;
    marks.push(line(at, AXIS, at, AXIS + 4, 'edge'));
    if (at - half >= 0 && at + half <= width) marks.push(text(at, AXIS + 17, words, { anchor: 'middle' }));
  }
  return marks;
}
