/** Where the focus is after a change of screen: on what one came from, else on the new screen's heading, never nowhere. */

import { useEffect, useRef } from 'react';

/**
 * Watches which screen is shown. A screen that is left remembers what had the focus; one that is come back to gives it back
 * to the element of the same name, if there still is one. Any other gives it to its heading (`h1`), from where Tab goes on.
 * The page's first screen leaves it where the browser put it.
 */
export function useFocusKept(screen: string): void {
  const shown = useRef(screen);
  /** The screens that one came through, with what had the focus when each was left. */
  const way = useRef<{ readonly screen: string; readonly name: string }[]>([]);
  const last = useRef('');
  useEffect(() => {
    const took = ({ target }: FocusEvent) => {
      last.current = target instanceof HTMLElement ? nameOf(target) : '';
    };
    document.addEventListener('focusin', took);
    return () => document.removeEventListener('focusin', took);
  }, []);
  useEffect(() => {
    if (shown.current === screen) return;
    const back = way.current.findIndex((passed) => passed.screen === screen);
    const name = way.current[back]?.name;
    if (back >= 0) way.current.splice(back);
    else way.current.push({ screen: shown.current, name: last.current });
    shown.current = screen;
    // The button back stands on most screens and would keep it: nobody would hear that the screen is another one.
    let mine = document.activeElement;
    /** True once nothing more is to be done: the element is found, or a person has gone on. */
    const place = () => {
      const { activeElement } = document;
      if (activeElement !== mine && activeElement !== document.body) return true;
      const before = name && [...document.querySelectorAll<HTMLElement>(OPERATED)].find((one) => nameOf(one) === name);
      const heading = document.querySelector<HTMLElement>('h1');
      if (heading) heading.tabIndex = -1;
      (before || heading)?.focus();
      mine = document.activeElement;
      return mine === (name ? before : heading);
    };
    // Screens come when they are asked for, and some measure their room before they draw.
    const watching = new MutationObserver(() => {
      if (place()) watching.disconnect();
    });
    const frame = requestAnimationFrame(() => {
      if (!place()) watching.observe(document.body, { childList: true, subtree: true });
    });
    const patience = setTimeout(() => watching.disconnect(), PATIENCE_MS);
    return () => {
      clearTimeout(patience);
      cancelAnimationFrame(frame);
      watching.disconnect();
    };
  }, [screen]);
}

/** So long a screen may take until it is whole. */
const PATIENCE_MS = 3000;
const OPERATED = 'a[href], button, input, select, summary, [tabindex="0"]';

/** What a reader would call it; empty for what has no name of its own. */
function nameOf(element: HTMLElement): string {
  return `${element.tagName} ${element.getAttribute('aria-label') ?? element.textContent ?? ''}`;
}
