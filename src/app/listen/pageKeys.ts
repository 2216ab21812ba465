/** The keys of page-turn pedals: PageUp takes the last take back, PageDown goes to the next note. */

import { useEffect } from 'react';
import type { ListenActions } from './view.ts';

/** While the screen stands. A key held down acts once; with a modifier it is left to the browser. */
export function usePageKeys({ undo, skip }: Pick<ListenActions, 'undo' | 'skip'>): void {
  useEffect(() => {
    const pressed = (event: KeyboardEvent) => {
      const act = event.key === 'PageUp' ? undo : event.key === 'PageDown' ? skip : null;
      if (act === null || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey) return;
      event.preventDefault();
      if (!event.repeat) act();
    };
    window.addEventListener('keydown', pressed);
    return () => window.removeEventListener('keydown', pressed);
  }, [undo, skip]);
}
