/** What a page needs of the storage, in one file for a browser. */

export { persist } from '../../src/storage/browserStore.ts';
export { openStore } from '../../src/storage/openStore.ts';
export type { Store } from '../../src/storage/store.ts';
export { holdVisit, takeOverVisit, type HeldVisit } from '../../src/storage/visitLock.ts';
