/** The round on the desk against an earlier one of its visit: which one, and what changed. */

import type { ComparisonDocument } from '../../analysis/compare.ts';
import type { PooledDocument } from '../../analysis/document.ts';
import { freshIn } from '../../record/freshBefore.ts';
import { saidOf, takesThatCount } from '../../record/rounds.ts';
import type { Adjustment, Round, Take } from '../../record/types.ts';
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
  const { store, visit, book } = sitting;
  const adjustments = await store.list('adjustments', { visitId: visit.id });
  const worked = adjustments
    .filter(({ undone, afterRound }) => !undone && afterRound >= earlier.number && afterRound < book.round.number)
    .map(({ midi }) => midi);
  const pool = pooledBefore(earlier, rounds);
  const takes: Take[] = [];
  for (const round of pool) {
    const own = takesThatCount(round.id, await store.list('takes', { roundId: round.id }));
    takes.push(...own.filter(({ midi }) => !turnedBetween(midi, round, earlier, adjustments)));
  }
  const { before, comparison } = await refiner.ask({
    type: 'compare',
    before: takes.map(({ heard }) => heard),
    after: book.takes.map(({ heard }) => heard),
    reference: book.reference?.reference ?? null,
    zeros: await noteZeros(store, visit.pianoId, takes, book.takes, refiner),
    said: { before: saidOf(earlier, visit), after: saidOf(book.round, visit) },
    // Where rounds are pooled, the fresh strokes are a note's later looks.
    fresh: pool.length > 1 ? [] : freshIn(earlier, { rounds, adjustments }),
  });
  return { earlier, title: titleOf(pool), document: before, comparison, worked: worked.length > 0 ? worked : null };
}

/**
 * The rounds that make up "before". One that heard open notes afresh has too few notes for a hand of its own: it stands with the one
 * before it, played in the same way, of which its strokes are later looks.
 */
function pooledBefore(earlier: Round, rounds: readonly Round[]): Round[] {
  const inOrder = rounds.filter(({ number }) => number <= earlier.number).sort((a, b) => b.number - a.number);
  const alike = (round: Round) => JSON.stringify(round.setting) === JSON.stringify(earlier.setting);
  const last = inOrder.findIndex((round) => round.plan.kind !== 'open-worklist');
  const pool = last < 0 ? [earlier] : inOrder.slice(0, last + 1);
  return pool.every(alike) ? pool.reverse() : [earlier];
}

function titleOf(pool: readonly Round[]): string {
  const numbers = pool.map(({ number }) => String(number));
  if (numbers.length === 1) return `Round ${numbers[0]}`;
  return `Rounds ${numbers.slice(0, -1).join(', ')} and ${numbers[numbers.length - 1]}`;
}

function turnedBetween(midi: MidiNote, from: Round, to: Round, adjustments: readonly Adjustment[]): boolean {
  return adjustments.some(
    (one) => !one.undone && one.midi === midi && one.afterRound >= from.number && one.afterRound < to.number,
  );
}
