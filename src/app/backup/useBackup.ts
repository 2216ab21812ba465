/** The backup screen's state: what is chosen, what is going on, what came of it. */

import { useEffect, useRef, useState } from 'react';
import { readBackup } from '../../storage/backup/readBackup.ts';
import { soundInBackup, writeBackup, type BackupOf } from '../../storage/backup/writeBackup.ts';
import { StoreError, type Store } from '../../storage/store.ts';
import { holdVisit } from '../../storage/visitLock.ts';
import { broughtInWords, refusalNotice, savedWords, sizeWords } from './backupWords.ts';
import { choosePlace } from './backupPlace.ts';
import { keepRestoring } from './unfinishedRestore.ts';
import type { BackupActions, BackupView } from './view.ts';

const EVERYTHING = 'everything';

/** The visit that the screen was opened from. */
export interface BackupVisit {
  readonly id: string;
  /** "Aldervane 274, Quillwater Hall, 3 November 2026". */
  readonly words: string;
}

/**
 * @param visit - null: only everything can be saved
 * @param onBroughtIn - after a restoring that brought something in: lists are to be read anew
 */
export function useBackup(
  store: Store,
  visit: BackupVisit | null,
  onBroughtIn: () => void,
): { readonly view: BackupView; readonly actions: BackupActions } {
  const [chosen, setChosen] = useState(visit?.id ?? EVERYTHING);
  const [sizes, setSizes] = useState<Readonly<Record<string, string>>>({});
  const [busy, setBusy] = useState<BackupView['busy']>(null);
  const [outcome, setOutcome] = useState<string | null>(null);
  const [notices, setNotices] = useState<BackupView['notices']>([]);
  const stopping = useRef<AbortController>(null);
  const visitId = visit?.id ?? null;

  useEffect(() => {
    let gone = false;
    const count = async (id: string, what: BackupOf) => {
      const size = sizeWords(await soundInBackup(store, what), id === EVERYTHING);
      if (!gone) setSizes((before) => ({ ...before, [id]: size }));
    };
    const failed = (failure: unknown) => {
      if (!gone) setNotices([refusalNotice(asStoreError(failure), 'saving')]);
    };
    if (visitId !== null) count(visitId, { visitId }).catch(failed);
    count(EVERYTHING, EVERYTHING).catch(failed);
    return () => {
      gone = true;
    };
    // Counted anew after each deed.
  }, [store, visitId, outcome]);
  useEffect(() => () => stopping.current?.abort(), []);

  /** One thing at a time; what goes wrong is said. */
  const during = async (what: 'saving' | 'restoring', deed: (signal: AbortSignal) => Promise<string | null>) => {
    const own = new AbortController();
    stopping.current = own;
    setOutcome(null);
    setNotices([]);
    setBusy({ what, share: 0 });
    try {
      setOutcome(await deed(own.signal));
    } catch (failure) {
      if (own.signal.aborted)
        setOutcome(what === 'saving' ? 'Stopped: nothing was saved.' : 'Stopped: nothing was changed here.');
      else setNotices([refusalNotice(asStoreError(failure), what)]);
    } finally {
      setBusy(null);
    }
  };

  const save = async () => {
    const now = new Date().toISOString();
    const place = await choosePlace(`evenfall-${chosen === EVERYTHING ? EVERYTHING : 'visit'}-${now.slice(0, 10)}.zip`);
    if (place === null) return;
    await during('saving', async (signal) => {
      try {
        const progress = (takes: number, of: number) => setBusy({ what: 'saving', share: takes / of });
        const what = chosen === EVERYTHING ? EVERYTHING : { visitId: chosen };
        const made = await writeBackup(store, what, place, { madeAt: now, progress, signal });
        await place.finish();
        return savedWords(made);
      } catch (failure) {
        // The reason is what stopped the writing, not that what was begun cannot be taken away.
        await place.discard().catch(() => undefined);
        throw failure;
      }
    });
  };

  const restore = (file: File) =>
    during('restoring', async (signal) => {
      // Other tabs remove sound without a take when they open, unless somebody is at work.
      const held = await holdVisit('restoring', () => stopping.current?.abort());
      if (held === 'elsewhere') {
        throw new StoreError('blocked', 'Another tab is bringing in a backup', 'Wait until it is done.');
      }
      try {
        const progress = (bytes: number, of: number) => setBusy({ what: 'restoring', share: bytes / of });
        const result = await readBackup(store, file, { progress, signal, soundWithoutTake: keepRestoring });
        onBroughtIn();
        return broughtInWords(result);
      } finally {
        held.release();
      }
    });

  const choices = [
    ...(visit ? [{ id: visit.id, words: `This visit: ${visit.words}`, size: sizes[visit.id] ?? null }] : []),
    { id: EVERYTHING, words: 'Everything on this device', size: sizes[EVERYTHING] ?? null },
  ];
  return {
    view: { choices, chosen, busy, outcome, notices },
    actions: {
      choose: setChosen,
      save: () => void save(),
      restore: (file) => void restore(file),
      stop: () => stopping.current?.abort(),
      notice: () => setNotices([]),
    },
  };
}

function asStoreError(failure: unknown): StoreError {
  if (failure instanceof StoreError) return failure;
  const message = failure instanceof Error ? failure.message : String(failure);
  return new StoreError('failed', message.replace(/\.$/, ''), 'Try again, or choose another place.');
}
