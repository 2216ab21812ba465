/**
 * The screens as people meet them: each in Chromium from invented data, at the sizes of phones and laptops, in both
 * themes, with text twice as large, by the keys of a page-turn pedal.
 */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { servePage, type BuiltPage } from './browser.ts';
import { LISTEN_VIEWS, type ListenName } from './gallery/listenViews.ts';
import { CHECK_VIEWS, HOME_VIEWS, ROUND_VIEWS, START_CHOICES } from './gallery/otherViews.ts';

const SIZES = [
  { width: 390, height: 844 },
  { width: 360, height: 740 },
  { width: 844, height: 390 },
  { width: 1280, height: 800 },
];
const named = (screen: string, views: object) => Object.keys(views).map((name) => `${screen}/${name}`);
const LISTEN = named('listen', LISTEN_VIEWS);
const ALL = [
  ...LISTEN,
  ...named('home', HOME_VIEWS),
  ...named('start', START_CHOICES),
  ...named('check', CHECK_VIEWS),
  ...named('round', ROUND_VIEWS),
  'file',
];

let built: BuiltPage;
let page: Page;
let complaints: string[];
beforeAll(async () => {
  built = await servePage('/tests/app/gallery/gallery.tsx');
  ({ page, complaints } = await built.visit());
  page.setDefaultTimeout(4000);
}, 60_000);
afterAll(() => built?.close());

/** Shows one screen, its fonts loaded and its text so many times as large. */
async function show(screen: string, { width, height } = SIZES[0], textTimes = 1): Promise<void> {
  await page.setViewportSize({ width, height });
  await page.evaluate(
    async ([hash, size]) => {
      delete document.documentElement.dataset.acted;
      document.documentElement.style.fontSize = size;
      location.hash = hash;
      await document.fonts.ready;
      await new Promise(requestAnimationFrame);
    },
    [screen, `${100 * textTimes}%`],
  );
}

const acted = () => page.evaluate(() => document.documentElement.dataset.acted ?? '');

/**
 * What does not fit on these screens, one after the other: the page sideways, targets under 48 px, text out of the
 * window or of its button, a note's name over the lanes beside it.
 */
async function misfits(screens: readonly string[], { width, height } = SIZES[0], textTimes = 1): Promise<string[]> {
  await show(screens[0], { width, height }, textTimes);
  return page.evaluate(async (hashes) => {
    const found: string[] = [];
    const told = (element: Element) => `${element.tagName}.${element.className} "${element.textContent?.slice(0, 30)}"`;
    const textsOf = (root: Element) => {
      const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
      const texts: { element: Element; box: DOMRect }[] = [];
      while (walker.nextNode()) {
        const element = walker.currentNode.parentElement!;
        if (element.closest('.unseen, .keyboard, .scrolled, select, svg, dialog') !== null) continue;
        const range = document.createRange();
        range.selectNodeContents(walker.currentNode);
        const box = range.getBoundingClientRect();
        if (box.width > 0) texts.push({ element, box });
      }
      return texts;
    };
    for (const hash of hashes) {
      const misfit = (words: string) => found.push(`${hash}: ${words}`);
      if (location.hash.slice(1) !== hash) {
        const changed = new Promise((done) => window.addEventListener('hashchange', done, { once: true }));
        location.hash = hash;
        await changed;
        await new Promise((done) => setTimeout(done));
      }
      if (document.querySelectorAll('main').length !== 1) misfit('is not there');
      const { scrollWidth } = document.documentElement;
      if (scrollWidth > window.innerWidth) misfit(`${scrollWidth} px wide`);
      const targets = 'button, summary, label.choice, select, input[type=text], .chooser';
      for (const target of document.querySelectorAll(targets)) {
        const box = target.getBoundingClientRect();
        if (box.width > 0 && Math.min(box.width, box.height) < 48)
          misfit(`${told(target)} ${box.width} x ${box.height}`);
      }
      const lanes = document.querySelector('.lanes')?.getBoundingClientRect();
      for (const { element, box } of textsOf(document.querySelector('#page')!)) {
        if (box.left < -1 || box.right > window.innerWidth + 1) misfit(`${told(element)} to ${box.right}`);
        const button = element.closest('button')?.getBoundingClientRect();
        if (button && (box.left < button.left || box.right > button.right))
          misfit(`${told(element)} leaves its button`);
        if (lanes && element.closest('.far') && lanes.left > box.left + 40 && box.right > lanes.left) {
          misfit(`${told(element)} over the lanes`);
        }
      }
    }
    return found;
  }, screens);
}

