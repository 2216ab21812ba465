/** Hands to be kept: learned from a round whose notes are in order, or read from a file. */

import { newReference } from '../../record/newThings.ts';
import type { StoredReference } from '../../record/types.ts';
import type { Refining } from '../sitting/refiner.ts';
import type { RoundBook } from '../sitting/roundBook.ts';

/** The hand as a round shows it. Rejects, saying why, where too few notes have been heard. */
export async function handOf(book: RoundBook, refiner: Refining, name: string, id: string): Promise<StoredReference> {
  const documents = book.takes.map(({ heard }) => heard);
  const { reference } = await refiner.ask({ type: 'learn', documents });
  return newReference({ id, name, learnedAt: new Date().toISOString(), reference: { ...reference } });
}

/** A hand that was learned elsewhere (`evenfall.reference/1`). Rejects, saying what is the matter with the file. */
export async function handFrom(file: File, refiner: Refining, id: string): Promise<StoredReference> {
  const { reference } = await refiner.ask({ type: 'read-hand', text: await file.text(), name: file.name });
  const name = file.name.replace(/\.json$/i, '');
  return newReference({ id, name, learnedAt: new Date().toISOString(), reference: { ...reference } });
}
