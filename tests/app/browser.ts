/** The built page in a real browser: built once into a temporary folder, served from this computer, nothing else reached. */

import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium, type Browser, type BrowserContextOptions, type Page } from 'playwright-core';
import { build, preview, type Plugin, type PreviewServer } from 'vite';

export const CHROMIUM = process.env.CHROMIUM ?? '/usr/bin/chromium';
export const FLAGS = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** A page that is open, with all that it complained of and every address it asked for. */
export interface Visit {
  readonly page: Page;
  readonly complaints: string[];
  readonly asked: string[];
}

export interface BuiltPage {
  /** Where it is served, without a slash at the end. */
  readonly origin: string;
  visit(options?: BrowserContextOptions): Promise<Visit>;
  close(): Promise<void>;
}

/**
 * Starts the browser.
 * @param more - switches besides the usual ones.
 * @throws Error saying how to install it, if there is no Chromium.
 */
export async function startBrowser(more: readonly string[] = []): Promise<Browser> {
  if (!existsSync(CHROMIUM)) {
    throw new Error(
      `no browser at ${CHROMIUM}; expected Chromium: "apt-get install chromium", or name another in CHROMIUM`,
    );
  }
  return chromium.launch({ executablePath: CHROMIUM, args: [...FLAGS, ...more] });
}

/** The entry that `index.html` names. */
const ENTRY = '/src/app/main.tsx';

/**
 * Builds the page as for release, serves it and starts the browser.
 * @param entry stands for the page's own entry: the same document, policy and style sheets with other scripts.
 * @throws Error as {@link startBrowser}.
 */
export async function servePage(entry = ENTRY): Promise<BuiltPage> {
  const folder = mkdtempSync(join(tmpdir(), 'evenfall-page-'));
  const root = fileURLToPath(new URL('../../', import.meta.url));
  // The test runner's own setting would build React for development.
  const before = process.env.NODE_ENV;
  process.env.NODE_ENV = 'production';
  await build({
    root,
    logLevel: 'error',
    plugins: [otherEntry(entry)],
    build: { outDir: folder, emptyOutDir: true },
  });
  process.env.NODE_ENV = before ?? 'test';
  const server = await preview({
    root,
    logLevel: 'error',
    build: { outDir: folder },
    preview: { host: '127.0.0.1', port: 0 },
  });
  const browser = await startBrowser();
  const origin = originOf(server);
  return {
    origin,
    visit: (options = {}) => visit(browser, origin, options),
    close: async () => {
      await browser.close();
      await server.close();
      rmSync(folder, { recursive: true });
    },
  };
}

function otherEntry(entry: string): Plugin {
  const handler = (html: string) => html.replace(ENTRY, entry);
  return { name: 'other-entry', transformIndexHtml: { order: 'pre', handler } };
}

function originOf({ httpServer }: PreviewServer): string {
  const address = httpServer.address();
  if (address === null || typeof address === 'string') throw new Error('the page is served at no port');
  return `http://127.0.0.1:${address.port}`;
}

async function visit(browser: Browser, origin: string, options: BrowserContextOptions): Promise<Visit> {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const complaints: string[] = [];
  const asked: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  context.on('request', (request) => asked.push(request.url()));
  await page.goto(`${origin}/`);
  return { page, complaints, asked };
}
