/**
 * What follows from leaving a field waits until the press that left it is over: a line that appeared below the field at once would
 * move the button away from under the finger, and the press would be lost.
 */

import { useEffect, useRef } from 'react';

/** @returns runs what it is given: at once, or after the press that is going on; not at all once its screen is left. */
export function useAfterPress(): (run: () => void) => void {
  const pressed = useRef(false);
  const waiting = useRef<(() => void) | null>(null);
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    const down = () => {
      pressed.current = true;
    };
    const up = () => {
      pressed.current = false;
      const run = waiting.current;
      waiting.current = null;
      // The click itself comes right after.
      if (run) timer = setTimeout(run);
    };
    window.addEventListener('pointerdown', down, true);
    window.addEventListener('pointerup', up, true);
    window.addEventListener('pointercancel', up, true);
    return () => {
      window.removeEventListener('pointerdown', down, true);
      window.removeEventListener('pointerup', up, true);
      window.removeEventListener('pointercancel', up, true);
      clearTimeout(timer);
      waiting.current = null;
    };
  }, []);
  return (run) => {
    if (pressed.current) waiting.current = run;
    else run();
  };
}