describe('every screen', () => {
  it('fits phones and laptops in both themes: nothing sideways, every target 48 px, all text within', async () => {
    expect(ALL.length).toBeGreaterThan(25);
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme });
      for (const size of SIZES) expect(await misfits(ALL, size), `at ${size.width}, ${colorScheme}`).toEqual([]);
    }
  });

  it('fits with text twice as large: nothing cut, nothing sideways', async () => {
    for (const size of SIZES) expect(await misfits(ALL, size, 2), `at ${size.width}`).toEqual([]);
  });

  it('notices what does not fit', async () => {
    await show('round/open');
    await page.evaluate(() => {
      document.querySelector<HTMLElement>('.round-lead')!.style.whiteSpace = 'nowrap';
      document.querySelector<HTMLElement>('.round-foot button')!.style.cssText = 'min-height: 40px; height: 40px';
    });
    const found = (await misfits(['round/open', 'nothing/at-all'])).join('\n');
    expect(found).toMatch(/round\/open: \d+ px wide/);
    expect(found).toMatch(/"Go on listening" [\d.]+ x 40/);
    expect(found).toMatch(/P\.round-lead .* to \d+/);
    expect(found).toContain('nothing/at-all: is not there');
    await page.reload();
  });

  it('stands in its theme when one is chosen, whatever the device says, and on the chosen hand', async () => {
    await page.emulateMedia({ colorScheme: 'dark' });
    await show('home/visits');
    const ground = () => page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    // The browser takes the first colour whose condition holds for its own frame.
    const frame = () =>
      page.evaluate(() => {
        const colours = [...document.querySelectorAll<HTMLMetaElement>('meta[name="theme-color"]')];
        const hex = colours.find(({ media }) => matchMedia(media).matches)!.content;
        return `rgb(${[1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16)).join(', ')})`;
      });
    const dark = await ground();
    expect(await frame()).toBe(dark);
    await page.getByRole('button', { name: 'Settings' }).click();
    await page.getByLabel('Room (light)').check();
    const light = await ground();
    expect(light).not.toBe(dark);
    expect(await frame()).toBe(light);
    await page.getByLabel('At the left').check();
    await page.emulateMedia({ colorScheme: 'light' });
    await page.getByLabel('Stage (dark)').check();
    expect([await ground(), await frame()]).toEqual([dark, dark]);
    await page.getByLabel('As the device').check();
    expect([await ground(), await frame()]).toEqual([light, light]);
    await page.emulateMedia({ colorScheme: 'dark' });
    expect([await ground(), await frame()]).toEqual([dark, dark]);
    await page.getByRole('button', { name: 'Done' }).click();
    await show('listen/fast', SIZES[2]);
    expect((await page.getByRole('button', { name: 'Pause' }).boundingBox())!.x).toBeLessThan(20);
    await page.reload();
    expect((await page.getByRole('button', { name: 'Pause' }).boundingBox())!.x).toBeGreaterThan(700);
  });

  it('is written in its own fonts', async () => {
    await show('home/visits');
    const loaded = await page.evaluate(() =>
      [...document.fonts].filter(({ status }) => status === 'loaded').map(({ family }) => family.replaceAll('"', '')),
    );
    expect(loaded.sort()).toEqual(['Atkinson Hyperlegible Next', 'Besley']);
  });
});

/** Height of the note's letters, px. */
const noteSize = () => page.locator('.far').evaluate((name) => parseFloat(getComputedStyle(name).fontSize));

