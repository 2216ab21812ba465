/**
 * The compass as people meet it, in Chromium: by keyboard alone, by finger, at the sizes of phones and laptops, in both themes,
 * with text twice as large. Rounds made as sound, and all 88 keys of drawn strokes.
 */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { servePage, type BuiltPage } from './browser.ts';

const NAMES = ['whole', 'worked', 'sounded', 'heardAgain', 'empty'];
const PHONE = { width: 390, height: 844 };
const LAPTOP = { width: 1280, height: 800 };

let built: BuiltPage;
let page: Page;
let complaints: string[];
beforeAll(async () => {
  built = await servePage('/tests/app/gallery/gallery.tsx');
  ({ page, complaints } = await built.visit());
  page.setDefaultTimeout(4000);
}, 60_000);
afterAll(() => built?.close());
beforeEach(() => page.emulateMedia({ colorScheme: 'dark' }));

/** Shows one view anew, its text so many times as large. */
async function show(name: string, size = PHONE, textTimes = 1): Promise<void> {
  await page.setViewportSize(size);
  await page.evaluate(
    async ([hash, fontSize]) => {
      const changed = (to: string) =>
        new Promise((done) => {
          window.addEventListener('hashchange', done, { once: true });
          location.hash = to;
        });
      await changed(`nothing/${performance.now()}`);
      delete document.documentElement.dataset.acted;
      document.documentElement.style.fontSize = fontSize;
      await changed(hash);
      await document.fonts.ready;
      await new Promise((done) => setTimeout(done, 60));
    },
    [`compass/${name}`, `${100 * textTimes}%`],
  );
}

const slider = () => page.getByRole('slider', { name: 'Key' });
const told = () => slider().getAttribute('aria-valuetext');
const acted = () => page.evaluate(() => document.documentElement.dataset.acted ?? '');
const chip = (name: RegExp) => page.getByRole('button', { name });
const table = () => page.getByRole('button', { name: 'Table', exact: true });

