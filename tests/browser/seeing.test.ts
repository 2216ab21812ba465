/**
 * The demo visit as someone sees it who has no microphone and no mouse: opened in one click, then compass and note by keyboard
 * alone. The real page, as built.
 */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { FONT_LICENCES } from '../../vite.config.ts';
import { servePage, type BuiltPage } from '../app/browser.ts';

/** More stops than any screen has before what is looked for. */
const MOST_TABS = 60;

let built: BuiltPage;
let page: Page;
let complaints: string[];
let asked: string[];
beforeAll(async () => {
  built = await servePage();
  ({ page, complaints, asked } = await built.visit({ viewport: { width: 1280, height: 800 } }));
  page.setDefaultTimeout(8000);
  await page.evaluate(() => {
    navigator.mediaDevices.getUserMedia = () => Promise.reject(new Error('the microphone was asked for'));
  });
}, 60_000);
afterAll(() => built?.close());
beforeEach(() => expect(complaints).toEqual([]));

interface Focus {
  readonly tag: string;
  readonly name: string;
  /** Drawn around it. */
  readonly ring: boolean;
  /** At least a part of it is within the window and nothing lies over that. */
  readonly seen: boolean;
}

/** What has the focus, and whether that can be seen. */
function focus(): Promise<Focus> {
  return page.evaluate(() => {
    const element = document.activeElement as HTMLElement;
    const ringed = [element, element.closest('label'), element.closest('.chooser')].some((one) => {
      if (!one) return false;
      const { outlineStyle, outlineWidth } = getComputedStyle(one);
      return outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2;
    });
    const { left, right, top, bottom } = element.getBoundingClientRect();
    const shares = [0.05, 0.5, 0.95];
    const seen = shares.some((down) =>
      shares.some((along) => {
        const there = document.elementFromPoint(left + along * (right - left), top + down * (bottom - top));
        return there !== null && element.contains(there);
      }),
    );
    const name = element.getAttribute('aria-label') ?? element.innerText;
    return { tag: element.tagName, name: name.replace(/\s+/g, ' ').trim(), ring: ringed, seen };
  });
}

/** Presses Tab until what has the focus has this name; every stop on the way is to be seen. */
async function tabTo(name: RegExp): Promise<Focus> {
  const stops: string[] = [];
  for (let i = 0; i < MOST_TABS; i++) {
    await page.keyboard.press('Tab');
    const now = await focus();
    // Past the last stop, and round to the first.
    if (now.tag === 'BODY') continue;
    expect(now, `focus after ${stops.join(', ')}`).toMatchObject({ ring: true, seen: true });
    if (name.test(now.name)) return now;
    stops.push(`${now.tag} ${now.name.slice(0, 40)}`);
  }
  throw new Error(`no stop named ${String(name)} among ${stops.join(', ')}`);
}

/** Waits until something has the focus after a change of screen, and tells what. */
async function landed(title: string): Promise<Focus> {
  await page.locator('h1', { hasText: title }).waitFor();
  await page.waitForFunction(() => document.activeElement !== document.body);
  return focus();
}

const slider = () => page.getByRole('slider', { name: 'Key' });
const told = () => slider().getAttribute('aria-valuetext');
const press = async (...keys: readonly string[]) => {
  for (const key of keys) await page.keyboard.press(key);
};

