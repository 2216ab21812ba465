/** The backup screen over this browser's own store, which the test fills and looks into. */

import { useState } from 'react';
import { createRoot } from 'react-dom/client';
import { BackupScreen } from '../../../src/app/backup/BackupScreen.tsx';
import { useBackup } from '../../../src/app/backup/useBackup.ts';
import { dropOrphans } from '../../../src/app/desk/shelves.ts';
import { UnreadThings } from '../../../src/app/desk/unread.ts';
import { FIRST_SETTINGS } from '../../../src/app/settings.ts';
import { Shell } from '../../../src/app/Shell.tsx';
import { openBrowserStore } from '../../../src/storage/browserStore.ts';
import type { Store } from '../../../src/storage/store.ts';

declare global {
  interface Window {
    backupStore: Store;
    timesBroughtIn: number;
    /** What the page does and tells when it opens. */
    dropOrphans: () => ReturnType<typeof dropOrphans>;
  }
}

const VISIT = { id: 'v1', words: 'Aldervane 274, Quillwater Hall, 4 May 2026' };
const unread = new UnreadThings();

function Backup({ store }: { store: Store }) {
  const [visits, setVisits] = useState([VISIT]);
  const changed = async () => {
    window.timesBroughtIn++;
    const kept = (await store.list('visits')).map(({ id }) => id);
    setVisits([VISIT].filter(({ id }) => kept.includes(id)));
  };
  const { view, actions } = useBackup(store, visits, unread, () => void changed());
  return (
    <Shell title="Backup" onBack={() => undefined} settings={FIRST_SETTINGS} onSettings={() => undefined}>
      <BackupScreen view={view} actions={actions} />
    </Shell>
  );
}

window.timesBroughtIn = 0;
window.dropOrphans = () => dropOrphans(window.backupStore);
window.backupStore = await openBrowserStore({ told: { leftOut: (...thing) => void unread.add(...thing) } });
const show = () => createRoot(document.getElementById('page')!).render(<Backup store={window.backupStore} />);
// Once the test has filled the store: sizes are counted when the screen opens.
window.addEventListener('filled', show, { once: true });
