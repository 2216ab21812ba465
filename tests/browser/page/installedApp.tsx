/** The page as it is, with the notice of a waiting update above it: whatever screen shows it otherwise. */

import { createRoot } from 'react-dom/client';
import { App } from '../../../src/app/App.tsx';
import { Desk } from '../../../src/app/desk/desk.ts';
import { tellWaiting, WaitingNotice } from '../../../src/app/update/WaitingNotice.tsx';
import { watchUpdates } from '../../../src/app/update/watchUpdates.ts';

const desk = new Desk();
createRoot(document.getElementById('page')!).render(
  <>
    <WaitingNotice />
    <App desk={desk} />
  </>,
);

void watchUpdates(tellWaiting);
