/** The backup of what is on this device. It comes when it is asked for. */

import { BackupScreen } from './backup/BackupScreen.tsx';
import { useBackup } from './backup/useBackup.ts';
import type { Desk } from './desk/desk.ts';
import type { Store } from '../storage/store.ts';

export function BackupOf({ desk, store }: { desk: Desk; store: Store }) {
  const { view, actions } = useBackup(store, null, () => void desk.broughtIn());
  return <BackupScreen view={view} actions={actions} />;
}
