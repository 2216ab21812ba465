/** Gauge readings as they count: the last one of each note, kind and side; none that was taken back. */

import { describe, expect, it } from 'vitest';
import { check } from '../../src/record/check.ts';
import { gaugePairs } from '../../src/record/gauges.ts';
import { newGaugeReading } from '../../src/record/newThings.ts';
import type { GaugeReading } from '../../src/record/types.ts';

const read = (
  id: string,
  time: string,
  millimetres: number,
  { midi = 60, when = 'before', kind = 'blow', undone = false }: Partial<GaugeReading> = {},
) => newGaugeReading({ id, visitId: 'v', midi, at: `2026-05-04T${time}:00.000Z`, when, kind, millimetres, undone });

describe('gauge readings', () => {
  it('stand in pairs, from bass to treble, the last one of each', () => {
    const readings = [
      read('late', '11:00', 45),
      read('early', '10:00', 47),
      read('after', '15:00', 45.5, { when: 'after' }),
      read('bass', '12:00', 1.5, { midi: 30, kind: 'let-off', when: 'after' }),
      read('dip', '09:00', 10, { kind: 'dip' }),
    ];
    const ids = gaugePairs(readings).map(({ midi, kind, before, after }) => [midi, kind, before?.id, after?.id]);
    expect(ids).toEqual([
      [30, 'let-off', undefined, 'bass'],
      [60, 'dip', 'dip', undefined],
      [60, 'blow', 'late', 'after'],
    ]);
    expect(gaugePairs([...readings].reverse())).toEqual(gaugePairs(readings));
  });

  it('of which one is taken back count as if it had not been read', () => {
    const first = read('a', '10:00', 47);
    expect(gaugePairs([first, read('b', '11:00', 4.7, { undone: true })])[0].before?.id).toBe('a');
    expect(gaugePairs([{ ...first, undone: true }])).toEqual([]);
  });

  it('of the first version of the record were never taken back', () => {
    const old: Record<string, unknown> = { ...read('a', '10:00', 47), recordVersion: 1 };
    delete old.undone;
    expect(check('gauges', old).thing).toEqual(read('a', '10:00', 47));
  });
});
