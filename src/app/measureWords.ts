/** A note's measures, each as a short line: what, how much, how surely. Formatting only. */

import type { Measure, MeasureKind } from '../analysis/document.ts';
import { counted, figure } from './words.ts';

/** One line of a note's list. */
export interface MeasureLine {
  readonly what: string;
  /** The figure with its unit, to be read first. */
  readonly value: string;
  /** 90 % interval and what it rests on. */
  readonly rests: string;
}

const WHAT: Readonly<Record<MeasureKind, string>> = {
  'fast-unevenness': 'Fast pulse wanders by',
  'slow-unevenness': 'Slow pulse wanders by',
  'fast-level-spread': 'Fast loudness differs by',
  'slow-level-spread': 'Slow loudness differs by',
  'failed-repeats': 'Repeats silent or weak',
  rate: 'Fast rate',
  level: 'Slow loudness, of full scale',
  'onset-error': 'Start known to within',
  'contacts-heard': 'Slow contacts heard',
  'travel-time': 'Contact to tone',
  'travel-at-level': 'Contact to tone, at equal loudness',
  'travel-spread': 'Contact to tone differs by',
  'spread-ratio': 'That, against notes in order',
  'travel-shift': 'Against its neighbours',
  'after-firm': 'After a firm stroke',
  'firm-against-slow': 'Firm against slow strokes',
  'silent-repeats': 'Repeats silent',
  'weak-repeats': 'Repeats weak',
  'after-damped': 'Failed though let up far',
  'double-strikes': 'Strokes struck twice',
  'silent-when-gentle': 'Gentle strokes silent',
  'double-when-gentle': 'Gentle strokes struck twice',
  'weak-when-hard': 'Firm strokes too weak',
  'level-drop': 'Fast against slow loudness',
  fading: 'Fast loudness falls by',
};

const UNIT: Readonly<Record<Measure['unit'], string>> = {
  percent: 'in 100',
  dB: 'dB',
  share: 'in 100',
  'per-second': 'a second',
  ms: 'ms',
  mm: 'mm',
  ratio: 'times',
};

const ORDER: readonly MeasureKind[] = [
  'failed-repeats',
  'silent-repeats',
  'weak-repeats',
  'after-damped',
  'double-strikes',
  'spread-ratio',
  'travel-spread',
  'travel-shift',
  'after-firm',
  'firm-against-slow',
  'silent-when-gentle',
  'double-when-gentle',
  'weak-when-hard',
  'rate',
  'fast-unevenness',
  'fast-level-spread',
  'slow-unevenness',
  'slow-level-spread',
  'level-drop',
  'fading',
  'level',
  'travel-at-level',
  'travel-time',
  'contacts-heard',
  'onset-error',
];

/** The lines of one note, what discriminates first. */
export function measureLines(measures: readonly Measure[]): MeasureLine[] {
  return [...measures].sort((a, b) => ORDER.indexOf(a.kind) - ORDER.indexOf(b.kind)).map(lineOf);
}

function lineOf(measure: Measure): MeasureLine {
  const { kind, value, unit, interval, n } = measure;
  const [low, high] = interval;
  const what = WHAT[kind];
  if (unit === 'share') {
    const failed = Math.round(value * n);
    // Zero is not proof; the note's own words say what could still hide behind it.
    const rests =
      kind === 'failed-repeats' && failed === 0
        ? 'none is no proof'
        : `${figure(100 * low, 0)} to ${figure(100 * high, 0)} in 100`;
    return { what, value: `${failed} of ${n}`, rests };
  }
  // Starts are timed to hundredths of a millisecond and better.
  const decimals = kind === 'onset-error' ? 3 : 1;
  const rests = `${figure(low, decimals)} to ${figure(high, decimals)}, from ${counted(n, restsOn(kind))}`;
  return { what, value: `${figure(value, decimals)} ${UNIT[unit]}`, rests };
}

function restsOn(kind: MeasureKind): string {
  if (kind === 'fading') return 'passage';
  return kind === 'rate' || kind.endsWith('-unevenness') ? 'interval' : 'stroke';
}
