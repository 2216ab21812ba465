/**
 * Where everything stands in the picture of a take: the sound above, one lane a passage below, the axis at the foot.
 *
 * Pure arithmetic of the picture, in CSS pixels. In a lane a stroke is a dot over its own small shelf; the dot's height
 * is the loudness. Text grows with `rem`, marks do not.
 */

import type { Passage, Stroke } from './heard.ts';
import type { View } from './view.ts';

export interface Lane {
  readonly passage: Passage | null;
  readonly strokes: readonly Stroke[];
  readonly top: number;
  /** The line that the shelves lie on. */
  readonly shelf: number;
}

export interface ChartLayout {
  readonly height: number;
  readonly wave: { readonly top: number; readonly bottom: number };
  readonly lanes: readonly Lane[];
  readonly axis: number;
}

/** One stroke's mark. */
export interface Mark {
  readonly stroke: Stroke;
  readonly x: number;
  /** Distance to the nearest neighbour of the lane; Infinity for a stroke alone. */
  readonly room: number;
  /** Height of the dot's middle over the shelf; 0 where there is no level. */
  readonly rise: number;
  /** Half the width of the shelf. */
  readonly reach: number;
  /** Radius of the dot. */
  readonly radius: number;
}

const ORDER: readonly (Passage | null)[] = ['slow', 'fast', 'gentle', 'bar', null];
const WAVE_HEIGHT = 148;
const MARKS_HEIGHT = 46;
const LOWEST_DOT = 12;
const HIGHEST_DOT = 36;
const SHELF_REACH = 13;
const DOT = 5.5;
const SMALLEST_DOT = 1.6;

/**
 * The layout for these strokes. The names of takes stand in a row of `2 rem` above the sound, the word of a lane in one
 * of the same height above its marks.
 */
export function chartLayout(strokes: readonly Stroke[], rem: number): ChartLayout {
  const wave = { top: 2 * rem, bottom: 2 * rem + WAVE_HEIGHT };
  let top = wave.bottom + 8;
  const lanes: Lane[] = [];
  for (const passage of ORDER) {
    const own = strokes.filter((stroke) => stroke.passage === passage);
    if (own.length === 0) continue;
    const shelf = top + 2 * rem + MARKS_HEIGHT;
    lanes.push({ passage, strokes: own, top, shelf });
    top = shelf + 10;
  }
  return { height: top + 1.75 * rem, wave, lanes, axis: top };
}

/** The loudest and faintest stroke, dB; at least 12 dB apart, so that equal strokes stand level. */
export function levelRange(strokes: readonly Stroke[]): readonly [number, number] {
  const levels = strokes.flatMap(({ levelDb }) => (levelDb === null ? [] : [levelDb]));
  if (levels.length === 0) return [-12, 0];
  const highest = Math.max(...levels);
  return [Math.min(highest - 12, Math.min(...levels)), highest];
}

/** The marks of a lane that lie in view, or just outside so that they are cut by the edge and not dropped. */
export function marksOf(lane: Lane, view: View, width: number, [low, high]: readonly [number, number]): Mark[] {
  const scale = width / (view.to - view.from);
  const places = lane.strokes.map(({ timeSeconds }) => (timeSeconds - view.from) * scale);
  return lane.strokes.flatMap((stroke, i): Mark[] => {
    const x = places[i];
    if (x < -SHELF_REACH || x > width + SHELF_REACH) return [];
    const room = Math.min(x - (places[i - 1] ?? -Infinity), (places[i + 1] ?? Infinity) - x);
    const reach = Math.min(SHELF_REACH, Math.max(1, 0.42 * room));
    const share = stroke.levelDb === null ? 0 : (stroke.levelDb - low) / (high - low);
    return [
      {
        stroke,
        x,
        room,
        rise: stroke.levelDb === null ? 0 : LOWEST_DOT + share * (HIGHEST_DOT - LOWEST_DOT),
        reach,
        radius: Math.min(DOT, Math.max(SMALLEST_DOT, 0.45 * room)) * (stroke.kind === 'double' ? 0.7 : 1),
      },
    ];
  });
}
