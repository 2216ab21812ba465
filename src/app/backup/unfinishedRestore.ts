/**
 * Which takes a restoring has put sound in for, as long as the takes are not there: what tells, after the program died, sound of
 * a backup that was not brought in from sound of a take that was not finished. Kept by the browser beside the record.
 */

const NAME = 'evenfall-restoring';

/** Keeps the ids of these takes in place of those before; none ends it. Where nothing can be kept, nothing is told apart. */
export function keepRestoring(takeIds: readonly string[]): void {
  try {
    if (takeIds.length === 0) localStorage.removeItem(NAME);
    else localStorage.setItem(NAME, JSON.stringify(takeIds));
  } catch {
    // Without it such sound is still removed at the next opening; only the words for it are those of a take.
  }
}

/** The ids that were kept last. */
export function keptRestoring(): ReadonlySet<string> {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(NAME) ?? '[]');
    return new Set(Array.isArray(kept) ? kept.filter((id) => typeof id === 'string') : []);
  } catch {
    return new Set();
  }
}
