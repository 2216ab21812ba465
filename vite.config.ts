import react from '@vitejs/plugin-react';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  base: './',
  plugins: [react()],
  worker: { format: 'es' },
  build: { assetsInlineLimit: 0, target: 'es2022', outDir: 'dist/app' },
  server: { fs: { allow: ['.'] } },
  test: {
    environment: 'node',
    include: ['tests/**/*.test.ts'],
    testTimeout: 60_000,
    maxWorkers: 2,
  },
});
