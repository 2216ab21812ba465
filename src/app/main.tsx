/** Entry of the page. */

import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { Page } from './Page.tsx';

createRoot(document.getElementById('page')!).render(
  <StrictMode>
    <Page />
  </StrictMode>,
);
