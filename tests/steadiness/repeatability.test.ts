/** The repeatability study of tables whose answer is known: by hand, and drawn with known components. */

import { describe, expect, it } from 'vitest';
import { completeNotes, measureStudy, type StudyValues } from '../../src/steadiness/repeatability.ts';
import { RandomStream } from '../../src/synthesis/random.ts';

const table = (rows: readonly (readonly (number | null)[])[]): StudyValues => ({
  kind: 'level',
  unit: 'dB',
  values: new Map(rows.map((row, i) => [40 + i, row])),
});

/** Notes × takes with these standard deviations. */
function drawn(random: RandomStream, notes: number, takes: number, note: number, take: number, rest: number) {
  const ofTake = Array.from({ length: takes }, () => random.normal(0, take));
  return table(
    Array.from({ length: notes }, () => {
      const own = random.normal(0, note);
      return ofTake.map((shift) => own + shift + random.normal(0, rest));
    }),
  );
}

describe('the study', () => {
  it('of a table by hand', () => {
    // Notes 0, 2, 4, 6, 8; the second take 1 higher on all; ±0.5 on two notes that cancel in both margins.
    const study = measureStudy(
      table([
        [0.5, 0.5],
        [1.5, 3.5],
        [4, 5],
        [6, 7],
        [8, 9],
      ]),
    )!;
    // Rest: four residuals of ±0.5 on 4 degrees of freedom.
    expect(study.repeatability.value).toBeCloseTo(0.5, 12);
    // Takes: means 1 apart, over five notes; notes: means 2 apart, over two takes; less the rest, each.
    expect(study.betweenTakes).toBeCloseTo(Math.sqrt((2.5 - 0.25) / 5), 12);
    expect(study.betweenNotes).toBeCloseTo(Math.sqrt((20 - 0.25) / 2), 12);
    expect(study.smallestChange).toBeCloseTo(1.96 * Math.SQRT2 * 0.5, 12);
    expect(study.takesAlike).toBeNull();
    expect(study.notes).toEqual([40, 41, 42, 43, 44]);
  });

  it('covers the truth with its intervals as often as it says', () => {
    const random = new RandomStream(1, 'study');
    let [within, ratioWithin] = [0, 0];
    const runs = 300;
    for (let i = 0; i < runs; i++) {
      const { repeatability, ratio } = measureStudy(drawn(random, 10, 3, 3, 1, 1.7))!;
      if (repeatability.interval[0] < 1.7 && 1.7 < repeatability.interval[1]) within++;
      const truth = 1.7 / 3;
      if (ratio.interval[0] < truth && truth < (ratio.interval[1] ?? Infinity)) ratioWithin++;
    }
    for (const share of [within / runs, ratioWithin / runs]) {
      expect(share).toBeGreaterThan(0.85);
      expect(share).toBeLessThan(0.95);
    }
  });

  it('shows no end where the notes hardly differ', () => {
    const random = new RandomStream(2, 'alike');
    const studies = Array.from({ length: 40 }, () => measureStudy(drawn(random, 8, 2, 0, 0, 1))!);
    expect(studies.filter(({ ratio }) => ratio.interval[1] === null).length).toBeGreaterThan(30);
    expect(studies.some(({ ratio }) => ratio.value === null)).toBe(true);
  });

  it('tells a take that scatters more from takes that scatter alike', () => {
    const random = new RandomStream(3, 'unsteady');
    const share = (factor: number) => {
      let found = 0;
      for (let i = 0; i < 100; i++) {
        const { values, ...rest } = drawn(random, 20, 3, 3, 1, 1);
        const rows = [...values].map(
          ([midi, row]) => [midi, [...row.slice(0, 2), row[2]! + random.normal(0, factor)]] as const,
        );
        if (measureStudy({ ...rest, values: new Map(rows) })!.takesAlike!.probability < 0.05) found++;
      }
      return found / 100;
    };
    expect(share(0)).toBeLessThan(0.12);
    expect(share(5)).toBeGreaterThan(0.8);
  });

  it('leaves out notes that miss a take, and is none below five notes or two takes', () => {
    const rows = [
      [1, 2],
      [2, null],
      [3, 3],
      [4, 5],
      [5, 5],
      [6, 8],
    ];
    expect(completeNotes(table(rows))).toEqual([40, 42, 43, 44, 45]);
    expect(measureStudy(table(rows))).toMatchObject({ takes: 2, notes: [40, 42, 43, 44, 45] });
    expect(measureStudy(table(rows.slice(0, 5)))).toBeNull();
    expect(measureStudy(table(rows.map(([first]) => [first])))).toBeNull();
    expect(measureStudy(table([]))).toBeNull();
  });
});
