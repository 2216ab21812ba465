/**
 * Every screen before an audit: no rule broken, in both themes, on phones and laptops; targets for a finger; what is left of
 * the marks where the reader's colours hold; nothing that moves where that is not wanted. Fitting and large text of most
 * screens: `tests/app`. `AUDIT_SHOTS` names a folder for pictures of all.
 */

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { servePage, type BuiltPage } from '../app/browser.ts';
import { COMPASS_VIEWS } from '../app/gallery/compassViews.ts';
import { BACKUP_VIEWS, UPDATE_VIEWS } from '../app/gallery/keepingViews.ts';
import type { ListenName } from '../app/gallery/listenViews.ts';
import { NOTE_VIEWS } from '../app/gallery/noteViews.ts';
import { CHECK_VIEWS, HOME_VIEWS, ROUND_VIEWS, START_CHOICES } from '../app/gallery/otherViews.ts';
import { REPORT_VIEWS } from '../app/gallery/reportViews.ts';
import { SEASONS_VIEWS } from '../app/gallery/seasonsViews.ts';
import { WORK_VIEWS } from '../app/gallery/workViews.ts';
import { marksSeen } from './marksSeen.ts';

const AXE = readFileSync(new URL('../../node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
const SHOTS = process.env.AUDIT_SHOTS;
const PHONE = { width: 390, height: 844 };
const LAPTOP = { width: 1280, height: 800 };

interface Screen {
  readonly hash: string;
  /** Buttons to press, by name, once it is there. */
  readonly press: readonly RegExp[];
}

const named = (screen: string, views: object) =>
  Object.keys(views).map((name) => ({ hash: `${screen}/${name}`, press: [] }));
/** One of each make-up; the others are the same parts with other words. */
const LISTEN: readonly ListenName[] = [
  'fast',
  'next',
  'open',
  'gentle',
  'bar',
  'any',
  'loud',
  'ask',
  'paused',
  'stopped',
];
const FORMS = [
  ...['piano/faults', 'piano/upright', 'piano/read-only', 'visit/whole', 'visit/later'],
  ...['gauges/before', 'gauges/inches', 'gauges/nothing', 'gauges/read-only'],
];
const SCREENS: readonly Screen[] = [
  ...named('home', HOME_VIEWS),
  ...named('update', UPDATE_VIEWS),
  ...named('start', START_CHOICES),
  ...named('check', CHECK_VIEWS),
  ...LISTEN.map((name) => ({ hash: `listen/${name}`, press: [] })),
  ...named('round', ROUND_VIEWS),
  ...named('work', WORK_VIEWS),
  ...named('report', REPORT_VIEWS),
  ...named('seasons', SEASONS_VIEWS),
  ...named('compass', COMPASS_VIEWS),
  ...named('note', NOTE_VIEWS),
  ...FORMS.map((hash) => ({ hash, press: [] })),
  ...named('backup', BACKUP_VIEWS),
  { hash: 'file', press: [] },
  { hash: 'file', press: [/Practice take A4 in order/] },
  { hash: 'home/visits', press: [/^Settings$/] },
  { hash: 'gauges/before', press: [/^Take back: Drop/] },
  { hash: 'compass/worked', press: [/Worked/] },
  { hash: 'compass/heardAgain', press: [/^Table$/] },
  { hash: 'compass/whole', press: [/^Table$/, /Watch/] },
  { hash: 'note/repeats', press: [/^Table of fast strokes/, /^Table of slow strokes/] },
];
const nameOf = ({ hash, press }: Screen) => [hash, ...press.map(({ source }) => source.replace(/\W/g, ''))].join(' ');

let built: BuiltPage;
let page: Page;
let complaints: string[];
beforeAll(async () => {
  built = await servePage('/tests/app/gallery/gallery.tsx');
  ({ page, complaints } = await built.visit());
  page.setDefaultTimeout(4000);
  await page.evaluate(AXE);
}, 60_000);
afterAll(() => built?.close());

/** Shows a screen anew, its text so many times as large. */
async function show({ hash, press }: Screen, textTimes = 1): Promise<void> {
  await page.evaluate(
    async ([name, fontSize]) => {
      const changed = (to: string) =>
        new Promise((done) => {
          window.addEventListener('hashchange', done, { once: true });
          location.hash = to;
        });
      await changed(`nothing/${performance.now()}`);
      document.documentElement.style.fontSize = fontSize;
      await changed(name);
      await document.fonts.ready;
      // Two frames: some screens measure the room they have, and draw then.
      for (let i = 0; i < 2; i++) await new Promise(requestAnimationFrame);
    },
    [hash, `${100 * textTimes}%`],
  );
  for (const name of press) await page.getByRole('button', { name }).click();
  if (hash === 'file' && press.length > 0) await page.locator('.lead').waitFor();
}

/** Rules that the screen breaks, with where. */
async function violations(rules: readonly string[]): Promise<string[]> {
  return page.evaluate(
    async (values) => {
      interface Audit {
        run(
          context: Document,
          options: object,
        ): Promise<{
          violations: readonly { id: string; nodes: readonly { html: string; failureSummary: string }[] }[];
        }>;
      }
      const { axe } = window as unknown as { axe: Audit };
      const only = values[0] === 'color-contrast' ? 'rule' : 'tag';
      const { violations: found } = await axe.run(document, {
        runOnly: { type: only, values },
        resultTypes: ['violations'],
      });
      return found.flatMap(({ id, nodes }) =>
        nodes.map(({ html, failureSummary }) => `${id}: ${html.slice(0, 160)} ${failureSummary.slice(0, 200)}`),
      );
    },
    [...rules],
  );
}

interface Target {
  readonly told: string;
  readonly width: number;
  readonly height: number;
}

/** Everything that can be operated and is to be seen: of what stands in a label, the label. */
async function targets(): Promise<Target[]> {
  return page.evaluate(() => {
    const operated = document.querySelectorAll<HTMLElement>(
      'a[href], button, input, select, textarea, summary, [role=slider], [role=button]',
    );
    const own = new Set([...operated].map((element) => element.closest('label') ?? element));
    return [...own]
      .filter((element) => element.checkVisibility() && element.getBoundingClientRect().width > 0)
      .map((element) => {
        const { width, height } = element.getBoundingClientRect();
        return {
          told: `${element.tagName} ${element.className} "${element.textContent?.slice(0, 30)}"`,
          width,
          height,
        };
      });
  });
}

/** Words that run out of the window or out of a box that hides what leaves it. */
async function cutWords(): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    const { scrollWidth } = document.documentElement;
    if (scrollWidth > window.innerWidth) found.push(`the page is ${scrollWidth} px wide`);
    const walker = document.createTreeWalker(document.querySelector('#page')!, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
      const element = walker.currentNode.parentElement!;
      if (!element.checkVisibility() || element.closest('.unseen, .scrolled, option, svg, .keyboard') !== null)
        continue;
      const range = document.createRange();
      range.selectNodeContents(walker.currentNode);
      const box = range.getBoundingClientRect();
      if (box.width === 0) continue;
      const hidden = (from: Element | null): DOMRect | null => {
        for (let up = from; up !== null && up !== document.body; up = up.parentElement) {
          if (getComputedStyle(up).overflowX !== 'visible') return up.getBoundingClientRect();
        }
        return null;
      };
      const frame = hidden(element);
      const [left, right] = [frame?.left ?? 0, frame?.right ?? window.innerWidth];
      if (box.left < left - 1 || box.right > right + 1)
        found.push(`"${walker.currentNode.textContent}" to ${box.right}`);
    }
    return found;
  });
}

