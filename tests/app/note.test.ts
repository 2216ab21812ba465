/** The screen of one note in Chromium: its cards, its tables against its charts, its keys, its sizes, and the sound itself. */

import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PooledDocument } from '../../src/analysis/document.ts';
import { servePage, type BuiltPage } from './browser.ts';

const ROUND = JSON.parse(readFileSync(new URL('gallery/noteRound.json', import.meta.url), 'utf8')) as PooledDocument;
const D_SHARP_3 = 51;
const strokes = ROUND.strokes.filter(({ midi }) => midi === D_SHARP_3);
const NAMES = ['repeats', 'gentle', 'steady', 'insufficient', 'closed'];
const SHOTS = process.env.NOTE_SHOTS;

let built: BuiltPage;
let page: Page;
let complaints: string[];
beforeAll(async () => {
  built = await servePage('/tests/app/gallery/gallery.tsx');
  ({ page, complaints } = await built.visit());
  page.setDefaultTimeout(4000);
}, 60_000);
afterAll(() => built?.close());

async function show(name: string, width = 390, height = 844, textTimes = 1): Promise<void> {
  await page.setViewportSize({ width, height });
  await page.evaluate(
    async ([hash, size]) => {
      delete document.documentElement.dataset.acted;
      document.documentElement.style.fontSize = size;
      location.hash = hash;
      await document.fonts.ready;
      await new Promise((done) => setTimeout(done, 60));
    },
    [`note/${name}`, `${100 * textTimes}%`],
  );
}

const acted = () => page.evaluate(() => document.documentElement.dataset.acted ?? '');
const cells = (card: string) =>
  page.$$eval(`#${card} tbody tr`, (rows) =>
    rows.map((row) => [...row.children].map((cell) => cell.textContent ?? '')),
  );

