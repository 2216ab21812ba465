/** The backup of what is on this device. It comes when it is asked for. */

import { useMemo } from 'react';
import { BackupScreen } from './backup/BackupScreen.tsx';
import { useBackup } from './backup/useBackup.ts';
import type { Desk } from './desk/desk.ts';
import { dayOf } from './desk/plans.ts';
import type { Store } from '../storage/store.ts';

export function BackupOf({ desk, store }: { desk: Desk; store: Store }) {
  const shelved = desk.shelves.visits;
  const visits = useMemo(
    () =>
      shelved.map(({ visit, piano }) => ({
        id: visit.id,
        words: [piano.name, piano.place, dayOf(new Date(visit.startedAt))].filter(Boolean).join(', '),
      })),
    [shelved],
  );
  const { view, actions } = useBackup(store, visits, desk.unread, () => void desk.keptChanged());
  return <BackupScreen view={view} actions={actions} />;
}
