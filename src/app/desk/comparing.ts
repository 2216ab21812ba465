/** The round on the desk against an earlier one of its visit: which one, and what changed. */

import type { ComparisonDocument } from '../../analysis/compare.ts';
import type { PooledDocument } from '../../analysis/document.ts';
import { beforeSide, workBetween } from '../../record/beforeSide.ts';
import { saidOf } from '../../record/rounds.ts';
import type { Round } from '../../record/types.ts';
import type { MidiNote } from '../../units.ts';
import type { Refining } from '../sitting/refiner.ts';
import type { Sitting } from '../sitting/sitting.ts';
import { noteZeros } from './noteZeros.ts';

export interface Compared {
  readonly earlier: Round;
  /** "Round 2"; "Rounds 1 and 2" where fresh strokes stand with the round that flagged their notes. */
  readonly title: string;
  /** The earlier round, judged. */
  readonly document: PooledDocument;
  readonly comparison: ComparisonDocument;
  /** The notes adjusted in between; null where none was marked: all that were heard twice. */
  readonly worked: readonly MidiNote[] | null;
}

/** Notes in common that make two rounds worth comparing. */
const LEAST_COMMON = 1;

/**
 * The latest earlier round that has notes of the one on the desk; null where there is none. Rounds that nobody judged yet
 * cannot be chosen.
 */
export function earlierRound({ book }: Sitting, rounds: readonly Round[]): Round | null {
  const heard = new Set(book.heard);
  const common = ({ summary }: Round) => summary?.verdicts.filter(({ midi }) => heard.has(midi)).length ?? 0;
  return rounds.findLast((round) => round.number < book.round.number && common(round) >= LEAST_COMMON) ?? null;
}

/**
 * Compares the round on the desk with the earlier one. Some seconds for a whole piano, not on this thread.
 * @throws RefinerError, StoreError (as a rejection).
 */
export async function compareWith(
  sitting: Sitting,
  earlier: Round,
  rounds: readonly Round[],
  refiner: Refining,
): Promise<Compared> {
  const { store, visit, piano, book } = sitting;
  const of = { visitId: visit.id };
  const adjustments = await store.list('adjustments', of);
  const known = workBetween(earlier.number, book.round.number, piano, adjustments);
  const [takes, marks] = [await store.list('takes', of), await store.list('marks', of)];
  const side = beforeSide(earlier, { rounds, takes, adjustments, marks });
  const { before, comparison } = await refiner.ask({
    type: 'compare',
    before: side.takes.map(({ heard }) => heard),
    after: book.takes.map(({ heard }) => heard),
    reference: book.reference?.reference ?? null,
    zeros: await noteZeros(store, visit.pianoId, side.takes, book.takes, refiner),
    said: { before: saidOf(earlier, visit), after: saidOf(book.round, visit) },
    fresh: side.fresh,
    ...known,
  });
  return { earlier, title: side.title, document: before, comparison, worked: known.worked ?? null };
}
