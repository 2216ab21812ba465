/** What the store keeps but cannot read: each thing is named once, with the reason. */

import type { Shelf } from '../../record/types.ts';
import type { StoreError } from '../../storage/store.ts';

/** So many are named in one notice. */
const NAMED = 3;

export class UnreadThings {
  readonly #found = new Map<string, StoreError>();
  readonly #watchers = new Set<Set<string>>();

  /** Takes down one that was left out of a list. @returns whether it was not known before. */
  add(shelf: Shelf, id: string | null, error: StoreError): boolean {
    for (const watcher of this.#watchers) watcher.add(error.message);
    const key = `${shelf} ${id ?? error.message}`;
    const fresh = !this.#found.has(key);
    this.#found.set(key, error);
    return fresh;
  }

  /** All so far in sentences: which, what is wrong, what to do. */
  get words(): string {
    const errors = [...this.#found.values()];
    return `${namedWords(errors.map(({ message }) => message))} ${[...new Set(errors.map(({ remedy }) => remedy))].join(' ')}`;
  }

  /** Listens from now on. @returns ends it: the messages of what was left out meanwhile, each once. */
  watch(): () => readonly string[] {
    const own = new Set<string>();
    this.#watchers.add(own);
    return () => {
      this.#watchers.delete(own);
      return [...own];
    };
  }
}

/** Messages as sentences, the first few of many. */
export function namedWords(messages: readonly string[]): string {
  const rest = messages.length - NAMED;
  const named = messages.slice(0, NAMED).map((message) => {
    const begun = `${message.charAt(0).toUpperCase()}${message.slice(1)}`;
    return begun.replace(/(?<!\.)$/, '.');
  });
  return [...named, ...(rest > 0 ? [`And ${rest} more.`] : [])].join(' ');
}
