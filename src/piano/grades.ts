/**
 * How far a statement about the action can be trusted, and where work on it is done.
 */

/** How far a statement can be trusted. Closed list. */
export const GRADES = ['published trade text', 'model', 'common practice'] as const;
export type Grade = (typeof GRADES)[number];

/** Stands as the source of what is common practice, and of nothing else. */
export const NO_SOURCE = 'no source';

/** What a statement rests on. */
export interface Sourced {
  readonly grade: Grade;
  /** The text or study it was read in; {@link NO_SOURCE} exactly where the grade is common practice. */
  readonly source: string;
}

/** Where work is done, from the least trouble to the most. Closed list. */
export const PLACES = ['in the piano', 'half out', 'on the bench'] as const;
export type Place = (typeof PLACES)[number];

/** Stands as the tool where eyes, ears and fingers do. */
export const NO_TOOL = 'no tool';
