/**
 * Figures as people say them: "5 of 24", "between 1 in 10 and 1 in 3", "9 in 100".
 */

/** Shares that are easily said, from rare to nearly always. */
const SAID: readonly (readonly [number, number])[] = [
  [1, 100],
  [1, 50],
  [1, 30],
  [1, 20],
  [1, 15],
  [1, 12],
  [1, 10],
  [1, 8],
  [1, 6],
  [1, 5],
  [1, 4],
  [1, 3],
  [1, 2],
  [2, 3],
  [3, 4],
  [9, 10],
];
/** Below the first and above the second a share is as good as none or all. */
const RARE = 0.007;
const NEARLY_ALL = 0.95;

const logit = (share: number) => Math.log(share / (1 - share));

/** A share from 0 to 1 as "1 in 5": the easily said one nearest on the scale of odds; "hardly any" and "nearly all" at the ends. */
export function saidShare(share: number): string {
  if (share < RARE) return 'hardly any';
  if (share > NEARLY_ALL) return 'nearly all';
  const [best] = [...SAID].sort(
    ([a, b], [c, d]) => Math.abs(logit(a / b) - logit(share)) - Math.abs(logit(c / d) - logit(share)),
  );
  return `${best[0]} in ${best[1]}`;
}

/** An interval of shares: "between 1 in 10 and 1 in 3", "up to about 1 in 5", "about 1 in 2". */
export function saidShares([low, high]: readonly [number, number]): string {
  const [from, to] = [saidShare(low), saidShare(high)];
  if (from === to) return from.includes(' in ') ? `about ${from}` : from;
  return from === 'hardly any' ? `up to about ${to}` : `between ${from} and ${to}`;
}

/**
 * Share of failures that none in `n` still allows: one-sided, 95 %, exact binomial, 1 − 0.05^(1/n).
 * @throws RangeError for less than one.
 */
export function allowedByNone(n: number): number {
  if (n < 1) throw new RangeError(`none of ${n} says nothing; expected at least 1`);
  return 1 - 0.05 ** (1 / n);
}

/** How many a share counts: "5 of 24". */
export function countOf(share: number, n: number): string {
  return `${Math.round(share * n)} of ${n}`;
}

/** "3 strokes", "1 stroke". */
export function counted(n: number, thing: string): string {
  return `${n} ${thing}${n === 1 ? '' : 's'}`;
}

/** A size without its sign: whole from 2 on, else with one decimal. */
export function plainFigure(value: number): string {
  const size = Math.abs(value);
  return size >= 1.95 ? size.toFixed(0) : size.toFixed(1);
}

/** "between 3 and 9 in 100": sizes without a sign where both ends have the same, else with a true minus. */
export function saidPercents([low, high]: readonly [number, number]): string {
  const [a, b] = low < 0 && high <= 0 ? [-high, -low] : [low, high];
  const sign = a < 0 ? '\u2212' : '';
  return `between ${sign}${plainFigure(a)} and ${plainFigure(b)} in 100`;
}
