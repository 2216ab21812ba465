/** The page as it is, without React's strict mode: built twice as two versions. */

import { createRoot } from 'react-dom/client';
import { App } from '../../../src/app/App.tsx';
import { Desk } from '../../../src/app/desk/desk.ts';
import { tellWaiting } from '../../../src/app/update/WaitingNotice.tsx';
import { watchUpdates } from '../../../src/app/update/watchUpdates.ts';

createRoot(document.getElementById('page')!).render(<App desk={new Desk()} />);

void watchUpdates(tellWaiting);
