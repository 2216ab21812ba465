/** Comparing the round on the desk with an earlier one, while a screen shows it. */

import { useEffect, useState } from 'react';
import type { PooledDocument } from '../analysis/document.ts';
import { compareWith, earlierRound, type Compared } from './desk/comparing.ts';
import type { Desk } from './desk/desk.ts';
import { Refiner } from './sitting/refiner.ts';

/** The round on the desk against an earlier one, in a worker of its own; null until then, and where there is none. */
export function useCompared(desk: Desk): Compared | null {
  const { sitting, rounds } = desk;
  const document = sitting?.book.judged ?? null;
  const [compared, setCompared] = useState<{ readonly of: PooledDocument; readonly found: Compared } | null>(null);
  useEffect(() => {
    const earlier = sitting && document ? earlierRound(sitting, rounds) : null;
    if (!sitting || !document || !earlier) return;
    const refiner = new Refiner();
    let left = false;
    compareWith(sitting, earlier, rounds, refiner).then(
      (found) => {
        if (!left) setCompared({ of: document, found });
      },
      (cause: unknown) => {
        if (!left) desk.say('compare', 'These two rounds cannot be compared', cause);
      },
    );
    return () => {
      left = true;
      refiner.close();
    };
  }, [desk, sitting, document, rounds]);
  return compared?.of === document ? compared.found : null;
}
