/** The store that a page works with: the browser's, or memory where the browser keeps nothing. */

import { openBrowserStore, type BrowserStoreOptions } from './browserStore.ts';
import { asStoreError } from './failures.ts';
import { memoryStore } from './memoryStore.ts';
import type { Store, StoreError } from './store.ts';

export interface OpenedStore {
  readonly store: Store;
  /** Why nothing will last beyond this page; null where it will. */
  readonly passing: StoreError | null;
}

/** Opens the lasting store; a passing one, with the reason, where that fails. Never rejects. */
export async function openStore(options: BrowserStoreOptions = {}): Promise<OpenedStore> {
  try {
    return { store: await openBrowserStore(options), passing: null };
  } catch (failure) {
    return { store: memoryStore(), passing: asStoreError(failure) };
  }
}
