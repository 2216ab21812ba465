/** What a browser's database says when it fails, as errors of the store: in words for a person, with a remedy. */

import { StoreError } from './store.ts';

/** The failure as error of the store. */
export function asStoreError(failure: unknown): StoreError {
  if (failure instanceof StoreError) return failure;
  if (isFull(failure)) {
    return new StoreError(
      'full',
      'This device has no room left for the record; nothing that was kept is lost',
      'Make room on the device or drop the sound of earlier visits, then try again; until then save takes as files.',
    );
  }
  const { name, message } = wordsOf(failure);
  if (name === 'VersionError') {
    return new StoreError(
      'newer',
      'The record on this device was made by a newer Evenfall',
      'Update this Evenfall or open the newer one; nothing was changed.',
    );
  }
  return new StoreError(
    'failed',
    `The browser's store failed (${name}${message === '' ? '' : `: ${message}`})`,
    'Save what is in memory as a file, then load the page again.',
  );
}

/** Whether a failure says that there is no room. */
export function isFull(failure: unknown): boolean {
  return wordsOf(failure).name === 'QuotaExceededError';
}

/** Another tab with an older program holds the record. */
export function waitsForOther(): StoreError {
  return new StoreError(
    'blocked',
    'The record is brought up to date as soon as another tab with an older Evenfall lets go of it',
    'Close the other tabs with Evenfall.',
  );
}

/** This tab let go of the record, because another one brings it up to date or removes it. */
export function gaveWay(removed: boolean): StoreError {
  return new StoreError(
    'blocked',
    removed
      ? 'The record of this browser is being removed'
      : 'A newer Evenfall in another tab has taken over the record',
    'Save what is in memory as a file, then load this page again.',
  );
}

/** The browser closed the record, as it does when a profile is cleared or a disk fails. */
export function closedByBrowser(): StoreError {
  return new StoreError(
    'failed',
    'The browser closed the record by itself',
    'It is opened anew with the next thing that is kept; if that fails too, save takes as files and load the page again.',
  );
}

function wordsOf(failure: unknown): { readonly name: string; readonly message: string } {
  // A DOMException is no Error in every browser.
  if (typeof failure === 'object' && failure !== null && 'name' in failure && 'message' in failure) {
    return { name: String(failure.name), message: String(failure.message) };
  }
  return { name: 'unknown', message: String(failure) };
}
