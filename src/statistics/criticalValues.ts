/**
 * Chances of the bounded spread T, read from the computed table: by the number of values and the share that goes astray.
 *
 * Between sizes the table is read along 1/√n, between shares along the share, between critical values along the logarithm of
 * the chance. Validity: 3 values and more (beyond 60 as for 60: a little too careful), shares from 1 to 15 in 100; outside, the
 * nearest row holds.
 */

import { CRITICAL_TABLES, TAILS, type CriticalTuple } from './criticalData.ts';

/** What notes in order show over n values. */
export interface CriticalRow {
  readonly n: number;
  /** T exceeded with the chances of the table. */
  readonly critical: readonly number[];
  /** T below which one in ten, and one in twenty, notes of double spread fall: there a note may be called steady. */
  readonly steady10: number;
  readonly steady5: number;
  /** Ratio of spreads found in four of five notes at p = 0.002; null beyond 15. */
  readonly shown: number | null;
}

/** Fewest values that have a row. */
export const LEAST_VALUES = 3;

/** A row read between the rows of the table. @throws RangeError below three values. */
export function criticalRow(n: number, strayShare: number): CriticalRow {
  if (!(n >= LEAST_VALUES)) throw new RangeError(`critical values for ${n} values; expected at least ${LEAST_VALUES}`);
  const shares = CRITICAL_TABLES.map((table) => table.strayShare);
  const [a, b, t] = place(shares, strayShare);
  return between(rowOf(a, n), rowOf(b, n), t, n);
}

function rowOf(table: number, n: number): CriticalRow {
  const { rows } = CRITICAL_TABLES[table];
  const [a, b, t] = place(
    rows.map(([size]) => -1 / Math.sqrt(size)),
    -1 / Math.sqrt(n),
  );
  return between(named(rows[a]), named(rows[b]), t, n);
}

function named([n, critical, steady10, steady5, shown]: CriticalTuple): CriticalRow {
  return { n, critical, steady10, steady5, shown };
}

function between(a: CriticalRow, b: CriticalRow, t: number, n: number): CriticalRow {
  const mix = (x: number, y: number) => x + t * (y - x);
  return {
    n,
    critical: a.critical.map((value, i) => mix(value, b.critical[i])),
    steady10: mix(a.steady10, b.steady10),
    steady5: mix(a.steady5, b.steady5),
    shown: a.shown === null || b.shown === null ? (t < 0.5 ? a.shown : b.shown) : mix(a.shown, b.shown),
  };
}

/** Neighbours of `x` among ascending `values`, and how far it lies between them, 0 to 1. */
function place(values: readonly number[], x: number): [number, number, number] {
  const last = values.length - 1;
  if (x <= values[0]) return [0, 0, 0];
  if (x >= values[last]) return [last, last, 0];
  const above = values.findIndex((value) => value >= x);
  return [above - 1, above, (x - values[above - 1]) / (values[above] - values[above - 1])];
}

/** Chance that a note in order shows `t` or more over n values; at most ½ is told apart, at the far end the last two rows go on. */
export function spreadTail(t: number, n: number, strayShare: number): number {
  const { critical } = criticalRow(n, strayShare);
  if (t <= critical[0]) return Math.min(1, TAILS[0] ** (t / critical[0]));
  const last = critical.length - 1;
  let above = critical.findIndex((value) => value > t);
  if (above < 0) above = last;
  const step = critical[above] - critical[above - 1];
  const [from, to] = [Math.log(TAILS[above - 1]), Math.log(TAILS[above])];
  return Math.exp(from + ((t - critical[above - 1]) / Math.max(step, 1e-9)) * (to - from));
}
