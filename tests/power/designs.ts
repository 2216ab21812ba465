/** The sittings that are simulated: which piano, which faults, which hand. */

import { USUAL_HAND, type HandOptions } from './hand.ts';
import { ACTION_FAULTS } from './modelTables.ts';
import type { Fault } from './piano.ts';
import type { SittingOptions } from './sitting.ts';

export interface Design {
  /** Short and lasting: seeds and goals hang on it. */
  readonly id: string;
  readonly what: string;
  readonly options: Omit<SittingOptions, 'from'>;
  /** How many sittings, against others: those that a goal rests on get more. */
  readonly weight: number;
}

/** Faults planted plainly, as the simulation study of the statistics planted them. */
export const PLAIN: readonly Fault[] = [
  { kind: 'silent', share: 0.05 },
  { kind: 'silent', share: 0.1 },
  { kind: 'silent', share: 0.2 },
  { kind: 'silent', share: 0.4 },
  { kind: 'double', share: 0.25 },
  { kind: 'weak', share: 0.2 },
  { kind: 'weak', share: 0.4 },
  { kind: 'spread', ratio: 1.5 },
  { kind: 'spread', ratio: 2 },
  { kind: 'spread', ratio: 3 },
  { kind: 'two-state', ratio: 2 },
  { kind: 'two-state', ratio: 3 },
];

/** A rest at two heights, mm at the hammer. */
export const HEIGHTS: readonly Fault[] = (['random', 'after-firm'] as const).flatMap((when) =>
  [1, 2, 4, 8, 16].map((millimetres) => ({ kind: 'two-heights', millimetres, when }) as const),
);

/** A shorter travel at equal level. */
export const SHIFTS: readonly Fault[] = [3, 5, 8, 12].map((percent) => ({ kind: 'shift', percent }) as const);

/** One thing out of regulation, as the model of an action plays it. */
export const ACTION: readonly Fault[] = ACTION_FAULTS.map((fault) => ({ kind: 'action', fault }) as const);

/** Scatter of travel between neighbours in order: an assumption, so several. */
export const NEIGHBOURS = [0.005, 0.01, 0.02, 0.03] as const;

const design = (
  id: string,
  what: string,
  options: Partial<Omit<SittingOptions, 'hand' | 'from'>> & { hand?: Partial<HandOptions> },
  weight = 1,
): Design => ({
  id,
  what,
  weight,
  options: { notes: 88, bad: 0, menu: [], neighbours: 0.01, ...options, hand: { ...USUAL_HAND, ...options.hand } },
});

/** Every design; the first two are the ones that the goals rest on. */
export const DESIGNS: readonly Design[] = [
  design('good', 'all notes in order', {}, 2),
  design('plain-15', '15 % of the notes bad', { bad: 0.15, menu: PLAIN }, 3),
  design('plain-33', '33 % bad', { bad: 0.33, menu: PLAIN }),
  design('missing-60', '15 % bad, 60 % of contacts missing', { bad: 0.15, menu: PLAIN, hand: { missing: 0.6 } }),
  design('notes-20', '20 notes, 20 % bad', { notes: 20, bad: 0.2, menu: PLAIN }, 4),
  design('weight', '15 % bad, slow strokes by a weight', { bad: 0.15, menu: PLAIN, hand: { weight: true } }),
  design('heights', '15 % bad, rests at two heights', { bad: 0.15, menu: HEIGHTS }),
  design('heights-weight', 'the same by a weight', { bad: 0.15, menu: HEIGHTS, hand: { weight: true } }),
  ...NEIGHBOURS.map((neighbours) =>
    design(`shift-${100 * neighbours}`, `15 % bad, shifts; neighbours scatter ${100 * neighbours} %`, {
      bad: 0.15,
      menu: SHIFTS,
      neighbours,
    }),
  ),
  design('action', '15 % bad, by the model of an action', { bad: 0.15, menu: ACTION }),
  design('action-steady-hand', 'the same, depth of the hand ±0.5 mm', {
    bad: 0.15,
    menu: ACTION,
    hand: { depthScatter: 0.5 },
  }),
  design('action-loose-hand', 'the same, depth ±1.2 mm', { bad: 0.15, menu: ACTION, hand: { depthScatter: 1.2 } }),
  design('let-up-6', 'all in order, let up to 6 mm', { hand: { depth: 6 } }),
  design('weak-player', 'all in order, a weak player: depth ±1.2 mm, touch 8 %, slips 8 %', {
    hand: { depthScatter: 1.2, touch: 0.08, slips: 0.08 },
  }),
];

/**
 * The design of that id.
 * @throws RangeError if there is none.
 */
export function designOf(id: string): Design {
  const found = DESIGNS.find((one) => one.id === id);
  if (!found) throw new RangeError(`no design "${id}"; expected one of ${DESIGNS.map((one) => one.id).join(', ')}`);
  return found;
}