describe('one note', () => {
  it('has its cards in their order, and keeps those that were not played, folded', async () => {
    await show('repeats');
    const ids = () => page.$$eval('.note-card', (cards) => cards.map(({ id }) => id));
    const order = ['fast', 'gentle', 'bar', 'slow', 'travel', 'look-first', 'gauges', 'worked-out'];
    expect(await ids()).toEqual(order);
    expect(await page.$$eval('.not-played', (cards) => cards.map(({ id }) => id))).toEqual(['gentle', 'bar']);
    expect(await page.isVisible('#gentle p')).toBe(false);
    await page.click('#gentle summary');
    expect(await page.isVisible('#gentle p')).toBe(true);
    await show('insufficient');
    expect(await ids()).toEqual(order);
    expect(await page.$$eval('.not-played', (cards) => cards.map(({ id }) => id))).toContain('fast');
  });

  it('shows what a gauge read of it, and leads to more', async () => {
    await show('gauged');
    expect((await page.innerText('#gauges')).replace(/\s+/g, ' ')).toContain(
      'Let-off 0.8 mm, then 1.6 mm set to 1.5 mm',
    );
    await page.getByRole('button', { name: 'Type more readings' }).click();
    expect(await page.evaluate(() => document.documentElement.dataset.acted)).toContain('"gauge" 65;');
  });

  it('of an upright names no cause, and says why', async () => {
    await show('upright');
    const said = await page.innerText('main');
    expect(said).toContain('An upright has no repetition lever');
    expect(said.replace('An upright has no repetition lever', '')).not.toMatch(
      /Look at first|jack|knuckle|lever|let-off/i,
    );
    expect(said).toContain('5 of 10 quick repeats stayed silent');
  });

  it('says its charts in one sentence and shows the same strokes as tables', async () => {
    await show('repeats');
    const said = (await page.getAttribute('#fast svg[role=img]', 'aria-label'))!;
    const fast = strokes.filter(({ passage, kind }) => passage === 'fast' && kind !== 'double');
    const silent = fast.filter(({ kind }) => kind === 'silent').length;
    expect(silent).toBeGreaterThan(1);
    expect(said).toContain(`${fast.length} fast strokes of D sharp 3`);
    expect(said).toContain(`${silent} silent`);
    const crosses = await page.$$eval('#fast [data-shape=silent]', (marks) => marks.length);
    await page.click('#fast .card-head button');
    const rows = await cells('fast');
    expect(rows).toHaveLength(fast.length);
    expect(rows.filter((row) => row[2] === 'silent')).toHaveLength(silent);
    expect(crosses).toBe(silent);
    expect(rows.map((row) => row[1])).toContain('right up');
    await page.click('#slow .card-head button');
    const slow = await cells('slow');
    const levels = slow.map((row) => Number(row[1].replace('\u2212', '-')));
    expect(levels).toEqual([...levels].sort((a, b) => b - a));
    await page.getByRole('button', { name: 'As played' }).click();
    expect(await cells('slow')).not.toEqual(slow);
    expect((await cells('slow')).map((row) => row[1]).sort()).toEqual(slow.map((row) => row[1]).sort());
  });

  it('plays a stroke from its row or where the chart is tapped, and stops', async () => {
    await show('steady');
    await page.click('#fast .card-head button');
    await page.click('#fast tbody button >> nth=2');
    expect(await acted()).toMatch(/^"onPlay" "take-\d+" [\d.]+;$/);
    await page.getByRole('button', { name: 'Stop' }).click();
    expect(await acted()).toContain('"onStop"');
    await show('gentle');
    await page.click('#gentle .chart-tapped', { position: { x: 20, y: 30 } });
    const first = ROUND.strokes.find(({ midi, passage }) => midi === 65 && passage === 'gentle')!;
    expect(await acted()).toBe(`"onPlay" "take-${first.source + 1}" ${first.timeSeconds};`);
    await show('insufficient');
    await page.click('#slow .card-head button');
    expect((await cells('slow'))[0].at(-1)).toBe('no sound kept');
  });

  it('goes on by keyboard: to the looks, to the neighbours, and asks to play again where it may', async () => {
    await show('gentle');
    await page.focus('.note-link');
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement!.id)).toBe('look-first-title');
    await page.getByRole('button', { name: 'Previous note' }).focus();
    await page.keyboard.press('Enter');
    await page.getByRole('button', { name: 'Play again' }).press('Space');
    expect(await acted()).toBe('"open" 51;"playAgain" 65;');
    await show('closed');
    expect(await page.getByRole('button', { name: 'Play again' }).count()).toBe(0);
  });

  it('fits phones and laptops, also with text twice as large', async () => {
    for (const [width, height, times] of [
      [390, 844, 1],
      [360, 740, 1],
      [1280, 800, 1],
      [390, 844, 2],
      [360, 740, 2],
      [1280, 800, 2],
    ]) {
      for (const name of NAMES) {
        await show(name, width, height, times);
        const found = await page.evaluate(() => {
          const wide = document.documentElement.scrollWidth > window.innerWidth ? ['sideways'] : [];
          const small = [...document.querySelectorAll('button, summary')].flatMap((target) => {
            const box = target.getBoundingClientRect();
            return box.width > 0 && Math.min(box.width, box.height) < 48 ? [target.textContent] : [];
          });
          // The letters of a chart stay within it.
          const cut = [...document.querySelectorAll('.note-chart svg text')].flatMap((letters) => {
            const [own, frame] = [letters, letters.closest('svg')!].map((each) => each.getBoundingClientRect());
            return own.left < frame.left - 2 || own.right > frame.right + 2 ? [`cut: ${letters.textContent}`] : [];
          });
          return [...wide, ...small, ...cut];
        });
        expect(found, `${name} at ${width}, text ${times}`).toEqual([]);
      }
    }
  });

  it.runIf(SHOTS !== undefined)('is photographed', async () => {
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme });
      for (const [name, width, height, times] of [
        ['repeats', 390, 844, 1],
        ['gentle', 1280, 800, 1],
        ['repeats', 390, 844, 2],
      ] as const) {
        await show(name, width, height, times);
        await page.screenshot({ path: `${SHOTS}/note-${name}-${width}-${times}-${colorScheme}.png`, fullPage: true });
      }
    }
  });

  it('complains of nothing', () => {
    expect(complaints).toEqual([]);
  });
});
