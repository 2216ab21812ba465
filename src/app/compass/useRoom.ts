/** How much room an element has, and how large the reader's text is. */

import { useEffect, useState, type RefObject } from 'react';

export interface Room {
  /** CSS pixels, whole. */
  readonly width: number;
  /** Height of the root's text against its usual 16 pixels. */
  readonly textTimes: number;
}

/** Narrower than any screen. */
const LEAST_WIDTH = 120;

/** Measures an element, and again whenever its width or the size of the text changes; null before the first time. */
export function useRoom(element: RefObject<HTMLElement | null>): Room | null {
  const [room, setRoom] = useState<Room | null>(null);
  useEffect(() => {
    const own = element.current!;
    const measure = () => {
      const width = Math.floor(own.clientWidth);
      // Hidden while the next screen comes: nothing can be drawn in that, and nobody sees it.
      if (width < LEAST_WIDTH) return;
      const textTimes = parseFloat(getComputedStyle(document.documentElement).fontSize) / 16;
      setRoom((was) => (was?.width === width && was.textTimes === textTimes ? was : { width, textTimes }));
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(own);
    // A line of text as high as the reader's: where its size changes and no width does.
    const line = own.querySelector('.compass-line');
    if (line) observer.observe(line);
    return () => observer.disconnect();
  }, [element]);
  return room;
}
