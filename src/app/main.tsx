/** Entry of the page. */

import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { App } from './App.tsx';
import { Desk } from './desk/desk.ts';
import { tellWaiting } from './update/WaitingNotice.tsx';
import { watchUpdates } from './update/watchUpdates.ts';

const desk = new Desk();

createRoot(document.getElementById('page')!).render(
  <StrictMode>
    <App desk={desk} />
  </StrictMode>,
);

void watchUpdates(tellWaiting);
