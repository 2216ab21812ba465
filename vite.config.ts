import { readFileSync } from 'node:fs';
import react from '@vitejs/plugin-react';
import type { Plugin } from 'vite';
import { defineConfig } from 'vitest/config';
import { installed } from './installed.config.ts';
import { ANALYSIS_VERSION } from './src/analysis/document.ts';
import { META_POLICY } from './src/cli/serving/policy.ts';

/** The built page carries its policy itself, for any host with plain files; the development server needs more than it allows. */
export const policy: Plugin = {
  name: 'content-policy',
  apply: 'build',
  transformIndexHtml: () => [
    {
      tag: 'meta',
      attrs: { 'http-equiv': 'Content-Security-Policy', content: META_POLICY },
      injectTo: 'head-prepend',
    },
  ],
};

/** The fonts that the page carries, and where each one's licence stands in the built page. */
export const FONT_LICENCES = {
  '@fontsource-variable/besley': 'licences/besley.txt',
  '@fontsource-variable/atkinson-hyperlegible-next': 'licences/atkinson-hyperlegible-next.txt',
} as const;

/** The Open Font License asks that its text goes with the fonts, wherever the page is put. */
export const licences: Plugin = {
  name: 'font-licences',
  apply: 'build',
  generateBundle() {
    for (const [name, fileName] of Object.entries(FONT_LICENCES)) {
      const source = readFileSync(new URL(`node_modules/${name}/LICENSE`, import.meta.url), 'utf8');
      this.emitFile({ type: 'asset', fileName, source });
    }
  },
};

const changelog = readFileSync(new URL('CHANGELOG.md', import.meta.url), 'utf8');

export default defineConfig({
  base: './',
  plugins: [
    react(),
    licences,
    policy, // A service worker takes seconds to build and would load the page twice: the test of it builds its own.
    ...(process.env.VITEST ? [] : [installed({ analysisVersion: ANALYSIS_VERSION, changelog })]),
  ],
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
