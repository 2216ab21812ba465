/** What is typed, shown at once: the desk shows things anew once a frame, and a field that waits for that loses letters. */

import { useState } from 'react';

/**
 * @param kept - as the desk has it; whenever that changes, it is shown
 * @returns what to show, and how to change it
 */
export function useAtOnce<T>(kept: T, keep: (next: T) => void): [shown: T, change: (next: T) => void] {
  const [own, setOwn] = useState({ shown: kept, before: kept });
  const change = (next: T) => {
    setOwn({ shown: next, before: kept });
    keep(next);
  };
  return [kept === own.before ? own.shown : kept, change];
}
