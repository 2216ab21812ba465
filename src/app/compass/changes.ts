/** What became of a note from one round to the next, as it is called. */

export const CHANGE_WORDS = {
  improved: 'Improved',
  worse: 'Worse',
  'no-change-shown': 'No change shown',
  insufficient: 'Not enough yet',
} as const;

export type ChangeWord = keyof typeof CHANGE_WORDS;

/** The order in which changes are listed. */
export const CHANGE_ORDER = Object.keys(CHANGE_WORDS) as readonly ChangeWord[];