/** Presses Tab until the element has the focus. */
async function tabTo(selector: string): Promise<void> {
  for (let i = 0; i < 40; i++) {
    if (await page.evaluate((css) => document.activeElement?.matches(css) ?? false, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`"${selector}" was not reached by 40 presses of Tab`);
}

describe('by keyboard alone', () => {
  it('steps through the keys and the flagged notes, and opens one', async () => {
    await show('whole', LAPTOP);
    await tabTo('[role=slider]');
    await page.keyboard.press('Home');
    expect(await told()).toMatch(/^A0, key 1, /);
    expect(await slider().getAttribute('aria-valuenow')).toBe('1');
    await page.keyboard.press('PageUp');
    expect(await told()).toMatch(/^G sharp 1, key 12, watch, /);
    await page.keyboard.press('PageUp');
    await page.keyboard.press('PageUp');
    expect(await told()).toMatch(/^D sharp 3, key 31, unstable, 8 silent and 3 weak of 23, timing /);
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowUp');
    expect(await slider().getAttribute('aria-valuenow')).toBe('33');
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('PageDown');
    expect(await told()).toMatch(/^D sharp 3, /);
    await page.keyboard.press('End');
    expect(await told()).toMatch(/^C8, key 88, /);
    await page.keyboard.press('PageUp');
    expect(await told()).toMatch(/^C8, key 88, /);
    await page.keyboard.press('PageDown');
    await tabTo('.compass-open');
    await page.keyboard.press('Enter');
    expect(await acted()).toBe('"open" 86;');
  });

  it('moves the window of a phone with the key, and draws the key picked', async () => {
    await show('whole');
    await slider().press('Home');
    const names = () => page.locator('.compass-slider text').allTextContents();
    expect(await names()).toContain('C2');
    expect(await names()).not.toContain('C8');
    await slider().press('End');
    expect(await names()).toContain('C8');
    const place = await page.locator('.compass-picked').boundingBox();
    const chart = await slider().boundingBox();
    expect(place!.x).toBeGreaterThan(chart!.x + chart!.width - 40);
  });

  it('chooses what is shown, and steps among it', async () => {
    await show('whole', LAPTOP);
    await tabTo('.compass-chip.unstable');
    await page.keyboard.press('Space');
    expect(await chip(/Unstable/).getAttribute('aria-pressed')).toBe('true');
    await slider().press('Home');
    await slider().press('PageUp');
    expect(await told()).toMatch(/^D sharp 3, /);
    await slider().press('PageUp');
    expect(await told()).toMatch(/^E4, key 44, unstable/);
    await tabTo('button.compass-step[aria-label^="The next unstable note, D5"]');
    await page.keyboard.press('Enter');
    expect(await told()).toMatch(/^D5, /);
    expect(await page.locator('.compass > [aria-live]').textContent()).toMatch(/^D5\. \S/);
  });

  it('shows the table: flagged first, zero and not played and not enough apart, one row after a choice', async () => {
    await show('whole', LAPTOP);
    await tabTo('.compass-chip.table');
    await page.keyboard.press('Enter');
    expect(await table().getAttribute('aria-pressed')).toBe('true');
    const rows = page.locator('.compass-table tbody tr');
    // Those in sight come first.
    await rows.nth(87).waitFor({ state: 'attached' });
    expect(await rows.count()).toBe(88);
    const verdicts = await page.locator('.compass-table .verdict').allTextContents();
    expect(verdicts.slice(0, 4)).toEqual(['Unstable', 'Unstable', 'Unstable', 'Unstable']);
    expect(verdicts.slice(4).indexOf('Unstable')).toBe(-1);
    const cells = async (name: string) =>
      page.locator('.compass-table tbody tr', { hasText: name }).first().locator('td').allTextContents();
    expect((await cells('D sharp 3')).slice(1, 6)).toEqual(['8', '3', '0', '23', 'not played']);
    expect((await cells('A7')).slice(1)).toEqual(expect.arrayContaining(['not played', 'not enough', '2']));
    await chip(/Watch/).press('Enter');
    await rows.nth(6).waitFor({ state: 'detached' });
    expect(await rows.count()).toBe(6);
    await rows.first().getByRole('button').press('Enter');
    expect(await acted()).toMatch(/^"open" \d+;$/);
  });
});

describe('by finger', () => {
  it('picks the key nearest to a tap, and follows a drag', async () => {
    await show('whole', LAPTOP);
    const box = (await slider().boundingBox())!;
    const at = async (midi: number) =>
      page.evaluate(
        ([key, left, width]) => {
          const picked = document.querySelector('.compass-picked')!.getBoundingClientRect();
          return { left, width, key, column: picked.width };
        },
        [midi, box.x, box.width],
      );
    const { column } = await at(60);
    const x = (midi: number) => box.x + box.width - 2 - (108 - midi + 0.5) * column;
    await page.mouse.move(x(51) + 0.3 * column, box.y + 60);
    await page.mouse.down();
    expect(await told()).toMatch(/^D sharp 3, /);
    await page.mouse.move(x(60), box.y + 200);
    expect(await told()).toMatch(/^C4, /);
    await page.mouse.move(box.x - 30, box.y + 200);
    expect(await told()).toMatch(/^A0, /);
    await page.mouse.up();
    await page.mouse.move(x(70), box.y + 200);
    expect(await told()).toMatch(/^A0, /);
  });

  it('moves the window by a tap on the strip', async () => {
    await show('whole');
    const strip = (await page.locator('.compass-strip').boundingBox())!;
    await page.mouse.click(strip.x + 3, strip.y + 20);
    expect(await told()).toMatch(/^A0, /);
  });
});

describe('before and after', () => {
  it('lists the notes worked on a phone: improved first, each with both counts and its picture', async () => {
    await show('worked');
    await chip(/Worked/).click();
    const rows = page.locator('.worked li');
    expect(await rows.count()).toBe(7);
    expect(await rows.first().textContent()).toMatch(
      /D sharp 3.*Repeats: 8 silent and 3 weak, then 0 failed of 23.*Improved/,
    );
    const changes = await page.locator('.worked .change').allTextContents();
    expect(changes).toEqual([...changes].sort((a, b) => Number(b === 'Improved') - Number(a === 'Improved')));
    expect(await page.locator('.worked svg[role=img]').count()).toBe(7);
    await rows.first().getByRole('button').click();
    expect(await acted()).toBe('"open" 51;');
  });

  it('draws both rounds on a laptop', async () => {
    await show('worked', LAPTOP);
    await chip(/Worked/).click();
    const texts = await page.locator('.compass-slider text').allTextContents();
    expect(texts).toEqual(expect.arrayContaining(['Repeats, before and after', '11\u21920']));
    await slider().press('Home');
    await slider().press('PageUp');
    await slider().press('PageUp');
    expect(await page.locator('.compass-card').textContent()).toMatch(/D.*Improved/);
  });

  it('is not offered without an earlier round', async () => {
    await show('whole');
    expect(await chip(/Worked/).count()).toBe(0);
  });
});

/** What does not fit: the page sideways, targets under 48 px, words out of the window or of their button. */
async function misfits(): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    if (document.documentElement.scrollWidth > window.innerWidth) {
      found.push(`${document.documentElement.scrollWidth} px wide`);
    }
    for (const target of document.querySelectorAll('.compass button, .compass select, [role=slider]')) {
      const { width, height } = target.getBoundingClientRect();
      if (Math.min(width, height) < 48) found.push(`${target.textContent} ${width} x ${height}`);
    }
    const texts = document.querySelectorAll('.compass button span, .compass p, .compass h2, .compass-slider text');
    for (const text of texts) {
      if (text.closest('.scrolled, .unseen') || text.matches('.unseen')) continue;
      const { left, right, width } = text.getBoundingClientRect();
      if (width > 0 && (left < -0.5 || right > window.innerWidth + 0.5)) found.push(`${text.textContent} to ${right}`);
      const button = text.closest('button')?.getBoundingClientRect();
      if (button && width > 0 && (left < button.left || right > button.right)) found.push(`${text.textContent} leaves`);
    }
    return found;
  });
}