describe('Listen', () => {
  it.each([
    ['slow', 0, 235.9],
    ['fast', 0, 212],
    ['bar', 0, 83.8],
    ['bar-sharps', 0, 63.9],
    ['slow', 1, 198.3],
    ['slow', 3, 288],
  ] as const)('names the note of "%s" large enough to be read from 1.5 m: size %i', async (name, size, least) => {
    await show(`listen/${name}`, SIZES[size]);
    expect(await noteSize()).toBeGreaterThanOrEqual(least);
  });

  it('has room for every letter, and for the widest in every octave', async () => {
    const letters = Array.from({ length: 12 }, (_, i) => 60 + i);
    const octaves = Array.from({ length: 7 }, (_, i) => 22 + 12 * i);
    const keys = [...letters, ...octaves].map((midi) => `listen/fast/${midi}`);
    for (const size of SIZES) expect(await misfits(keys, size), `at ${size.width}`).toEqual([]);
  });

  it.each([SIZES[0], SIZES[2], SIZES[3]])('shows all on one screen of $width x $height while playing', async (size) => {
    const playing = Object.entries(LISTEN_VIEWS).filter(([, { state }]) => state === 'listening');
    expect(playing.length).toBeGreaterThan(8);
    for (const [name] of playing) {
      // Landscape has no room for two warnings at once: there the page scrolls under the three buttons.
      if (name === 'loud' && size.height < 500) continue;
      await show(`listen/${name}`, size);
      expect(await page.evaluate(() => document.documentElement.scrollHeight), name).toBe(size.height);
    }
  });

  it('keeps the name and the order of one size when text grows', async () => {
    await show('listen/fast');
    const order = () => page.locator('.order').evaluate((line) => parseFloat(getComputedStyle(line).fontSize));
    const before = [await noteSize(), await order()];
    expect(before[1]).toBeGreaterThanOrEqual(59);
    await show('listen/fast', SIZES[0], 2);
    expect([await noteSize(), await order()]).toEqual(before);
  });

  it('draws silent, weak and double as three shapes, none like a sounded stroke', async () => {
    await show('listen/fast');
    const shapes = (kind: string) =>
      page
        .locator(`.slots .mark-${kind}`)
        .first()
        .evaluate((mark) => [...mark.querySelectorAll('path')].map((path) => path.getAttribute('d')).join());
    const drawn = [await shapes('silent'), await shapes('weak'), await shapes('clear'), await shapes('ring')];
    await show('listen/gentle');
    drawn.push(await shapes('double'));
    expect(new Set(drawn).size).toBe(5);
    expect(drawn).not.toContain('');
  });

  it('draws a slot for every stroke wanted, two lanes in full, and tells the others', async () => {
    const slots = () =>
      page.locator('.lane').evaluateAll((lanes) => lanes.map((lane) => lane.querySelectorAll('.slot').length));
    for (const [name, counts] of [
      ['fast', [8, 12]],
      ['open', [18, 12, 0, 0]],
      ['bar', [9, 8]],
    ] as const) {
      await show(`listen/${name}`);
      expect(await slots(), name).toEqual(counts);
    }
    await show('listen/open');
    expect(await page.locator('.lane').last().innerText()).toMatch(/just over half\s+0 of 12/);
    expect(await page.locator('.slot.firm').count()).toBe(6);
  });

  it('has the wanted note in outline and the heard one solid', async () => {
    const filled = async (name: ListenName) => {
      await show(`listen/${name}`);
      await page.waitForTimeout(250);
      return page.locator('.far').evaluate((far) => {
        const ground = getComputedStyle(document.body).backgroundColor;
        const { color, webkitTextStrokeWidth } = getComputedStyle(far);
        return { solid: color !== ground, outlined: parseFloat(webkitTextStrokeWidth) > 0 };
      });
    };
    expect(await filled('next')).toEqual({ solid: false, outlined: true });
    expect(await filled('fast')).toEqual({ solid: true, outlined: false });
  });

  it('says aloud what is announced, and stops at once what stops the round', async () => {
    for (const name of ['next', 'sharp', 'stopped'] as const) {
      await show(`listen/${name}`);
      expect(await page.locator('[aria-live=polite]').textContent()).toBe(LISTEN_VIEWS[name].announcement);
    }
    expect(await page.getByRole('alert').textContent()).toContain('Listening stopped by the phone.');
    await show('listen/warned');
    expect(await page.getByRole('alert').textContent()).toBe('');
    expect(await page.getByRole('heading', { level: 1 }).innerText()).toContain('A sharp 4');
  });

  it('takes PageUp for undo and PageDown for skip, once for each press', async () => {
    await show('listen/fast');
    await page.keyboard.press('PageUp');
    await page.keyboard.press('PageDown');
    await page.keyboard.press('Control+PageDown');
    await page.keyboard.down('PageDown');
    await page.keyboard.down('PageDown');
    await page.keyboard.up('PageDown');
    expect(await acted()).toBe('"undo";"skip";"skip";');
    await show('home/visits');
    await page.keyboard.press('PageUp');
    expect(await acted()).toBe('');
  });

  it('has three buttons while playing, and the menu under Pause', async () => {
    await show('listen/fast');
    expect(await page.getByRole('button').allInnerTexts()).toEqual(['Undo', 'Pause', 'Skip']);
    await page.getByRole('button', { name: 'Pause' }).click();
    await show('listen/paused');
    await page.getByRole('button', { name: 'This key jams' }).click();
    for (const way of ['Open', 'Gentle', 'Full return', 'Bar', 'Just over half']) {
      await page.getByRole('button', { name: new RegExp(`^${way}`) }).click();
    }
    await page.getByRole('button', { name: 'Go on' }).click();
    expect(await acted()).toBe(
      '"jams";"ask" "open";"ask" "gentle";"ask" "full-return";"ask" "bar";"ask" "just-over-half";"goOn";',
    );
    const cautions = await page.locator('.cautions').innerText();
    for (const word of ['jams', 'hearing', 'Rest your hand', 'loose']) expect(cautions).toContain(word);
    await show('listen/stopped');
    await page.getByRole('button', { name: 'Save take' }).click();
    expect(await acted()).toBe('"notice" "storage-full" "save";');
  });
});

