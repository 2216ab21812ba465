/** What makes the built page an app that can be installed and works without a network. */

import type { Plugin } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';
import { changesIn } from './src/app/update/changes.ts';

export interface Build {
  readonly analysisVersion: string;
  /** The text of CHANGELOG.md. */
  readonly changelog: string;
}

/**
 * The plugins: the manifest; a service worker that keeps everything of the page (programs, worker, audio thread, decoders,
 * fonts, practice takes) and hands over to a newer one only when told to; and `version.json`, by which a running page learns
 * what a newer one changes. That file is never kept: asked for, it is always the newest one's.
 */
export function installed({ analysisVersion, changelog }: Build): Plugin[] {
  const version: Plugin = {
    name: 'version',
    apply: 'build',
    transformIndexHtml: () => [
      { tag: 'meta', attrs: { name: 'analysis-version', content: analysisVersion }, injectTo: 'head' },
    ],
    generateBundle() {
      const source = JSON.stringify({ analysisVersion, changes: changesIn(changelog) });
      this.emitFile({ type: 'asset', fileName: 'version.json', source });
    },
  };
  const app = VitePWA({
    registerType: 'prompt',
    // The page registers it by itself: a written-in script would be against its policy.
    injectRegister: false,
    // Those in the manifest are found by the patterns below.
    includeManifestIcons: false,
    manifest: {
      id: './',
      name: 'Evenfall',
      short_name: 'Evenfall',
      description: 'Times the strokes of a grand piano and says whether each hammer rests the same way, and repeats.',
      lang: 'en',
      start_url: './',
      scope: './',
      display: 'standalone',
      background_color: '#0f1219',
      theme_color: '#0f1219',
      icons: [
        { src: 'icons/icon-192.png', sizes: '192x192', type: 'image/png' },
        { src: 'icons/icon-512.png', sizes: '512x512', type: 'image/png' },
        { src: 'icons/maskable-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
      ],
    },
    workbox: {
      globPatterns: ['**/*.{html,js,css,woff2,wasm,flac,png}'],
      // Names with a hash of their content, as `evenfall serve` knows them too: the browser's own copy is the right one.
      dontCacheBustURLsMatching: /assets\/[^/]+-[\w-]{8}\.\w+$/,
      maximumFileSizeToCacheInBytes: 8_000_000,
      inlineWorkboxRuntime: true,
      cleanupOutdatedCaches: true,
      // Else the page that was opened first would have nothing without a network before it is loaded again.
      clientsClaim: true,
      skipWaiting: false,
      sourcemap: false,
    },
  });
  return [version, ...(app as Plugin[])];
}
