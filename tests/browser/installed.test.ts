/**
 * The page as an installed app: served once by the program's own server from a sub-folder, then without any server; and a newer one that
 * waits until it is told to take over.
 */

import { mkdtempSync, renameSync, rmSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { build, type Plugin } from 'vite';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { installed } from '../../installed.config.ts';
import { answerFrom } from '../../src/cli/serving/appFolder.ts';
import { policy } from '../../vite.config.ts';
import { startBrowser } from '../app/browser.ts';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const ENTRY = '/src/app/main.tsx';
const folder = mkdtempSync(join(tmpdir(), 'evenfall-installed-'));
const CHANGELOG = `# Changelog

## 9.9.9 (analysis 9.9.0)

- Travel times are a little longer: the contact is sought further back.
- Doubles above C7 are
  counted.

## 9.9.8 (analysis 0.0.1)

- Long known.
`;

/** Builds the page into a folder; "first" and "second" differ in what a person sees. */
async function buildPage(name: string, analysisVersion: string): Promise<string> {
  const outDir = join(folder, name);
  const entry: Plugin = {
    name: 'entry',
    transformIndexHtml: {
      order: 'pre',
      handler: (html) =>
        html.replace(ENTRY, '/tests/browser/page/installedApp.tsx').replace('<title>', `<title>${name} `),
    },
  };
  vi.stubEnv('NODE_ENV', 'production');
  await build({
    root: ROOT,
    base: './',
    configFile: false,
    logLevel: 'error',
    plugins: [entry, react(), policy, installed({ analysisVersion, changelog: CHANGELOG })],
    worker: { format: 'es' },
    build: { outDir, emptyOutDir: true, target: 'es2022', assetsInlineLimit: 0 },
  });
  vi.unstubAllEnvs();
  return outDir;
}

let browser: Browser;
let context: BrowserContext;
let page: Page;
let server: Server;
let port = 0;
const complaints: string[] = [];
/** The page's own place, below that of the host. */
const place = () => `http://127.0.0.1:${port}/a/b/`;

/** Serves what stands in "served", below /a/b/. */
async function serve(): Promise<void> {
  const answer = answerFrom(join(folder, 'served'));
  server = createServer((request, response) => {
    request.url = request.url?.replace(/^\/a\/b/, '');
    answer(request, response);
  });
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  port = (server.address() as AddressInfo).port;
}

async function endServer(): Promise<void> {
  server.closeAllConnections();
  await new Promise((resolve) => server.close(resolve));
}

beforeAll(async () => {
  renameSync(await buildPage('First', '1.0.0'), join(folder, 'served'));
  await serve();
  browser = await startBrowser();
  context = await browser.newContext();
  page = await context.newPage();
  page.setDefaultTimeout(10_000);
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', ({ message }) => complaints.push(message));
}, 90_000);
afterAll(async () => {
  await browser?.close();
  server?.closeAllConnections();
  server?.close();
  rmSync(folder, { recursive: true });
});

describe('the page', () => {
  it('can be installed: a whole manifest, icons of their sizes, a service worker that controls it', async () => {
    await page.goto(place());
    await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
    const headers = async (name: string) => {
      const answer = await fetch(`${place()}${name}`);
      return [answer.headers.get('content-type')?.split(';')[0], answer.headers.get('cache-control')];
    };
    expect(await headers('sw.js')).toEqual(['text/javascript', 'no-cache']);
    expect(await headers('index.html')).toEqual(['text/html', 'no-cache']);
    expect(await headers('manifest.webmanifest')).toEqual(['application/manifest+json', 'no-cache']);
    // Chromium's own judgement of it.
    const session = await context.newCDPSession(page);
    const { errors, url } = await session.send('Page.getAppManifest');
    expect([url, errors]).toEqual([`${place()}manifest.webmanifest`, []]);
    const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
    // The browser of this test keeps nothing beyond its end, and installs nothing for that reason alone.
    expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito')).toEqual([]);
    const icons = await page.evaluate(async () => {
      interface Listed {
        readonly icons: { readonly src: string; readonly sizes: string }[];
      }
      const listed = (await (await fetch('./manifest.webmanifest')).json()) as Listed;
      return Promise.all(
        listed.icons.map(async ({ src, sizes }) => {
          const image = new Image();
          image.src = `./${src}`;
          await image.decode();
          return [sizes, `${image.naturalWidth}x${image.naturalHeight}`];
        }),
      );
    });
    expect(icons).toHaveLength(3);
    for (const [said, found] of icons) expect(found).toBe(said);
    expect(complaints).toEqual([]);
  });

  it('opens without a server, hears a practice take, and has its letters', async () => {
    await endServer();
    await page.goto(`${place()}?again`);
    expect(await page.title()).toMatch(/^First/);
    const letters = await page.evaluate(async () => {
      const faces = await Promise.all(
        ['Besley', 'Atkinson Hyperlegible Next'].map((name) => document.fonts.load(`20px "${name}"`)),
      );
      return faces.map((loaded) => loaded.map(({ status }) => status));
    });
    expect(letters.map(([first]) => first)).toEqual(['loaded', 'loaded']);
    await page.getByRole('button', { name: /choose a file|Open a file/ }).click();
    await page.getByRole('button', { name: /Practice take A4 in order/ }).click();
    await page.locator('.lead', { hasText: '1-a4-in-order.flac' }).waitFor();
    // Audio thread and live worker are asked for by address only when a person listens: they are kept too.
    const kept = await page.evaluate(async () => {
      const cache = await caches.open((await caches.keys())[0]);
      return (await cache.keys()).map(({ url }) => new URL(url).pathname.split('/').at(-1)!);
    });
    for (const part of [
      /^strokeDetector-.*\.js$/,
      /^listen\.worker-/,
      /^refine\.worker-/,
      /^analyse\.worker-/,
      /woff2$/,
    ]) {
      expect(kept.filter((name) => part.test(name)).length, String(part)).toBeGreaterThan(0);
    }
    expect(kept).not.toContain('version.json');
  });

  it('lets a newer one wait, says what it changes in numbers, and takes it on demand but never while a visit is held', async () => {
    rmSync(join(folder, 'served'), { recursive: true });
    renameSync(await buildPage('Second', '9.9.0'), join(folder, 'served'));
    await serve();
    complaints.length = 0;
    await page.goto(place());
    expect(await page.title()).toMatch(/^First/);
    const notice = page.locator('.update-notice');
    await notice.waitFor();
    expect(await notice.locator('p').first().textContent()).toBe(
      'Some numbers come out otherwise (analysis 9.9.0, now 1.0.0):',
    );
    expect(await notice.locator('li').allTextContents()).toEqual([
      'Travel times are a little longer.',
      'Doubles above C7 are counted.',
    ]);
    // However often it is opened, it waits.
    await page.reload();
    await notice.waitFor();
    expect(await page.title()).toMatch(/^First/);
    // Another tab listens.
    const other = await context.newPage();
    await other.goto(place());
    await other.evaluate(() => {
      void navigator.locks.request('evenfall-visit-v1', () => new Promise(() => undefined));
    });
    await notice.getByRole('button', { name: 'Update now' }).click();
    await notice.getByText(/A visit is open for listening/).waitFor();
    expect(await page.title()).toMatch(/^First/);
    await other.close();
    // A third tab only stands there: it comes along, for its older parts are gone.
    const standing = await context.newPage();
    await standing.goto(place());
    expect(await standing.title()).toMatch(/^First/);
    // A closed tab lets go of its visit a moment later.
    await expect
      .poll(() => standing.evaluate(async () => (await navigator.locks.query()).held?.length), { timeout: 10_000 })
      .toBe(0);
    await notice.getByRole('button', { name: 'Update now' }).click();
    await page.waitForFunction(() => document.title.startsWith('Second'), undefined, { timeout: 30_000 });
    await page.waitForLoadState();
    expect(await notice.count()).toBe(0);
    await standing.waitForFunction(() => document.title.startsWith('Second'));
    await standing.getByRole('button', { name: /choose a file|Open a file/ }).click();
    await standing.getByRole('button', { name: /Practice take A4 in order/ }).waitFor();
    await standing.close();
    const version = await page.locator('meta[name=analysis-version]').getAttribute('content');
    expect(version).toBe('9.9.0');
    expect(complaints).toEqual([]);
  });
});
