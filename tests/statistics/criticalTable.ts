/**
 * Computes the table of critical values of the bounded spread (`src/statistics/criticalData.ts`): `npm run tables`.
 *
 * A draw in order: h = exp(0.12 z) once a note; each of n values is h·z, or with chance ε 5·z (z standard normal). T as in
 * `winsorised.ts` at scale 1. Seeded: the same table each time. Also: how low T is in one of ten, and of twenty, notes of double
 * spread (below that a note may be called steady), and the ratio found in four of five notes at p = 0.002.
 */

import { writeFileSync } from 'node:fs';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { BOUND, boundedCentre } from '../../src/statistics/winsorised.ts';

export const SIZES = [3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 14, 16, 18, 20, 24, 28, 32, 40, 48, 60];
export const TAILS = [0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005, 0.002, 0.001, 0.0005, 0.0002];
export const STRAY_SHARES = [0.01, 0.03, 0.06, 0.1, 0.15];
const NOTE_SD = 0.12;
const STRAY = 5;
/** The tail at which the ratio that could have been shown is stated. */
const SHOWN_TAIL = 0.002;
const SHOWN_POWER = 0.8;

/** Standard normal draws from a seed (polar method of Marsaglia & Bray 1964). */
export function normals(seed: number): { normal: () => number; uniform: () => number } {
  const generator = xoroshiro128plus(seed);
  const uniform = () => ((generator.next() >>> 5) * 67108864 + (generator.next() >>> 6)) / 9007199254740992;
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const s = u * u + v * v;
      if (s >= 1 || s === 0) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      spare = v * factor;
      return u * factor;
    }
  };
  return { normal, uniform };
}

/** `draws` values of T, ascending, of notes whose spread is `ratio` times a firm note's. */
export function drawSpreads(n: number, strayShare: number, ratio: number, draws: number, seed: number): Float64Array {
  const { normal, uniform } = normals(seed);
  const values = new Float64Array(n);
  return Float64Array.from({ length: draws }, () => {
    const own = ratio * Math.exp(NOTE_SD * normal());
    for (let i = 0; i < n; i++) values[i] = (uniform() < strayShare ? STRAY : own) * normal();
    const centre = boundedCentre(values, 1);
    let sum = 0;
    for (let i = 0; i < n; i++) sum += Math.min((values[i] - centre) ** 2, BOUND);
    return sum / n;
  }).sort();
}

const upper = (sorted: Float64Array, tail: number) =>
  sorted[Math.min(sorted.length - 1, Math.floor((1 - tail) * sorted.length))];

/** One row: T at each of {@link TAILS}, then the two steady limits and the ratio shown. */
export function tableRow(n: number, strayShare: number, draws: number, seed: number) {
  const inOrder = drawSpreads(n, strayShare, 1, draws, seed);
  const critical = TAILS.map((tail) => upper(inOrder, tail));
  const double = drawSpreads(n, strayShare, 2, draws / 4, seed + 1);
  const limit = upper(inOrder, SHOWN_TAIL);
  let [low, high] = [1, 16];
  for (let step = 0; step < 14; step++) {
    const ratio = Math.sqrt(low * high);
    const found = drawSpreads(n, strayShare, ratio, draws / 20, seed + 2).filter((t) => t > limit).length;
    if (found >= SHOWN_POWER * (draws / 20)) high = ratio;
    else low = ratio;
  }
  return { critical, steady10: upper(double, 0.9), steady5: upper(double, 0.95), shown: high >= 15 ? null : high };
}

function main(): void {
  const draws = 200_000;
  const rounded = (value: number | null) => String(value === null ? null : Number(value.toPrecision(4)));
  const tables = STRAY_SHARES.map((strayShare, k) => {
    const rows = SIZES.map((n) => {
      const { critical, steady10, steady5, shown } = tableRow(n, strayShare, draws, 1000 * k + n);
      const cells = [steady10, steady5, shown].map(rounded).join(', ');
      return `      [${n}, [${critical.map(rounded).join(', ')}], ${cells}],`;
    });
    return `  {\n    strayShare: ${strayShare},\n    rows: [\n${rows.join('\n')}\n    ],\n  },`;
  });
  const text = `/**
 * Critical values of the bounded spread T: computed by \`npm run tables\` (${draws} seeded draws a row), not to be edited.
 *
 * A row: number of values; T exceeded with the chances of \`TAILS\`; T below which one in ten, and one in twenty, notes of double
 * spread fall; the ratio of spreads found in four of five notes at p = ${SHOWN_TAIL}, null beyond 15.
 */

export const TAILS: readonly number[] = [${TAILS.join(', ')}];

export type CriticalTuple = readonly [n: number, critical: readonly number[], number, number, number | null];

// prettier-ignore
export const CRITICAL_TABLES: readonly { readonly strayShare: number; readonly rows: readonly CriticalTuple[] }[] = [
${tables.join('\n')}
];
`;
  writeFileSync(new URL('../../src/statistics/criticalData.ts', import.meta.url), text);
}

if (process.argv[1] === import.meta.filename) main();
