/** Tests that take minutes of real time: `npm run proof`, never part of `npm test`. */

import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: { environment: 'node', include: ['tests/**/*.proof.ts'], maxWorkers: 1 },
});