/** Targets too small for a finger and words that are cut, of a screen that is shown. */
async function roomLacking(screen: Screen): Promise<string[]> {
  const all = await targets();
  if (screen.hash !== 'file') expect(all.length, nameOf(screen)).toBeGreaterThan(0);
  const small = all.filter(({ width, height }) => Math.min(width, height) < 47.99);
  return [
    ...small.map(({ told, width, height }) => `${nameOf(screen)}: ${told} ${width} x ${height}`),
    ...(await cutWords()).map((words) => `${nameOf(screen)}: ${words}`),
  ];
}

describe('an audit', () => {
  it.each([PHONE, LAPTOP])(
    'finds nothing on any screen of $width x $height, in both themes',
    { timeout: 120_000 },
    async (size) => {
      await page.setViewportSize(size);
      const found: string[] = [];
      for (const screen of SCREENS) {
        await page.emulateMedia({ colorScheme: 'dark' });
        await show(screen);
        const told = (words: string) => `${nameOf(screen)}: ${words}`;
        if (size === LAPTOP) found.push(...(await roomLacking(screen)));
        await letFeetStand();
        found.push(...(await violations(TAGS)).map(told));
        // Another theme is other colours and nothing else.
        if (SHOTS) await shoot(screen, 'dark');
        await page.emulateMedia({ colorScheme: 'light' });
        found.push(...(await violations(['color-contrast'])).map(told));
        if (SHOTS) await shoot(screen, 'light');
      }
      expect(found).toEqual([]);
    },
  );

  it('notices colours that are too close, and a button without a name', async () => {
    await show({ hash: 'round/open', press: [] });
    await page.evaluate(() => {
      document.querySelector<HTMLElement>('.round-lead')!.style.color = 'var(--card)';
      document.querySelector('.round-foot button')!.textContent = '';
    });
    const found = (await violations(TAGS)).join('\n');
    expect(found).toContain('color-contrast: <p class="round-lead"');
    expect(found).toContain('button-name: <button');
  });
});

