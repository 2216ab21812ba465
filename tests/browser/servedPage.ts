/** The small listening page of `page/`, built from the sources and served from this computer. */

import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, preview, type Plugin } from 'vite';

export interface ServedPage {
  readonly origin: string;
  /** Puts a file beside the page. */
  put(name: string, bytes: Uint8Array): void;
  /** The next `times` loadings of the detector's module begin with this code: a fault on the audio thread. */
  spoilDetector(code: string, times: number): void;
  /** How often the detector's module was asked for. */
  detectorsAsked(): number;
  close(): Promise<void>;
}

/** Builds the page as a release is built, and serves it. */
export async function serveListeningPage(): Promise<ServedPage> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-listening-'));
  const root = fileURLToPath(new URL('page/', import.meta.url));
  await build({
    root,
    base: './',
    configFile: false,
    logLevel: 'error',
    worker: { format: 'es' },
    build: { outDir: folder, emptyOutDir: true, target: 'es2022', assetsInlineLimit: 0 },
  });
  let code = '';
  let times = 0;
  let asked = 0;
  // The browser's tools do not see what an audio context loads: so it is done where it is served.
  const spoiling: Plugin = {
    name: 'spoiling',
    configurePreviewServer: ({ middlewares }) => {
      middlewares.use((request, response, next) => {
        if (!/^\/assets\/strokeDetector.*\.js$/.test(request.url ?? '')) return next();
        asked++;
        if (times-- <= 0) return next();
        response.setHeader('content-type', 'text/javascript');
        response.setHeader('cache-control', 'no-store');
        response.end(code + readFileSync(join(folder, request.url!), 'utf8'));
      });
    },
  };
  const server = await preview({
    root,
    configFile: false,
    plugins: [spoiling],
    logLevel: 'error',
    build: { outDir: folder },
    preview: { host: '127.0.0.1', port: 0 },
  });
  const address = server.httpServer.address();
  if (address === null || typeof address === 'string') throw new Error('the page is served at no port');
  return {
    origin: `http://127.0.0.1:${address.port}`,
    put: (name, bytes) => writeFileSync(join(folder, name), bytes),
    spoilDetector: (added, often) => {
      code = added;
      times = often;
    },
    detectorsAsked: () => asked,
    close: async () => {
      await server.close();
      rmSync(folder, { recursive: true });
    },
  };
}
