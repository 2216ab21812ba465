/** The bounded spread, its table and the posterior, held to figures computed beside this program and to fresh draws. */

import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CRITICAL_TABLES, TAILS } from '../../src/statistics/criticalData.ts';
import { criticalRow, spreadTail } from '../../src/statistics/criticalValues.ts';
import {
  LOG_RATIOS,
  posteriorAbove,
  posteriorQuantile,
  spreadPosterior,
} from '../../src/statistics/spreadPosterior.ts';
import { boundedCentre, boundedSpread } from '../../src/statistics/winsorised.ts';
import { drawSpreads, normals, SIZES, STRAY_SHARES, TAILS as MADE_TAILS } from './criticalTable.ts';

const SIX = [0.3, -1.1, 0.8, 2.4, -0.2, -2.0];
const WIDE = [1.5, -2.6, 3.9, -3.2, 0.4, -0.7, 2.8, -1.9];

describe('the bounded spread', () => {
  // Computed once with another implementation (Python); the first centre by hand: median 0.05, then 0.05 + mean of bounded steps.
  it.each([
    [SIX, 1.96083869],
    [SIX.map((v) => (v === 2.4 ? 6 : v)), 2.46909912],
    [WIDE, 4.88942139],
  ])('of %j', (values, expected) => {
    const centre = boundedCentre(values, 1);
    expect(
      boundedSpread(
        values.map((v) => v - centre),
        1,
      ),
    ).toBeCloseTo(expected, 7);
  });

  it('finds the centre in three bounded steps', () => {
    expect(boundedCentre(SIX, 1)).toBeCloseTo(-0.039352, 6);
  });

  it('keeps one stroke astray from making it', () => {
    const quiet = Array.from({ length: 11 }, (_, i) => (i - 5) / 10);
    expect(boundedSpread([...quiet, 1e6], 1)).toBeLessThanOrEqual(9 / 12 + boundedSpread(quiet, 1));
  });

  it('moves with its values and does not change by their order', () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 3, maxLength: 20 }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        (values, shift) => {
          const moved = [...values].reverse().map((v) => v + shift);
          expect(boundedCentre(moved, 1)).toBeCloseTo(boundedCentre(values, 1) + shift, 9);
        },
      ),
    );
  });

  it('refuses no values', () => {
    expect(() => boundedSpread([], 1)).toThrow(RangeError);
  });
});

describe('the table of critical values', () => {
  it('is the one its maker describes', () => {
    expect(TAILS).toEqual(MADE_TAILS);
    expect(CRITICAL_TABLES.map(({ strayShare }) => strayShare)).toEqual(STRAY_SHARES);
    for (const { rows } of CRITICAL_TABLES) expect(rows.map(([n]) => n)).toEqual(SIZES);
  });

  // Other seeds than the table's own: the share beyond a critical value must be its chance, within four standard errors.
  it.each([
    [4, 0.03],
    [8, 0.03],
    [13, 0.02],
    [20, 0.06],
    [44, 0.03],
  ])('holds on fresh draws of %i strokes, %d of them astray', (n, strayShare) => {
    const draws = 40_000;
    const fresh = drawSpreads(n, strayShare, 1, draws, 987_654 + n);
    const { critical, steady10 } = criticalRow(n, strayShare);
    for (const tail of [0.1, 0.05, 0.01, 0.002]) {
      const limit = critical[TAILS.indexOf(tail)];
      const share = fresh.filter((t) => t > limit).length / draws;
      // Between rows the table is read along straight lines; allow a tenth of the chance for that.
      expect(Math.abs(share - tail)).toBeLessThan(4 * Math.sqrt((tail * (1 - tail)) / draws) + 0.1 * tail);
    }
    const double = drawSpreads(n, strayShare, 2, 10_000, 13 + n);
    expect(double.filter((t) => t <= steady10).length / 10_000).toBeCloseTo(0.1, 1.7);
  });

  it('says the ratio that four of five notes show', () => {
    const { shown, critical } = criticalRow(14, 0.03);
    const found = drawSpreads(14, 0.03, shown!, 20_000, 5).filter((t) => t > critical[TAILS.indexOf(0.002)]).length;
    expect(found / 20_000).toBeGreaterThan(0.77);
    expect(found / 20_000).toBeLessThan(0.83);
  });

  it('gives chances that fall with the spread and cross its own rows', () => {
    let before = 1;
    for (let t = 0; t < 9; t += 0.05) {
      const chance = spreadTail(t, 9, 0.03);
      expect(chance).toBeLessThanOrEqual(before);
      before = chance;
    }
    const { critical } = criticalRow(9, 0.03);
    TAILS.forEach((tail, i) => expect(spreadTail(critical[i], 9, 0.03)).toBeCloseTo(tail, 9));
  });

  it('refuses two values', () => {
    expect(() => criticalRow(2, 0.03)).toThrow(/expected at least 3/);
  });
});