/** What sticks to the window's edge covers what lies under it until that is scrolled: the audit is of what lies there. */
async function letFeetStand(): Promise<void> {
  await page.evaluate(() => {
    for (const foot of document.querySelectorAll<HTMLElement>(
      '.round-foot, .note-foot, .start-foot, .form-foot, .work-foot, .compass-card, .tabs',
    )) {
      foot.style.position = 'static';
    }
  });
}

async function shoot(screen: Screen, theme: string): Promise<void> {
  const name = `${nameOf(screen).replace('/', '-')} ${theme} ${page.viewportSize()!.width}.png`;
  await page.screenshot({ path: join(SHOTS!, name), fullPage: true });
}

describe('room', () => {
  // Of laptops: above, where every screen is shown anyway.
  it('is there for a finger everywhere, and nothing runs out at 360 pixels', async () => {
    await page.setViewportSize({ width: 360, height: 800 });
    const found: string[] = [];
    for (const screen of SCREENS) {
      await show(screen);
      found.push(...(await roomLacking(screen)));
    }
    expect(found).toEqual([]);
  });

  it('is there for text twice as large: nothing cut at 390 pixels', async () => {
    await page.setViewportSize(PHONE);
    const found: string[] = [];
    for (const screen of SCREENS) {
      await show(screen, 2);
      found.push(...(await cutWords()).map((words) => `${nameOf(screen)}: ${words}`));
    }
    expect(found).toEqual([]);
  });

  it('is kept for what has the focus: nothing that sticks to the edge lies over it', async () => {
    const covered: string[] = [];
    for (const hash of [
      'round/open',
      'round/closed',
      'note/repeats',
      'note/gentle',
      'start/sampled',
      'piano/faults',
      'visit/whole',
      'gauges/before',
      'listen/paused',
    ]) {
      for (const size of [PHONE, LAPTOP]) {
        await page.setViewportSize(size);
        await show({ hash, press: [] });
        const found = await page.evaluate(() => {
          const operated = [
            ...document.querySelectorAll<HTMLElement>('button, input, select, summary, [tabindex="0"]'),
          ];
          const shown = operated.filter((element) => element.checkVisibility() && !element.closest('dialog'));
          const hidden: string[] = [];
          for (const element of [...shown, ...shown.toReversed()]) {
            element.focus();
            if (document.activeElement !== element) continue;
            const box = (element.closest('label') ?? element).getBoundingClientRect();
            const bottom = Math.min(box.bottom, window.innerHeight);
            const [x, top] = [box.left + box.width / 2, Math.max(box.top, 0)];
            const seen = [0.05, 0.5, 0.95].filter((share) => {
              const there = document.elementFromPoint(x, top + share * (bottom - top));
              return (
                there !== null &&
                (there === element || element.contains(there) || there.closest('label')?.contains(element))
              );
            });
            if (seen.length === 0) hidden.push(`${element.tagName} "${element.textContent?.slice(0, 30)}"`);
          }
          return hidden;
        });
        covered.push(...found.map((words) => `${hash}, ${size.width}: ${words}`));
      }
    }
    expect(covered).toEqual([]);
  });
});

