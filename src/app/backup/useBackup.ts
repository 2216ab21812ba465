/** The backup screen's state: what is chosen, what is going on, what came of it. */

import { useEffect, useRef, useState } from 'react';
import { readBackup } from '../../storage/backup/readBackup.ts';
import { soundInBackup, writeBackup, type BackupOf } from '../../storage/backup/writeBackup.ts';
import { StoreError, type Store } from '../../storage/store.ts';
import { holdVisit } from '../../storage/visitLock.ts';
import type { UnreadThings } from '../desk/unread.ts';
import { broughtInWords, refusalNotice, removalWords, savedWords, sizeWords } from './backupWords.ts';
import { bringVisit, isJson } from './bringVisit.ts';
import { choosePlace } from './backupPlace.ts';
import { keepRestoring } from './unfinishedRestore.ts';
import type { BackupActions, BackupView } from './view.ts';

const EVERYTHING = 'everything';

/** A visit that can be saved or removed. */
export interface BackupVisit {
  readonly id: string;
  /** "Aldervane 274, Quillwater Hall, 3 November 2026". */
  readonly words: string;
}

/**
 * @param visits - those on this device, in the order to be shown
 * @param unread - takes down what the store cannot read
 * @param onChanged - after a restoring or a removal: lists are to be read anew
 */
export function useBackup(
  store: Store,
  visits: readonly BackupVisit[],
  unread: Pick<UnreadThings, 'watch'>,
  onChanged: () => void,
): { readonly view: BackupView; readonly actions: BackupActions } {
  const [asChosen, setChosen] = useState(EVERYTHING);
  const [asked, setAsked] = useState(false);
  const [sizes, setSizes] = useState<Readonly<Record<string, string>>>({});
  const [busy, setBusy] = useState<BackupView['busy']>(null);
  const [outcome, setOutcome] = useState<string | null>(null);
  const [notices, setNotices] = useState<BackupView['notices']>([]);
  const stopping = useRef<AbortController>(null);
  // A removed visit is chosen no longer.
  const visit = visits.find(({ id }) => id === asChosen) ?? null;
  const chosen = visit?.id ?? EVERYTHING;

  useEffect(() => {
    let gone = false;
    const count = async () => {
      // One after the other, the whole first: takes are large.
      for (const id of [EVERYTHING, ...visits.map((each) => each.id)]) {
        if (gone) return;
        const size = sizeWords(await soundInBackup(store, what(id)), id === EVERYTHING);
        if (!gone) setSizes((before) => ({ ...before, [id]: size }));
      }
    };
    count().catch((failure: unknown) => {
      if (!gone) setNotices([refusalNotice(asStoreError(failure), 'saving')]);
    });
    return () => {
      gone = true;
    };
    // Counted anew after each deed.
  }, [store, visits, outcome]);
  useEffect(() => () => stopping.current?.abort(), []);

  /** One thing at a time; what goes wrong is said. */
  const during = async (doing: Doing, deed: (signal: AbortSignal) => Promise<string | null>) => {
    const own = new AbortController();
    stopping.current = own;
    setOutcome(null);
    setNotices([]);
    setBusy({ what: doing, share: 0 });
    try {
      setOutcome(await deed(own.signal));
    } catch (failure) {
      if (own.signal.aborted)
        setOutcome(doing === 'saving' ? 'Stopped: nothing was saved.' : 'Stopped: nothing was changed here.');
      else setNotices([refusalNotice(asStoreError(failure), doing)]);
    } finally {
      setBusy(null);
    }
  };

  const save = async () => {
    const now = new Date().toISOString();
    const place = await choosePlace(`evenfall-${chosen === EVERYTHING ? EVERYTHING : 'visit'}-${now.slice(0, 10)}.zip`);
    if (place === null) return;
    await during('saving', async (signal) => {
      const leftOut = unread.watch();
      try {
        const progress = (takes: number, of: number) => setBusy({ what: 'saving', share: takes / of });
        const made = await writeBackup(store, what(chosen), place, { madeAt: now, progress, signal });
        await place.finish();
        return savedWords(made, leftOut());
      } catch (failure) {
        leftOut();
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
        const result = (await isJson(file))
          ? await bringVisit(store, await file.text())
          : await readBackup(store, file, { progress, signal, soundWithoutTake: keepRestoring });
        onChanged();
        return broughtInWords(result);
      } finally {
        held.release();
      }
    });

  const remove = (gone: BackupVisit) =>
    during('removing', async () => {
      const held = await holdVisit(gone.id, () => undefined);
      if (held === 'elsewhere') {
        throw new StoreError('blocked', 'This visit is open in another tab', 'Close it there, then remove it here.');
      }
      try {
        await store.dropVisit(gone.id);
      } finally {
        held.release();
      }
      setAsked(false);
      onChanged();
      return `Removed: ${gone.words}.`;
    });

  const choices = [
    { id: EVERYTHING, words: 'Everything on this device', size: sizes[EVERYTHING] ?? null },
    ...visits.map(({ id, words }) => ({ id, words, size: sizes[id] ?? null })),
  ];
  const question = visit && asked ? removalWords(visit.words, sizes[visit.id] ?? 'its takes are being counted') : null;
  return {
    view: { choices, chosen, removable: visit !== null, asked: question, busy, outcome, notices },
    actions: {
      choose: (id) => {
        setChosen(id);
        setAsked(false);
      },
      save: () => void save(),
      restore: (file) => void restore(file),
      ask: () => setAsked(true),
      keep: () => setAsked(false),
      remove: () => void (visit && remove(visit)),
      stop: () => stopping.current?.abort(),
      notice: () => setNotices([]),
    },
  };
}

type Doing = NonNullable<BackupView['busy']>['what'];

function what(id: string): BackupOf {
  return id === EVERYTHING ? EVERYTHING : { visitId: id };
}

function asStoreError(failure: unknown): StoreError {
  if (failure instanceof StoreError) return failure;
  const message = failure instanceof Error ? failure.message : String(failure);
  return new StoreError('failed', message.replace(/\.$/, ''), 'Try again, or choose another place.');
}
