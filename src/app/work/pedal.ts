/**
 * A page-turn pedal at the worklist: PageDown acts, PageUp goes back.
 *
 * The first press of PageDown lays the focus on the next open note's large button, the second presses it: a foot that slips
 * marks nothing. In the question what was turned it says no more and goes on.
 */

import { useEffect, type RefObject } from 'react';

/** While the screen stands. A key held down acts once; with a modifier it is left to the browser. */
export function useWorkPedal(screen: RefObject<HTMLElement | null>): void {
  useEffect(() => {
    const pressed = (event: KeyboardEvent) => {
      const { key } = event;
      if ((key !== 'PageDown' && key !== 'PageUp') || event.ctrlKey || event.metaKey || event.altKey || event.shiftKey)
        return;
      // Nothing to act on: the page scrolls, as it does elsewhere.
      const dialog = document.querySelector<HTMLDialogElement>('dialog[open]');
      const steps = [...(screen.current?.querySelectorAll<HTMLButtonElement>('button.work-next') ?? [])];
      if (!dialog && steps.length === 0) return;
      event.preventDefault();
      if (event.repeat) return;
      if (dialog) {
        if (key === 'PageDown') dialog.querySelector<HTMLButtonElement>('button[type="submit"]')?.click();
        else dialog.querySelector<HTMLButtonElement>('[data-takes-back]')?.click();
        return;
      }
      const focused = document.activeElement instanceof HTMLElement ? document.activeElement : document.body;
      const at = steps.findIndex((step) => step === focused);
      if (key === 'PageUp') steps[Math.max(0, at - 1)].focus();
      else if (at >= 0) steps[at].click();
      else following(steps, focused).focus();
    };
    window.addEventListener('keydown', pressed);
    return () => window.removeEventListener('keydown', pressed);
  }, [screen]);
}

/** The first that stands after what has the focus; else the first of all. */
function following(steps: readonly HTMLButtonElement[], focused: HTMLElement): HTMLButtonElement {
  const after = (step: HTMLButtonElement) =>
    focused !== document.body && focused.compareDocumentPosition(step) & Node.DOCUMENT_POSITION_FOLLOWING;
  return steps.find(after) ?? steps[0];
}
