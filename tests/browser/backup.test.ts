/** Backup as people meet it: saved in one browser, brought in in another; damaged and newer files; at all sizes. */

import { readFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { servePage, type BuiltPage, type Visit } from '../app/browser.ts';
import { newRound, newVisit } from '../../src/record/newThings.ts';
import { ZipWriting } from '../../src/storage/backup/zipWriting.ts';
import { piano, takeOf } from '../storage/stores.ts';

const AXE = readFileSync(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');
const FRAMES = 96_000;
const startedAt = '2026-05-04T09:30:00Z';
let built: BuiltPage;
let first: Visit;
let file: Buffer;
beforeAll(async () => {
  built = await servePage('/tests/browser/page/backupPage.tsx');
  first = await open(3);
}, 60_000);
afterAll(() => built?.close());

/** A browser of its own, with so many visits of four takes of two seconds. */
async function open(visits: number): Promise<Visit> {
  const visit = await built.visit({ acceptDownloads: true });
  visit.page.setDefaultTimeout(8000);
  await visit.page.waitForFunction(() => 'backupStore' in window);
  const ids = Array.from({ length: visits }, (_, i) => `v${i + 1}`);
  const things = ids.map((id) => ({
    visit: newVisit({ id, pianoId: piano.id, startedAt }),
    round: newRound({ id: `r-${id}`, visitId: id, number: 1, startedAt }),
    takes: [1, 2, 3, 4].map((number) =>
      takeOf(`t-${id}-${number}`, [FRAMES / 2, FRAMES / 2], { visitId: id, roundId: `r-${id}`, number }),
    ),
  }));
  await visit.page.evaluate(
    async ([own, all]) => {
      const store = window.backupStore;
      for (const { visit, round, takes } of all) {
        await store.put('pianos', own);
        await store.put('visits', visit);
        await store.put('rounds', round);
        for (const take of takes) {
          for (const index of [0, 1]) {
            const samples = Int16Array.from(
              { length: take.frames / 2 },
              (_, i) => (i * 31 * (take.number + index)) % 65521,
            );
            await store.addPiece({ takeId: take.id, index, samples });
          }
          await store.put('takes', take);
        }
      }
      window.dispatchEvent(new Event('filled'));
    },
    [piano, things] as const,
  );
  await visit.page.getByRole('heading', { name: 'Bring in' }).waitFor();
  return visit;
}

/** All that is kept: things as text, sound as sums that depend on every sample and its place. */
function keptIn(page: Page): Promise<string> {
  return page.evaluate(async () => {
    const store = window.backupStore;
    const takes = await store.list('takes');
    const sums: (readonly [string, number, number])[] = [];
    for (const { id } of takes) {
      const sound = (await store.sound(id)) ?? new Int16Array();
      sums.push([id, sound.length, sound.reduce((sum, sample, i) => (sum * 31 + sample + i) % 1_000_003, 7)]);
    }
    return JSON.stringify([
      await store.list('pianos'),
      await store.list('visits'),
      await store.list('rounds'),
      takes,
      sums,
      await store.orphans(),
    ]);
  });
}

const bringIn = (page: Page, buffer: Buffer) =>
  page.getByLabel('Choose a backup').setInputFiles({ name: 'backup.zip', mimeType: 'application/zip', buffer });

describe('a backup', () => {
  it('is saved as a download where a page cannot write files, and says what is in it', async () => {
    const { page } = first;
    // Else the browser would ask with a window of its own.
    await page.evaluate(() => Reflect.deleteProperty(window, 'showSaveFilePicker'));
    await page.getByLabel(/^Aldervane 274/).waitFor();
    await page.getByText('4 takes, about 1 MB').waitFor();
    await page.getByText('3 visits, 12 takes, about 2 MB').waitFor();
    await page.getByLabel('Everything on this device').check();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save backup' }).click(),
    ]);
    expect(download.suggestedFilename()).toMatch(/^evenfall-everything-\d{4}-\d\d-\d\d\.zip$/);
    file = await readFile(await download.path());
    expect(file.length).toBeGreaterThan(12 * FRAMES * 2);
    await page.getByRole('status').getByText('Saved: 3 visits, 12 takes, 2 MB.').waitFor();
  });

  it('brings the same into an empty browser, and nothing a second time', async () => {
    const { page, complaints } = await open(0);
    await bringIn(page, file);
    await page.getByRole('status').getByText('3 visits, 12 takes brought in.').waitFor();
    const kept = await keptIn(page);
    expect(kept).toBe(await keptIn(first.page));
    expect(kept).toContain(`"t-v3-4",${FRAMES},`);
    await bringIn(page, file);
    await page.getByRole('status').getByText('Nothing brought in; 15 were here already.').waitFor();
    expect(await keptIn(page)).toBe(kept);
    expect(await page.evaluate(() => window.timesBroughtIn)).toBe(2);
    expect(complaints).toEqual([]);
    await page.context().close();
  });

  it('that died in the midst is told apart from a take that was not finished', async () => {
    const { page } = await open(0);
    // Sound goes in first; all things at once after it. There the page dies.
    const begin = async () => {
      await page.evaluate(() => {
        window.backupStore = Object.assign(window.backupStore, { bringIn: () => new Promise(() => undefined) });
      });
      await bringIn(page, file);
      const orphans = () => page.evaluate(async () => (await window.backupStore.orphans()).length);
      await expect.poll(orphans, { timeout: 8000 }).toBe(12);
      expect(await page.evaluate(() => window.dropOrphans())).toEqual([]);
      await page.reload();
      await page.waitForFunction(() => 'backupStore' in window);
    };
    const told = () => page.evaluate(async () => (await window.dropOrphans()).map(([, title]) => title));
    const play = () =>
      page.evaluate(() => window.backupStore.addPiece({ takeId: 'played', index: 0, samples: new Int16Array(9) }));
    await begin();
    await play();
    expect((await told()).sort()).toEqual(['The last backup was not brought in', 'The last take was not finished']);
    expect(await told()).toEqual([]);
    await page.evaluate(() => window.dispatchEvent(new Event('filled')));
    await begin();
    expect(await told()).toEqual(['The last backup was not brought in']);
    await page.evaluate(() => window.dispatchEvent(new Event('filled')));
    await bringIn(page, file);
    await page.getByRole('status').getByText('3 visits, 12 takes brought in.').waitFor();
    await play();
    expect(await told()).toEqual(['The last take was not finished']);
    expect(await keptIn(page)).toBe(await keptIn(first.page));
    await page.context().close();
  });

  it('is offered before a visit is removed, which is asked once, and has it whole', async () => {
    const { page } = await open(2);
    const before = await keptIn(page);
    await page.evaluate(() => Reflect.deleteProperty(window, 'showSaveFilePicker'));
    const remove = page.getByRole('button', { name: 'Remove this visit' });
    await page.getByText('4 takes, about 1 MB').waitFor();
    expect(await remove.count()).toBe(0);
    await page.getByLabel(/^Aldervane 274/).check();
    await remove.click();
    const card = page.locator('.notice-card');
    expect(await card.locator('p').textContent()).toMatch(
      /^Aldervane 274, Quillwater Hall, 4 May 2026: 4 takes, about 1 MB\. The visit goes from this device .*only from a backup\.$/,
    );
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Remove this visit?');
    await card.getByRole('button', { name: 'Keep it' }).click();
    expect(await keptIn(page)).toBe(before);
    await remove.click();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      card.getByRole('button', { name: 'Save a backup first' }).click(),
    ]);
    const saved = await readFile(await download.path());
    await page.getByRole('status').getByText('Saved: 1 visit, 4 takes, 1 MB.').waitFor();
    await card.getByRole('button', { name: 'Remove', exact: true }).click();
    await page.getByRole('status').getByText('Removed: Aldervane 274, Quillwater Hall, 4 May 2026.').waitFor();
    expect([await card.count(), await remove.count()]).toEqual([0, 0]);
    const left = await page.evaluate(async () => {
      const { backupStore: store } = window;
      const ids = async (shelf: 'visits' | 'rounds' | 'takes') => (await store.list(shelf)).map(({ id }) => id);
      const gone = await store.sound('t-v1-1');
      return [await ids('visits'), await ids('rounds'), (await ids('takes')).length, gone, await store.orphans()];
    });
    expect(left).toEqual([['v2'], ['r-v2'], 4, null, []]);
    await bringIn(page, saved);
    await page
      .getByRole('status')
      .getByText(/^1 visit, 4 takes brought in/)
      .waitFor();
    const sorted = (kept: string) => [...kept].sort().join('');
    expect(sorted(await keptIn(page))).toBe(sorted(before));
    await page.context().close();
  });

  it('is told not to hold what cannot be read here', async () => {
    const { page } = await open(1);
    await page.evaluate(async () => {
      Reflect.deleteProperty(window, 'showSaveFilePicker');
      const request = indexedDB.open('evenfall');
      const database = await new Promise<IDBDatabase>((done) => {
        request.onsuccess = () => done(request.result);
      });
      const takes = database.transaction('takes', 'readwrite').objectStore('takes');
      await new Promise<void>((done) => {
        takes.openCursor().onsuccess = ({ target }) => {
          const cursor = (target as IDBRequest<IDBCursorWithValue>).result;
          const entry = cursor.value as { thing: object };
          cursor.update({ ...entry, thing: { ...entry.thing, frames: 'many' } }).onsuccess = () => done();
        };
      });
      database.close();
    });
    await Promise.all([page.waitForEvent('download'), page.getByRole('button', { name: 'Save backup' }).click()]);
    const outcome = page.getByRole('status').getByText(/^Saved: 1 visit, 3 takes/);
    expect(await outcome.textContent()).toMatch(
      /Not in it, as it cannot be read on this device: Take "t-v1-1": "frames" is "many"; expected .*\.$/,
    );
    await page.context().close();
  });

  it('that is damaged or newer is refused in words, and nothing is changed', async () => {
    const { page } = await open(1);
    const before = await keptIn(page);
    const card = page.locator('.notice-card');
    await bringIn(page, file.subarray(0, file.length - 300_000));
    await card.getByRole('heading', { name: 'This backup cannot be read' }).waitFor();
    expect(await card.locator('p').textContent()).toBe('It ends in the middle of visit 3. Nothing was changed here.');
    const flipped = Buffer.from(file);
    flipped[(flipped.length >> 1) + 50_000] ^= 4;
    const chooser = page.waitForEvent('filechooser');
    await card.getByRole('button', { name: 'Choose another' }).click();
    await (await chooser).setFiles({ name: 'b.zip', mimeType: 'application/zip', buffer: flipped });
    await card.getByText(/^The sound of take \d in visit 2 is damaged\. Nothing was changed here\.$/).waitFor();
    const parts: Uint8Array<ArrayBuffer>[] = [];
    const zip = new ZipWriting({ write: async (bytes) => void parts.push(bytes) }, startedAt);
    await zip.add('manifest.json', new TextEncoder().encode('{"schema":"evenfall.backup/2"}'), false);
    await zip.end();
    await bringIn(page, Buffer.concat(parts));
    await card.getByRole('heading', { name: 'This backup comes from a newer Evenfall' }).waitFor();
    expect(await card.locator('p').textContent()).toBe('Update this app first. Nothing was changed here.');
    expect(await keptIn(page)).toBe(before);
    await page.context().close();
  });

  it.each([
    [360, 740, 1],
    [390, 844, 2],
    [1280, 800, 1],
  ])('has room at %i x %i, text %i times as large, and an audit finds nothing', async (width, height, times) => {
    const { page } = first;
    await page.setViewportSize({ width, height });
    for (const theme of ['stage', 'room']) {
      const found = await page.evaluate(
        async ([size, name]) => {
          document.documentElement.style.fontSize = size;
          document.documentElement.dataset.theme = name;
          await document.fonts.ready;
          await new Promise(requestAnimationFrame);
          const small = [...document.querySelectorAll('button, label.choice, label.chooser')].filter(
            (target) => target.checkVisibility() && target.getBoundingClientRect().height < 48,
          );
          return {
            sideways: document.documentElement.scrollWidth - innerWidth,
            small: small.map((one) => one.textContent),
          };
        },
        [`${100 * times}%`, theme] as const,
      );
      expect(found).toEqual({ sideways: 0, small: [] });
      await page.evaluate(AXE);
      const violations = await page.evaluate(async () => {
        interface Audit {
          run(): Promise<{ violations: readonly { id: string; nodes: readonly { html: string }[] }[] }>;
        }
        const { axe } = window as unknown as { axe: Audit };
        return (await axe.run()).violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)]);
      });
      expect(violations).toEqual([]);
    }
  });
});
