/** The notice of a waiting update, wherever a screen has place for it: never while listening. */

import { useState, useSyncExternalStore } from 'react';
import { UpdateNotice } from './UpdateNotice.tsx';
import type { WaitingUpdate } from './watchUpdates.ts';

let waiting: WaitingUpdate | null = null;
const listeners = new Set<() => void>();

/** Takes in what {@link watchUpdates} tells; null takes it back. */
export function tellWaiting(update: WaitingUpdate | null): void {
  waiting = update;
  for (const listener of listeners) listener();
}

/** The notice; nothing while no update waits or after "Later" (until the page is opened again). */
export function WaitingNotice() {
  const update = useSyncExternalStore(subscribe, () => waiting);
  const [held, setHeld] = useState(false);
  if (!update) return null;
  return (
    <UpdateNotice
      update={update}
      held={held}
      onApply={() => void update.apply().then((outcome) => setHeld(outcome === 'listening'))}
      onLater={() => tellWaiting(null)}
    />
  );
}

function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
