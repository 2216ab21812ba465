/**
 * Figures of an earlier simulation study of the statistics, and of a model study of repeated strokes, to print beside.
 *
 * The simulation study drew independent failures and normal scatter with slips, knew the base rate, and judged by the same
 * law that it drew from; its figures are of the sequence that asks again for open notes only, unless they say otherwise. The
 * model study counted two passages of 12 at 6 a second and one at 8, mean depth 5.0, scatter 0.8 mm. None of them is a goal.
 */

/** Notes in order, by design: false "unstable" per 88, share steady, minutes. */
export const STUDIED: Readonly<Record<string, { unstable: number; steady: number; minutes: number }>> = {
  // All notes that are not steady asked again.
  good: { unstable: 0.4, steady: 0.98, minutes: 38 },
  'plain-15': { unstable: 0.28, steady: 0.7, minutes: 30 },
  // All notes that are not steady asked again, in the three that follow.
  'plain-33': { unstable: 0.3, steady: 0.97, minutes: 40 },
  'missing-60': { unstable: 0.44, steady: 0.88, minutes: 51 },
  'notes-20': { unstable: 0.44, steady: 0.97, minutes: 9 },
};

/** Share found unstable, by design, then fault. */
export const STUDIED_FOUND: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  'plain-15': {
    'silent 10 %': 0.48,
    'silent 20 %': 0.89,
    'silent 40 %': 1,
    'spread x1.5': 0.22,
    'spread x2': 0.49,
    'spread x3': 0.91,
    'two-state x2': 0.79,
    'two-state x3': 0.88,
  },
  'plain-33': {
    'silent 10 %': 0.56,
    'silent 20 %': 0.91,
    'silent 40 %': 1,
    'spread x1.5': 0.27,
    'spread x2': 0.66,
    'spread x3': 0.98,
  },
  'missing-60': {
    'silent 10 %': 0.42,
    'silent 20 %': 0.95,
    'silent 40 %': 1,
    'spread x1.5': 0.2,
    'spread x2': 0.48,
    'spread x3': 0.86,
  },
  'notes-20': {
    'silent 10 %': 0.46,
    'silent 20 %': 0.9,
    'silent 40 %': 1,
    'spread x1.5': 0.17,
    'spread x2': 0.59,
    'spread x3': 0.97,
  },
  action: {
    'spring x0.8': 0.46,
    'spring x0.7': 0.63,
    'lever -0.45': 0.14,
    'lever -0.6': 0.34,
    'check 20': 0.34,
    'check 25': 0.95,
    'centre x4': 0.15,
  },
};
