/** Gauge readings as they are shown: six rows a note, before and after, in the unit that is set. */

import { describe, expect, it } from 'vitest';
import { gaugeLines, gaugeView, pairWords } from '../../src/app/gauges/gaugeView.ts';
import { MEASURED } from '../../src/piano/measuredLengths.ts';
import { PIANO, READINGS } from './gallery/formViews.ts';

const A5 = 82;
const base = { midi: A5, piano: PIANO, readings: READINGS, adjusted: false, unit: 'mm', readOnly: false } as const;

describe('gauge readings of a note', () => {
  it('stand in six rows in the order of the bench, beside what the piano is set to', () => {
    const { rows, first, lower, upper } = gaugeView(base);
    expect(rows.map(({ kind }) => kind)).toEqual([...MEASURED]);
    expect(rows[1]).toMatchObject({
      ...{ kind: 'let-off', target: '1.5 mm' },
      before: { millimetres: 0.8, words: '0.8 mm', times: 2 },
      after: { millimetres: 1.6, words: '1.6 mm', times: 1 },
    });
    expect(rows[4]).toMatchObject({ kind: 'aftertouch', target: null, before: null, after: null });
    expect([first, lower, upper]).toEqual(['before', 81, 83]);
  });

  it('are asked for after the work where the note was adjusted, and within the piano', () => {
    expect(gaugeView({ ...base, adjusted: true }).first).toBe('after');
    expect(gaugeView({ ...base, midi: PIANO.lowest }).lower).toBeNull();
    expect(gaugeView({ ...base, midi: PIANO.highest }).upper).toBeNull();
  });

  it('are listed for the whole visit from bass to treble, in inches too', () => {
    const { all } = gaugeView({ ...base, unit: 'inch' });
    expect(all.map(({ midi, kind, before, after }) => [midi, kind, before?.words, after?.words])).toEqual([
      [51, 'blow', '1 3/4 in', '1.791 in'],
      [82, 'let-off', '0.031 in', '0.063 in'],
      [82, 'drop', '0.02 in', undefined],
    ]);
  });

  it('taken back show what was read before them, or nothing', () => {
    const undo = (id: string) => READINGS.map((one) => (one.id === id ? { ...one, undone: true } : one));
    const letOff = gaugeView({ ...base, readings: undo('A#5 let-off before 10:45') }).rows[1];
    expect(letOff.before).toMatchObject({ millimetres: 0.6, times: 1 });
    expect(gaugeView({ ...base, readings: undo('A#5 drop before 10:40') }).rows[2].before).toBeNull();
  });

  it('on its own screen are lines: before, then after', () => {
    expect(gaugeLines(A5, PIANO, READINGS, 'mm')).toEqual([
      { title: 'Let-off', words: '0.8 mm, then 1.6 mm', target: '1.5 mm' },
      { title: 'Drop', words: '0.5 mm before', target: '1.5 mm' },
    ]);
    expect(gaugeLines(60, PIANO, READINGS, 'mm')).toEqual([]);
    expect(pairWords(null, gaugeView(base).rows[1].after)).toBe('1.6 mm after');
  });
});