describe('the demo visit', () => {
  it('is open after one click, and asks for no microphone', async () => {
    await page.getByRole('button', { name: 'Demo visit' }).click();
    await page.locator('.round-screen').waitFor();
    expect(await page.locator('.round-lead').innerText()).toMatch(/^Aldervane 274, .*23 notes heard/);
    expect(await landed('Round 2')).toMatchObject({ tag: 'H1', name: 'Round 2' });
  });

  it('leads to its compass by keyboard, where Round 1 is chosen', async () => {
    await tabTo(/^Compass$/);
    await press('Enter');
    expect(await landed('Compass')).toMatchObject({ tag: 'H1', seen: true });
    await page.locator('.compass-slider').waitFor();
    await tabTo(/^Round$/);
    await press('ArrowUp');
    await page.locator('.compass-chip.all', { hasText: '88' }).waitFor();
    expect(await focus()).toMatchObject({ tag: 'SELECT', seen: true });
  });

  it('is one slider: arrows step a key, Page keys a flagged note, and the value says what is there', async () => {
    await tabTo(/^Key$/);
    // All 88 keys, each with its own words.
    await press('Home');
    const words: string[] = [(await told())!];
    for (let key = 2; key <= 88; key++) {
      await press('ArrowRight');
      words.push((await told())!);
      expect(await slider().getAttribute('aria-valuenow')).toBe(String(key));
    }
    await press('ArrowRight');
    expect(await slider().getAttribute('aria-valuenow')).toBe('88');
    expect(new Set(words).size).toBe(88);
    expect(
      words.filter((text) => !/^[A-G]( sharp )?\d, key \d+, (steady|watch|unstable|not enough yet), /.test(text)),
    ).toEqual([]);
    expect(words[53]).toMatch(/^D5, key 54, unstable, .*\d .* of \d+, .*timing .*, rest .*, \d+ clear strokes$/);
    // Page keys: the flagged ones, in order, and no other.
    const flagged = words.flatMap((text, i) => (/, (watch|unstable), /.test(text) ? [String(i + 1)] : []));
    expect(flagged.length).toBeGreaterThan(4);
    await press('Home');
    const reached: string[] = [];
    for (let i = 0; i < flagged.length; i++) {
      await press('PageUp');
      reached.push((await slider().getAttribute('aria-valuenow'))!);
    }
    expect(reached).toEqual(flagged);
    await press('PageUp');
    expect(await slider().getAttribute('aria-valuenow')).toBe(flagged.at(-1));
    await press('PageDown', 'ArrowDown', 'ArrowUp');
    expect(await slider().getAttribute('aria-valuenow')).toBe(flagged.at(-2));
    // Keys with another held are the browser's.
    await press('Control+ArrowRight');
    expect(await slider().getAttribute('aria-valuenow')).toBe(flagged.at(-2));
    expect(await focus()).toMatchObject({ name: 'Key', ring: true, seen: true });
  });

  it('steps from flagged to flagged by buttons, which keep the focus at the end, and say where they led', async () => {
    await press('Home');
    await tabTo(/^The next flagged note, /);
    for (let i = 0; i < 20 && !/^No next/.test((await focus()).name); i++) await press('Enter');
    expect(await focus()).toMatchObject({ tag: 'BUTTON', name: 'No next flagged note', ring: true });
    const before = await told();
    await press('Enter');
    expect(await told()).toBe(before);
    expect(await page.locator('.compass [aria-live]').innerText()).not.toBe('');
  });

  it('opens a note and comes back to where one came from', async () => {
    await page.keyboard.press('Shift+Tab');
    const open = await focus();
    expect(open.name).toMatch(/^Open /);
    const key = await slider().getAttribute('aria-valuenow');
    await press('Enter');
    expect(await landed('Round 1')).toMatchObject({ tag: 'H1', seen: true });
    await page.locator('.note-screen').waitFor();
    // To its bottom: every stop is to be seen, and the neighbours' buttons keep the focus.
    await tabTo(/^Previous note, /);
    await press('Enter');
    expect(await focus()).toMatchObject({ tag: 'BUTTON', ring: true });
    await tabTo(/^Next note, /);
    await press('Enter');
    for (let i = 0; i < 40 && !/^Back$/.test((await focus()).name); i++) await page.keyboard.press('Shift+Tab');
    await press('Enter');
    await page.locator('.compass-slider').waitFor();
    await page.waitForFunction((name) => document.activeElement?.getAttribute('aria-label') === name, open.name);
    expect(await slider().getAttribute('aria-valuenow')).toBe(key);
    expect(await focus()).toEqual({ ...open, ring: true, seen: true });
  });

  it('is a table too, and shows only what a chip asks for', async () => {
    const chip = async (name: RegExp) => {
      for (let i = 0; i < MOST_TABS && !name.test((await focus()).name); i++) await page.keyboard.press('Shift+Tab');
      await press('Space');
      expect(await focus()).toMatchObject({ tag: 'BUTTON', ring: true, seen: true });
    };
    /** Those in sight come first: waits for as many. */
    const rows = (count: number) =>
      page.waitForFunction((many) => document.querySelectorAll('.compass-table tbody tr').length === many, count);
    await chip(/^Table$/);
    await rows(88);
    await chip(/ Watch$/);
    const watched = Number.parseInt((await focus()).name, 10);
    expect(watched).toBeGreaterThan(1);
    await rows(watched);
    await chip(/ Unstable$/);
    await rows(2);
    // A note of the table, and back to it.
    const link = await tabTo(/^D5\b/);
    await press('Enter');
    await page.locator('.note-screen').waitFor();
    expect(await landed('Round 1')).toMatchObject({ tag: 'H1', seen: true });
    for (let i = 0; i < 3 && !/^Back$/.test((await focus()).name); i++) await tabTo(/^(Back|Settings)$/);
    await press('Enter');
    await page.waitForFunction(() => document.activeElement?.className === 'compass-note-link');
    expect(await focus()).toMatchObject({ ...link, ring: true, seen: true });
  });

  it('offers before and after in Round 2, once both are compared', async () => {
    for (let i = 0; i < MOST_TABS && (await focus()).name !== 'Round'; i++) await page.keyboard.press('Shift+Tab');
    await press('ArrowDown');
    await page.locator('.compass-chip.all', { hasText: '24' }).waitFor();
    await page.locator('.compass-chip.worked').waitFor({ timeout: 15_000 });
    await tabTo(/ Worked$/);
    await press('Space');
    const count = Number.parseInt(await page.locator('.compass-chip.worked').innerText(), 10);
    expect(count).toBeGreaterThan(2);
    await page.waitForFunction((many) => document.querySelectorAll('.compass-table tbody tr').length === many, count);
    await tabTo(/^Table$/);
    await press('Space');
    expect(await page.locator('.compass-legend').innerText()).toContain('before: left');
    await tabTo(/^Key$/);
    await press('Home', 'PageUp');
    expect(await page.locator('.compass-card .change').innerText()).toMatch(
      /Improved|No change shown|Worse|Not enough/,
    );
  });

  it('goes home again, and has asked for nothing that the page does not serve itself', async () => {
    await tabTo(/^Home$/);
    await press('Enter');
    expect(await landed('Evenfall')).toMatchObject({ seen: true, ring: true });
    // Its letters, and beside them under what licence they came.
    expect(asked.filter((url) => url.endsWith('.woff2')).length).toBeGreaterThanOrEqual(2);
    for (const path of Object.values(FONT_LICENCES)) {
      expect(await (await fetch(`${built.origin}/${path}`)).text()).toContain('SIL OPEN FONT LICENSE');
    }
    expect(asked.filter((url) => !url.startsWith(`${built.origin}/`) && !/^(data|blob):/.test(url))).toEqual([]);
  });

  it('has its worklist, from which a note of an earlier round opens, and that is found again as it was', async () => {
    await page.getByRole('button', { name: 'Demo visit' }).click();
    await page.getByRole('button', { name: 'Work', exact: true }).click();
    await landed('Worklist');
    const rows = () => page.locator('.work-row').allInnerTexts();
    await page.locator('.change', { hasText: 'No change shown' }).first().waitFor({ timeout: 15_000 });
    const before = await rows();
    expect(before.length).toBeGreaterThan(6);
    // Turned, marked and timed at the bench; the demo is only to be looked at.
    expect(before.join(' ')).toMatch(/Done/);
    expect(await page.locator('.work button', { hasText: /I adjusted it|Time|Mark done/ }).count()).toBe(0);
    // Flagged in round 1, and not heard in round 2.
    const note = page.locator('.work-row.open .work-note').first();
    const name = /[A-G]( sharp )?\d/.exec((await note.innerText()).replace(/\s+/g, ' '))![0];
    await note.click();
    await page.locator('.note-screen').waitFor();
    expect(await landed('Round 1')).toMatchObject({ tag: 'H1' });
    expect(await page.locator('.note-name').innerText()).toContain(name);
    await page.getByRole('button', { name: 'Back' }).click();
    await landed('Worklist');
    await page.locator('.change', { hasText: 'No change shown' }).first().waitFor({ timeout: 15_000 });
    expect(await rows()).toEqual(before);
  });
});