describe('before and after playing', () => {
  it('tells visits in words and has no demo where there is none', async () => {
    await show('home/visits');
    const rows = await page.locator('.visit-words').allInnerTexts();
    expect(rows.map((row) => row.replaceAll('\n', ' '))).toEqual([
      'Aldervane 274 Quillwater Hall, today · 4 unstable, 6 to watch, not closed',
      'Teaching room 2, small grand 3 November · 85 steady, 3 not enough',
      'Aldervane 274 Quillwater Hall, 18 May · 2 to watch',
    ]);
    expect(await page.getByText('Demo visit').count()).toBe(0);
    await page.getByText('Room for about 20 more visits.').waitFor();
    await show('home/empty');
    await page.getByText('Nothing heard yet').waitFor();
  });

  it('takes notes from keys and from names, and says which name it cannot read', async () => {
    await show('start/picked');
    const names = page.getByLabel('Or write their names');
    expect(await names.inputValue()).toBe('A4, C#5');
    await page.getByRole('button', { name: 'C sharp 5', exact: true }).click();
    await page.getByRole('button', { name: 'B4', exact: true }).click();
    expect(await names.inputValue()).toBe('A4, B4');
    await names.fill('A4, H5');
    await names.press('Enter');
    expect(await page.locator('.wrong').innerText()).toMatch(/"H5" names no piano key; expected .* "F#4"/);
    await names.fill('C6 bb2');
    await names.press('Enter');
    expect(await page.locator('.wrong').innerText()).toBe('');
    await page.getByRole('button', { name: 'Start', exact: true }).click();
    expect(await acted()).toBe('"start" "hand-picked" [46,84];');
    await page.getByRole('button', { name: 'A sharp 2', exact: true }).focus();
    await page.keyboard.press('ArrowRight');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('B2');
  });

  it('starts only with a named piano and a whole plan', async () => {
    const start = page.getByRole('button', { name: 'Start', exact: true });
    await show('start/new');
    expect(await start.isDisabled()).toBe(true);
    await page.getByLabel('Name of the piano').fill('Aldervane 274');
    expect(await start.isDisabled()).toBe(false);
    await show('start/section');
    expect(await start.isDisabled()).toBe(true);
    await page.getByLabel('Which').selectOption('Tenor, F2 to A4');
    expect(await start.isDisabled()).toBe(false);
  });

  it('checks four things, and starts all the same where one is wanting', async () => {
    await show('check/good');
    expect(await page.locator('.check-line.good').count()).toBe(4);
    await page.getByRole('button', { name: 'Start', exact: true }).click();
    await show('check/faint');
    expect(await page.locator('.check-line.warning').innerText()).toMatch(/Finger on key: faint\s+2 of 5/);
    await page.getByRole('button', { name: 'Start all the same' }).waitFor();
    await page.getByLabel('Microphone').selectOption('Microphone on the cable');
    expect(await acted()).toBe('"choose" "m2";');
    await show('check/waiting');
    expect(await page.getByRole('button', { name: /^Start/ }).isDisabled()).toBe(true);
  });

  it('lists the notes of a round, provisional until it is closed', async () => {
    await show('round/open');
    const first = page.locator('.round-note').first();
    expect(await first.innerText()).toMatch(/D sharp 3\s+key 31\s+Unstable\s+provisional\s+44 strokes/);
    await first.getByText('What was heard').click();
    await first.getByText(/4 of 24 half-way repeats/).waitFor();
    await page.getByRole('button', { name: 'Play again: D sharp 3' }).click();
    expect(await page.getByRole('button', { name: /^Play again: / }).count()).toBe(2);
    await page.getByRole('button', { name: 'Close round' }).click();
    expect(await acted()).toBe('"playAgain" 51;"closeRound";');
    await show('round/closed');
    expect(await page.getByText('provisional', { exact: true }).count()).toBe(0);
    const buttons = await page.getByRole('button').allInnerTexts();
    expect(buttons).toEqual(expect.arrayContaining(['Listen', 'Compass', 'Work', 'Report']));
    expect(buttons.filter((words) => /Undo|Close|Go on|Play/.test(words))).toEqual([]);
  });

  it('complained of nothing, under the policy of the page', () => {
    expect(complaints).toEqual([]);
  });
});
