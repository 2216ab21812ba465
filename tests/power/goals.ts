/**
 * What the judgement must reach over whole sittings, and what the gate holds of it.
 *
 * `goal` is the aim, held against the long run of the meter. `gate` is what the gate's small part must show: the aim less
 * two standard errors of that part, or what is reached less so much where the aim is not reached.
 */

export interface Goal {
  readonly what: string;
  /** The design it rests on. */
  readonly design: string;
  /** Notes in order per 88 with this verdict, or a share of them, or of the notes with a fault that are found unstable. */
  readonly of: 'false per 88' | 'false share' | 'found' | 'coverage';
  /** The fault's name, or the group of the coverage. */
  readonly name?: string;
  readonly sense: 'at most' | 'at least' | 'between';
  readonly goal: number;
  /** The upper end of `between`. */
  readonly upTo?: number;
  readonly gate: number;
  /** The gate's upper end of `between`. */
  readonly gateUpTo?: number;
  readonly reason: string;
}

export const GOALS: readonly Goal[] = [
  {
    what: 'false "unstable" per 88 notes in order, nothing bad',
    design: 'good',
    of: 'false per 88',
    sense: 'at most',
    goal: 0.45,
    gate: 1.1,
    reason: 'the shares of the error: repeats and doubles 0.3, spread 0.15',
  },
  {
    what: 'false "unstable" per 88 notes in order, 15 % bad',
    design: 'plain-15',
    of: 'false per 88',
    sense: 'at most',
    goal: 0.45,
    gate: 1.1,
    reason: 'as above: bad notes must not make the others suspect',
  },
  {
    what: '40 % of re-strikes silent, found',
    design: 'plain-15',
    of: 'found',
    name: 'silent 40 %',
    sense: 'at least',
    goal: 0.99,
    gate: 0.6,
    reason: 'simulation study of the statistics: 99 to 100 %',
  },
  {
    what: '20 % of re-strikes silent, found',
    design: 'plain-15',
    of: 'found',
    name: 'silent 20 %',
    sense: 'at least',
    goal: 0.88,
    gate: 0.4,
    reason: 'simulation study of the statistics: 89 %',
  },
  {
    what: 'doubles in 25 % of strokes, found',
    design: 'plain-15',
    of: 'found',
    name: 'double 25 %',
    sense: 'at least',
    goal: 0.95,
    gate: 0.85,
    reason: 'many strokes, low base rate',
  },
  {
    what: 'spread 3 times the firm scale, found',
    design: 'plain-15',
    of: 'found',
    name: 'spread x3',
    sense: 'at least',
    goal: 0.95,
    gate: 0.7,
    reason: 'simulation study of the statistics: 91 to 97 %',
  },
  {
    what: 'spread twice the firm scale, found',
    design: 'plain-15',
    of: 'found',
    name: 'spread x2',
    sense: 'at least',
    goal: 0.6,
    gate: 0.3,
    reason: 'simulation study of the statistics: 49 to 66 %',
  },
  {
    what: 'share of notes in order called unstable, weak player',
    design: 'weak-player',
    of: 'false share',
    sense: 'at most',
    goal: 0.01,
    gate: 0.02,
    reason: 'a weak hand must not be taken for bad hammers',
  },
  {
    what: '90 % interval of the spread ratio holds the true one, notes in order',
    design: 'good',
    of: 'coverage',
    name: 'in order | all',
    sense: 'between',
    goal: 0.88,
    upTo: 0.92,
    gate: 0.86,
    gateUpTo: 0.95,
    reason: 'an interval must be what it says',
  },
];
