/** The compass with all that a round can hold: how long the page's thread is kept busy by scrolling, stepping and choosing. */

import type { Page } from 'playwright-core';
import { figure, type Table } from '../accuracy/table.ts';
import { servePage } from '../app/browser.ts';

/** A task over this is felt, ms. */
const LONG = 50;
const SIZES = [
  { name: 'laptop', width: 1280, height: 800 },
  { name: 'phone', width: 390, height: 844 },
] as const;

/** 88 notes of 40 strokes: every step's tasks, at two sizes. */
export async function compassBench(): Promise<Table> {
  const built = await servePage('/tests/app/gallery/gallery.tsx');
  try {
    const rows: string[][] = [];
    for (const { name, width, height } of SIZES) {
      const { page } = await built.visit({ viewport: { width, height } });
      await page.evaluate(() => {
        location.hash = 'compass/whole';
      });
      await page.locator('.compass-slider').waitFor();
      await page.waitForTimeout(500);
      for (const [what, act] of STEPS) {
        const tasks = await tasksOf(page, act);
        rows.push([
          `${name}: ${what}`,
          figure(Math.max(0, ...tasks), 0),
          figure(tasks.length, 0),
          '0',
          tasks.length === 0 ? 'reached' : 'not reached',
        ]);
      }
      await page.context().close();
    }
    return {
      title: 'Long tasks of the compass',
      rests: `88 notes of 40 strokes, as drawn for the gallery, in the built page. Tasks over ${LONG} ms, as the browser reports them; 0 as longest: none.`,
      head: ['what', 'longest, ms', 'how many', 'goal', ''],
      rows,
    };
  } finally {
    await built.close();
  }
}

const STEPS: readonly (readonly [string, (page: Page) => Promise<void>])[] = [
  [
    'scrolled down and up',
    async (page) => {
      for (const by of [400, 400, -400, -400]) {
        await page.mouse.wheel(0, by);
        await page.waitForTimeout(100);
      }
    },
  ],
  [
    'the slider over 88 keys',
    async (page) => {
      const slider = page.getByRole('slider', { name: 'Key' });
      await slider.press('Home');
      for (let key = 1; key < 88; key++) await page.keyboard.press('ArrowRight');
    },
  ],
  ['filter: unstable', (page) => chip(page, 'unstable')],
  ['filter: watch', (page) => chip(page, 'watch')],
  ['filter: all again', (page) => chip(page, 'all')],
  ['to the table', (page) => chip(page, 'table')],
  ['back to the chart', (page) => chip(page, 'table')],
];

async function chip(page: Page, name: string): Promise<void> {
  await page.locator(`.compass-chip.${name}`).click();
}

/** The durations of the tasks over 50 ms that an act leads to, ms. */
async function tasksOf(page: Page, act: (page: Page) => Promise<void>): Promise<number[]> {
  const observer = await page.evaluateHandle(() => {
    const tasks: number[] = [];
    const watch = new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) tasks.push(duration);
    });
    watch.observe({ type: 'longtask' });
    return { tasks, watch };
  });
  await act(page);
  await page.waitForTimeout(300);
  return observer.evaluate(({ tasks, watch }) => {
    for (const { duration } of watch.takeRecords()) tasks.push(duration);
    watch.disconnect();
    return tasks;
  });
}