describe('the posterior of the spread', () => {
  // The same model on a coarser grid (29 ratios from 0.5 to 8), computed once with another implementation (Python).
  it.each([
    [SIX, [1.0, 1.641, 3.281]],
    [SIX.map((v) => (v === 2.4 ? 6 : v)), [0.82, 2.438, 4.876]],
    [WIDE, [1.811, 2.692, 4.416]],
  ])('of %j', (values, quantiles) => {
    const posterior = spreadPosterior(values, 1, 0.03);
    [0.05, 0.5, 0.95].forEach((p, i) => {
      // A step of that grid is a tenth.
      expect(Math.exp(posteriorQuantile(posterior, p)) / quantiles[i]).toBeGreaterThan(0.92);
      expect(Math.exp(posteriorQuantile(posterior, p)) / quantiles[i]).toBeLessThan(1.08);
    });
  });

  it('adds to one, and does not move with its values', () => {
    const a = spreadPosterior(WIDE, 1, 0.03);
    const b = spreadPosterior(
      WIDE.map((v) => v + 17),
      1,
      0.03,
    );
    expect(a.weights.reduce((sum, v) => sum + v, 0)).toBeCloseTo(1, 12);
    a.weights.forEach((w, i) => expect(b.weights[i]).toBeCloseTo(w, 9));
  });

  it('scales with its values', () => {
    const small = posteriorQuantile(spreadPosterior(SIX, 1, 0), 0.5);
    const scaled = spreadPosterior(
      SIX.map((v) => v * 0.04),
      0.04,
      0,
    );
    expect(posteriorQuantile(scaled, 0.5)).toBeCloseTo(small, 9);
  });

  it('is wider by what else is uncertain', () => {
    const width = (extra: number) => {
      const posterior = spreadPosterior(WIDE, 1, 0.03, extra);
      return posteriorQuantile(posterior, 0.95) - posteriorQuantile(posterior, 0.05);
    };
    expect(width(0.3)).toBeGreaterThan(width(0));
  });

  it('is certain of what lies below and above its grid', () => {
    const posterior = spreadPosterior(SIX, 1, 0.03);
    expect(posteriorAbove(posterior, LOG_RATIOS[0] - 1)).toBeCloseTo(1, 12);
    expect(posteriorAbove(posterior, 10)).toBe(0);
  });

  it('refuses one value and no scale', () => {
    expect(() => spreadPosterior([1], 1, 0.03)).toThrow(RangeError);
    expect(() => spreadPosterior([1, 2], 0, 0.03)).toThrow(RangeError);
  });

  /** Values whose spread wanders from draw to draw and whose stray ones are one-sided: another law than the posterior's. */
  it('holds the true ratio in about nine of ten intervals', () => {
    const { normal, uniform } = normals(41);
    for (const [n, ratio] of [
      [6, 1],
      [12, 2],
      [18, 1.5],
    ]) {
      let held = 0;
      const notes = 400;
      for (let k = 0; k < notes; k++) {
        const own = ratio * Math.exp(0.12 * normal());
        const values = Array.from({ length: n }, () =>
          uniform() < 0.03 ? 2 + 4 * uniform() : (own * (normal() + 0.3 * (normal() ** 2 - 1))) / Math.sqrt(1.18),
        );
        const posterior = spreadPosterior(values, 1, 0.03, 0.12);
        const [low, high] = [0.05, 0.95].map((p) => Math.exp(posteriorQuantile(posterior, p)));
        if (low <= ratio && ratio <= high) held++;
      }
      expect(held / notes).toBeGreaterThan(0.84);
      expect(held / notes).toBeLessThan(0.97);
    }
  });
});
