/** The record's checks as the stores use them: what does not pass is thrown. */

import { check, checkPiece, type Checked, type Migrations } from '../record/check.ts';
import type { Shelf, Shelves, SoundPiece } from '../record/types.ts';
import { StoreError, type Told } from './store.ts';

/** The thing, if the record has a place for it. @throws StoreError `damaged` or `newer`. */
export function checked<S extends Shelf>(shelf: S, value: unknown, migrations?: Migrations): Shelves[S] {
  return orThrow(check(shelf, value, migrations));
}

/** The piece of sound, if it is one. @throws StoreError `damaged`. */
export function checkedPiece(value: unknown): SoundPiece {
  return orThrow(checkPiece(value));
}

/** Those of a list that pass; the others are told. */
export function passing<S extends Shelf>(
  shelf: S,
  values: readonly unknown[],
  told: Told,
  migrations?: Migrations,
): Shelves[S][] {
  return values.flatMap((value) => {
    const { thing, refusal } = check(shelf, value, migrations);
    if (!refusal) return [thing];
    told.leftOut?.(shelf, idOf(value), new StoreError(refusal.code, refusal.message, refusal.remedy));
    return [];
  });
}

function orThrow<T>({ thing, refusal }: Checked<T>): T {
  if (refusal) throw new StoreError(refusal.code, refusal.message, refusal.remedy);
  return thing;
}

function idOf(value: unknown): string | null {
  const id = typeof value === 'object' && value !== null && 'id' in value ? value.id : null;
  return typeof id === 'string' ? id : null;
}
