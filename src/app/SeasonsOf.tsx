/** The seasons of the piano on the desk. They come when they are asked for. */

import { useEffect, useState } from 'react';
import type { Desk } from './desk/desk.ts';
import { openFromSeasons, readSeasons } from './desk/readSeasons.ts';
import { SeasonsScreen } from './seasons/SeasonsScreen.tsx';
import type { SeasonsView } from './seasons/view.ts';

export function SeasonsOf({ desk }: { desk: Desk }) {
  const { sitting } = desk;
  const [view, setView] = useState<SeasonsView | null>(null);
  useEffect(() => {
    if (!sitting) return;
    let left = false;
    readSeasons(sitting).then(
      (found) => {
        if (!left) setView(found);
      },
      (cause: unknown) => {
        if (!left) desk.say('seasons', 'The earlier visits cannot be read', cause);
      },
    );
    return () => {
      left = true;
    };
  }, [desk, sitting]);
  if (!view) return null;
  return <SeasonsScreen view={view} actions={{ open: (id) => void openFromSeasons(desk, id) }} />;
}
