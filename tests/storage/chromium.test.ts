/** The storage in a real browser: locks between pages, room, and what outlives a browser that is killed. */

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { chromium, type BrowserContext, type Page } from 'playwright-core';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type * as Storage from './pageStorage.ts';
import { takeOf, visit } from './stores.ts';

declare global {
  interface Window {
    readonly storage: typeof Storage;
    lost: number;
    held: Storage.HeldVisit | 'elsewhere';
    kept: Storage.Store;
  }
}

const ORIGIN = 'http://localhost:9';
const root = fileURLToPath(new URL('../../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'evenfall-storage-'));
let context: BrowserContext;

/** A browser with a profile of its own that lasts from one start to the next. */
async function start(): Promise<BrowserContext> {
  const browser = await chromium.launchPersistentContext(join(folder, 'profile'), {
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--headless', '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'],
  });
  const script = readFileSync(join(folder, 'built', 'storage.js'), 'utf8');
  await browser.route(`${ORIGIN}/**`, (route) =>
    route.request().url().endsWith('.js')
      ? route.fulfill({ contentType: 'text/javascript', body: script })
      : route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>storage</title>' }),
  );
  return browser;
}

async function open(): Promise<Page> {
  const page = await context.newPage();
  await page.goto(`${ORIGIN}/`);
  await page.addScriptTag({ type: 'module', content: `import * as s from '/storage.js'; window.storage = s;` });
  await page.waitForFunction(() => 'storage' in window);
  return page;
}

beforeAll(async () => {
  await build({
    root,
    configFile: false,
    logLevel: 'error',
    build: {
      outDir: join(folder, 'built'),
      lib: { entry: join(root, 'tests/storage/pageStorage.ts'), formats: ['es'], fileName: () => 'storage.js' },
    },
  });
  context = await start();
});

afterAll(async () => {
  await context.close();
  rmSync(folder, { recursive: true, force: true });
});

describe('the lock of a visit', () => {
  const hold = (page: Page, id: string) =>
    page.evaluate(async (visitId) => {
      window.lost = 0;
      window.held = await window.storage.holdVisit(visitId, () => window.lost++);
      return window.held === 'elsewhere' ? 'elsewhere' : 'held';
    }, id);
  const takeOver = (page: Page, id: string) =>
    page.evaluate(async (visitId) => {
      window.lost = 0;
      window.held = await window.storage.takeOverVisit(visitId, () => window.lost++);
    }, id);
  const release = (page: Page) => page.evaluate(() => window.held !== 'elsewhere' && window.held.release());
  const lost = (page: Page) => page.evaluate(() => window.lost);

  it('is held by one page, let go, and let go by a page that closes', async () => {
    const [one, two] = [await open(), await open()];
    expect(await hold(one, 'v1')).toBe('held');
    expect(await hold(two, 'v1')).toBe('elsewhere');
    expect(await hold(two, 'v2')).toBe('held');
    await release(one);
    expect(await hold(two, 'v1')).toBe('held');
    expect(await hold(one, 'v1')).toBe('elsewhere');
    await two.close();
    await expect.poll(() => hold(one, 'v1')).toBe('held');
    expect(await lost(one)).toBe(0);
    await one.close();
  });

  it('is taken over, and the page that had it is told once', async () => {
    const [one, two] = [await open(), await open()];
    expect(await hold(one, 'v1')).toBe('held');
    await takeOver(two, 'v1');
    await expect.poll(() => lost(one)).toBe(1);
    await release(one);
    expect(await hold(one, 'v1')).toBe('elsewhere');
    await release(two);
    expect(await hold(one, 'v1')).toBe('held');
    expect(await lost(two)).toBe(0);
    await Promise.all([one.close(), two.close()]);
  });
});

describe("the browser's store", () => {
  it('tells its room, and whether it will last', async () => {
    const page = await open();
    const { before, after, lasting } = await page.evaluate(async () => {
      const { store } = await window.storage.openStore({ name: 'room' });
      const before = await store.room();
      await store.addPiece({ takeId: 't', index: 0, samples: new Int16Array(500_000).map((_, i) => i * 7919) });
      return { before, after: await store.room(), lasting: await window.storage.persist() };
    });
    expect(before.left).toBeGreaterThan(1e6);
    expect(after.used! - before.used!).toBeGreaterThan(900_000);
    expect(typeof lasting).toBe('boolean');
    await page.close();
  });

  it('has every finished take after the browser was killed in mid-take', async () => {
    const lengths = [200_000, 200_000, 50_000];
    const takes = ['t1', 't2'].map((id) => takeOf(id, lengths));
    const page = await open();
    const pid = await (async () => {
      const session = await context.browser()!.newBrowserCDPSession();
      const { processInfo } = await session.send('SystemInfo.getProcessInfo');
      return processInfo.find(({ type }) => type === 'browser')!.id;
    })();
    await page.evaluate(
      async ({ visit, takes, lengths }) => {
        const { store, passing } = await window.storage.openStore();
        if (passing) throw passing;
        await store.put('visits', visit);
        const samplesOf = (length: number) => new Int16Array(length).map((_, i) => (i * 7919) % 4099);
        for (const take of takes) {
          lengths.forEach(
            (length, index) => void store.addPiece({ takeId: take.id, index, samples: samplesOf(length) }),
          );
          await store.put('takes', take);
        }
        await store.addPiece({ takeId: 't3', index: 0, samples: samplesOf(200_000) });
      },
      { visit, takes, lengths },
    );
    const gone = new Promise((done) => context.once('close', done));
    process.kill(pid, 'SIGKILL');
    await gone;

    context = await start();
    const again = await open();
    const found = await again.evaluate(async () => {
      const { store } = await window.storage.openStore();
      const list = await store.list('takes', { visitId: 'v1' });
      const sounds = await Promise.all(list.map(({ id }) => store.sound(id)));
      return { list, ends: sounds.map((s) => [s!.length, s![199_999], s![200_000]]), orphans: await store.orphans() };
    });
    expect(found.list).toEqual(takes);
    expect(found.ends).toEqual([1, 2].map(() => [450_000, (199_999 * 7919) % 4099, 0]));
    expect(found.orphans).toEqual([{ takeId: 't3', pieces: 1, frames: 200_000 }]);
  });
});