describe('every view', () => {
  const ways = ['chart', 'table', 'worked'] as const;

  async function fits(width: number, height: number, textTimes = 1): Promise<void> {
    // All of them at one size; the fullest at every size.
    for (const name of width === PHONE.width ? NAMES : ['whole', 'worked']) {
      await show(name, { width, height }, textTimes);
      for (const way of ways) {
        if (way === 'table') await table().click();
        if (way === 'worked') {
          if ((await chip(/Worked/).count()) === 0) continue;
          await table().click();
          await chip(/Worked/).click();
        }
        expect(await misfits(), `${name}, ${way}, ${width} px, text ${textTimes}`).toEqual([]);
      }
    }
  }

  it('fits 360, 390 and 1280 pixels: nothing sideways, targets of 48 px', async () => {
    for (const [width, height] of [
      [360, 740],
      [390, 844],
      [1280, 800],
    ]) {
      await fits(width, height);
    }
  });

  it('fits with text twice as large: eleven keys, the table offered first', async () => {
    await fits(390, 844, 2);
    await fits(1280, 800, 2);
    await show('whole', PHONE, 2);
    expect(await page.locator('.compass-chips button').first().textContent()).toBe('Table');
    const heights = await page.locator('.compass-slider text').first().getAttribute('font-size');
    expect(Number(heights)).toBeGreaterThanOrEqual(26);
    const [chart, picked] = await Promise.all([slider().boundingBox(), page.locator('.compass-picked').boundingBox()]);
    expect(picked!.width).toBeGreaterThan(chart!.width / 15);
  });

  it('keeps note and verdict in sight while the table scrolls within', async () => {
    await show('whole', { width: 360, height: 740 });
    await table().click();
    const scrolled = page.locator('.compass-table');
    await scrolled.evaluate((element) => element.scrollTo(400, 0));
    expect(await scrolled.evaluate((element) => element.scrollLeft)).toBeGreaterThan(100);
    const box = (await scrolled.boundingBox())!;
    const first = (await page.locator('.compass-table tbody th').first().boundingBox())!;
    const second = (await page.locator('.compass-table tbody td').first().boundingBox())!;
    expect(first.x).toBeLessThan(box.x + 3);
    expect(second.x).toBeLessThan(first.x + first.width + 1);
    expect(second.x + second.width).toBeLessThan(box.x + 0.7 * box.width);
  });

  it('takes the colours of both themes', async () => {
    await show('whole', LAPTOP);
    const fills = () =>
      page.evaluate(() =>
        ['ink', 'ember', 'band', 'edge'].map((name) => {
          const probe = document.createElement('i');
          probe.style.color = `var(--${name})`;
          document.body.append(probe);
          const wanted = getComputedStyle(probe).color;
          probe.remove();
          return [getComputedStyle(document.querySelector(`.compass-slider .picture-fill-${name}`)!).fill, wanted];
        }),
      );
    const dark = await fills();
    await page.emulateMedia({ colorScheme: 'light' });
    const light = await fills();
    for (const [is, wanted] of [...dark, ...light]) expect(is).toBe(wanted);
    expect(light).not.toEqual(dark);
  });

  it('says what to do where nothing was heard, and complains of nothing', async () => {
    await show('empty');
    expect(await page.locator('.compass').textContent()).toContain('Nothing heard yet. Play any note slowly');
    expect(await slider().count()).toBe(0);
    expect(complaints).toEqual([]);
  });

  it('redraws for a step of the cursor nothing but the cursor', async () => {
    await show('whole', LAPTOP);
    await slider().focus();
    const changed = await page.evaluate(async () => {
      const element = document.querySelector('[role=slider]')!;
      const records: MutationRecord[] = [];
      const observer = new MutationObserver((more) => void records.push(...more));
      observer.observe(element.querySelector('svg')!, { subtree: true, childList: true, attributes: true });
      for (let i = 0; i < 5; i++) {
        element.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft', bubbles: true }));
        await new Promise(requestAnimationFrame);
      }
      records.push(...observer.takeRecords());
      observer.disconnect();
      const classes = records.map(({ type, target }) => `${type} ${(target as Element).getAttribute('class')}`);
      return [...new Set(classes)].sort();
    });
    expect(changed).toEqual(['attributes compass-cursor', 'attributes compass-picked']);
  });
});