describe("the reader's own colours", () => {
  const MARKS = '.glyph, .mark, .change svg, .compass-slider svg, .compass-strip, .note-chart svg, .sharp, .place svg';
  const HASHES = [
    'home/visits',
    'check/faint',
    'round/open',
    'compass/whole',
    'compass/worked',
    'note/repeats',
    'note/gentle',
  ];

  it.each([
    ['dark', 'room'],
    ['light', 'device'],
  ] as const)('leave every mark to be seen: %s, theme %s', async (colorScheme, theme) => {
    await page.emulateMedia({ colorScheme, forcedColors: 'active' });
    await page.setViewportSize(LAPTOP);
    const lost: string[] = [];
    for (const hash of [...HASHES, ...LISTEN.map((name) => `listen/${name}`)]) {
      await show({ hash, press: [] });
      await page.evaluate((name) => {
        if (name === 'device') delete document.documentElement.dataset.theme;
        else document.documentElement.dataset.theme = name;
      }, theme);
      const seen = await marksSeen(page, MARKS);
      expect(seen.length, hash).toBeGreaterThan(0);
      lost.push(...seen.filter(({ drawn }) => drawn < 0.01).map(({ told }) => `${hash}: ${told}`));
    }
    expect(lost).toEqual([]);
    await show({ hash: 'round/open', press: [] });
    await letFeetStand();
    const verdicts = await marksSeen(page, '.verdict .glyph');
    expect(verdicts.length).toBeGreaterThanOrEqual(3);
    expect(new Set(verdicts.map(({ shape }) => shape)).size).toBe(verdicts.length);
    await page.evaluate(() => delete document.documentElement.dataset.theme);
    await page.emulateMedia({ forcedColors: null });
  });
});

describe('reduced motion', () => {
  /** What moves or would move, by class. */
  const moving = () =>
    page.evaluate(() => {
      const styles = [...document.querySelectorAll('*')].flatMap((element) =>
        ['', '::before', '::after'].map((part) => [element, getComputedStyle(element, part || null)] as const),
      );
      const would = styles.filter(
        ([, { animationName, animationDuration, transitionDuration }]) =>
          (animationName !== 'none' && parseFloat(animationDuration) > 0) || parseFloat(transitionDuration) > 0,
      );
      return [
        ...would.map(([element]) => element.getAttribute('class')),
        ...document.getAnimations().map(({ id }) => id),
      ];
    });

  it('stills everything, on every screen', async () => {
    await page.setViewportSize(PHONE);
    await show({ hash: 'listen/fast', press: [] });
    expect((await moving()).length).toBeGreaterThan(1);
    await page.emulateMedia({ reducedMotion: 'reduce' });
    for (const screen of SCREENS.filter(({ press }) => press.length === 0)) {
      await show(screen);
      expect(await moving(), nameOf(screen)).toEqual([]);
    }
    await page.emulateMedia({ reducedMotion: null });
  });

  it('complained of nothing, under the policy of the page', () => {
    expect(complaints).toEqual([]);
  });
});
