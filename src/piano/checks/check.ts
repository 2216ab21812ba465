/**
 * A single thing to look at: what to do, why it may be this, how far that can be trusted, where and with what one looks.
 *
 * None is a diagnosis. Where and with what to look is common practice without a source; a look needs less than the
 * adjustment that may follow from it (that is in the action's parts).
 */

import { NO_SOURCE, NO_TOOL, type Place, type Sourced } from '../grades.ts';
import type { Part } from '../regulation.ts';

/** Something to look at, and why. */
export interface Check extends Sourced {
  readonly part: Part;
  /** What to do or to look at, a sentence. */
  readonly look: string;
  /** Why it may be this; never that it is. */
  readonly why: string;
  /** Where one looks. */
  readonly where: Place;
  /** With what. */
  readonly tool: string;
  /** Looked at for the fine setting only: springs, once the checks are set. */
  readonly fine?: true;
}

/** What most of the models’ sayings rest on. */
export const MODEL = 'model study of one grand action';
export const REPEATS = 'model study of fast repeats, 36 strokes a note';
export const PART_X = 'londonpianotuning, part X; how to look is common practice';
const LAMP = 'lamp';

/** Where and with what. */
export type Seen = readonly [where: Place, tool?: string];
type Rests = readonly [grade: 'model' | 'published trade text', source: string] | null;

/** Makes one; `rests` null: common practice without a source. */
export const check = (part: Part, look: string, why: string, rests: Rests, [where, tool = NO_TOOL]: Seen): Check => ({
  part,
  look,
  why,
  grade: rests === null ? 'common practice' : rests[0],
  source: rests === null ? NO_SOURCE : rests[1],
  where,
  tool,
});

export const IN: Seen = ['in the piano'];
export const IN_LIT: Seen = ['in the piano', LAMP];
export const HALF: Seen = ['half out'];
export const HALF_LIT: Seen = ['half out', LAMP];
export const BENCH: Seen = ['on the bench'];
