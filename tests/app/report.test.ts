/** The report in the app: made from the visit on the desk as the command line makes it, and as it stands on the screen and on paper. */

import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Page } from 'playwright-core';
import { reportedVisit } from '../../src/app/report/reportedVisit.ts';
import { RefinerError, type Refining } from '../../src/app/sitting/refiner.ts';
import type { Sitting } from '../../src/app/sitting/sitting.ts';
import { judgeVisit } from '../../src/cli/visits/judgeVisit.ts';
import type { VisitThings } from '../../src/report/visit.ts';
import { reportHtml } from '../../src/report/html.ts';
import { memoryStore } from '../../src/storage/memoryStore.ts';
import { answer } from '../../src/workers/answer.ts';
import { madeVisit, type MadeNote } from '../report/madeVisit.ts';
import { smallThings } from '../report/visits.ts';
import { servePage, type BuiltPage } from './browser.ts';

/** The worker's answers, in this thread. */
const refiner: Refining = {
  ask: async (request) => {
    const found = answer({ ...request, request: 1 } as Parameters<typeof answer>[0]);
    if (found.type === 'refused') throw new RefinerError(found.message);
    return found as never;
  },
};

/** Worked notes and some untouched ones of the demo visit, on a desk of their own. */
async function sitting(change: (things: VisitThings) => VisitThings = (things) => things) {
  const small = smallThings();
  const takes = small.takes.map((take) => ({ ...take, pieces: 0 }));
  const things = change({ ...small, takes, rounds: small.rounds.map((round) => ({ ...round, summary: null })) });
  const store = memoryStore();
  await store.put('pianos', things.piano);
  await store.put('visits', things.visit);
  for (const round of things.rounds) await store.put('rounds', round);
  for (const take of things.takes) await store.put('takes', take);
  for (const one of things.adjustments) await store.put('adjustments', one);
  for (const one of things.gauges) await store.put('gauges', one);
  const { piano, visit, rounds } = things;
  const on = { store, piano, visit, book: { round: rounds[rounds.length - 1], judged: null } } as unknown as Sitting;
  return { on, things };
}

describe('the report of the visit on the desk', () => {
  it('is the one that the command line makes', async () => {
    const { on, things } = await sitting();
    const inApp = await reportedVisit(on, refiner, true);
    const onLine = await judgeVisit({
      things: { ...things, marks: [], hours: [] },
      invented: true,
      sound: async () => null,
    });
    expect(inApp.judged.map(({ number }) => number)).toEqual([1, 2]);
    expect(inApp.compared.map(({ before, after }) => [before, after])).toEqual([[1, 2]]);
    expect(reportHtml(inApp) === reportHtml(onLine)).toBe(true);
  });

  it('tells what could not be judged, and stands all the same', async () => {
    const { on } = await sitting((things) => ({
      ...things,
      takes: things.takes.map((take) => ({ ...take, heard: { ...take.heard, analysisVersion: '0.0.1' } })),
      rounds: smallThings().rounds,
    }));
    const made = await reportedVisit(on, refiner, false);
    expect(made.judged).toEqual([]);
    expect(made.remarks[0]).toMatch(/^Round 1 is shown as it was judged before.*0\.0\.1/);
    expect(reportHtml(made)).toContain('Round 2 is shown as it was judged before');
  });
});

describe('the screen', () => {
  let built: BuiltPage;
  let page: Page;
  let complaints: string[];
  beforeAll(async () => {
    built = await servePage('/tests/app/gallery/gallery.tsx');
    ({ page, complaints } = await built.visit());
    page.setDefaultTimeout(4000);
  }, 60_000);
  afterAll(() => built?.close());

  async function show(name: string): Promise<void> {
    await page.evaluate((hash) => {
      delete document.documentElement.dataset.acted;
      location.hash = hash;
    }, `report/${name}`);
    await page.locator('.report-screen').waitFor();
  }

  it('shows paper in its own ink under the page\u2019s policy, dark or light', async () => {
    await show('worked');
    const paper = page.locator('.report-paper .owner');
    await expect
      .poll(() => paper.locator('h1').textContent())
      .toBe('One of two worked notes improved. One is still unstable.');
    const inks = [];
    for (const colorScheme of ['dark', 'light'] as const) {
      await page.emulateMedia({ colorScheme });
      inks.push(
        await paper.evaluate((element) => [getComputedStyle(element).color, getComputedStyle(element).backgroundColor]),
      );
    }
    expect(inks).toEqual([inks[0], inks[0]]);
    expect(inks[0]).toEqual(['rgb(18, 22, 31)', 'rgb(255, 255, 255)']);
    expect(complaints).toEqual([]);
  });

  it('fits a phone, with text twice as large too', async () => {
    for (const name of ['worked', 'seasons', 'upright', 'making', 'saving']) {
      for (const [width, size] of [
        [390, '100%'],
        [390, '200%'],
        [1280, '100%'],
      ] as const) {
        await page.setViewportSize({ width, height: 844 });
        await page.evaluate((fontSize) => (document.documentElement.style.fontSize = fontSize), size);
        await show(name);
        expect(await page.evaluate(() => document.documentElement.scrollWidth), `${name} at ${width}, ${size}`).toBe(
          width,
        );
      }
    }
    await page.evaluate(() => (document.documentElement.style.fontSize = ''));
  });

  it('does what its buttons say, and nothing while it waits', async () => {
    await show('worked');
    await page.getByText('Export for other programs').click();
    for (const name of ['Print', 'Save as one file', 'Tables (CSV)', 'The visit (JSON)', 'Sound with marks (WAV)'])
      await page.getByRole('button', { name }).click();
    const acted = await page.evaluate(() => document.documentElement.dataset.acted);
    expect(acted).toBe('"print";"save";"saveTables";"saveVisit";"saveSound";');
    await show('making');
    expect(await page.getByRole('button', { name: 'Print' }).isDisabled()).toBe(true);
    await show('saving');
    expect(await page.getByRole('status').textContent()).toBe('The tables are written.');
  });

  it('keeps the owner\u2019s words on one page, whatever there is to tell', async () => {
    const whats = ['lever', 'jack', 'spring', 'centre', 'line', 'let-off', 'drop', 'check', 'dip', 'other'] as const;
    const notes = Array.from({ length: 88 }, (_, i): MadeNote => {
      const words = `${'a long tale of what was turned '.repeat(6)}${i}`;
      const turned = { what: whats[i % whats.length], words };
      const change = (['improved', 'worse', 'no-change-shown', 'insufficient'] as const)[i % 4];
      return i % 3 === 0
        ? { midi: 21 + i, verdicts: [i % 2 ? 'watch' : 'insufficient', null] }
        : { midi: 21 + i, verdicts: ['unstable', i % 5 ? 'steady' : 'unstable'], change, turned };
    });
    const made = madeVisit(
      notes,
      {},
      { name: 'A long name of a grand '.repeat(3), place: 'Behind the old brewery '.repeat(3) },
    );
    const visit = {
      ...made.visit,
      newParts: 'hammers, shanks and flanges '.repeat(9),
      notes: 'So many notes. '.repeat(99),
    };
    const paper = await page.context().newPage();
    // A4 less the margins of the owner\u2019s page, CSS pixels.
    await paper.setViewportSize({ width: 794 - 2 * 62, height: 1123 - 40 - 52 });
    await paper.emulateMedia({ media: 'print' });
    const earlier = [1, 2].map((month) => ({
      visit: { ...made.visit, id: `v${month}`, startedAt: `2026-0${month}-01T08:00:00.000Z`, humidityPercent: 30 },
      rounds: made.rounds.map((round) => ({
        ...round,
        summary: {
          ...round.summary!,
          verdicts: round.summary!.verdicts.map(({ midi }) => ({
            midi,
            verdict: midi % 2 === month % 2 ? ('unstable' as const) : ('steady' as const),
          })),
        },
      })),
      adjustments: [],
    }));
    const told = { ...made, visit, earlier };
    await paper.setContent(reportHtml(told));
    expect(await paper.locator('.owner').textContent()).toContain('Against the two visits before');
    const { height } = (await paper.locator('.owner').boundingBox())!;
    await paper.close();
    expect(height).toBeGreaterThan(700);
    expect(height).toBeLessThanOrEqual(1123 - 40 - 52);
  });

  it('prints the paper alone: the owner\u2019s page on one A4 sheet, then the technician\u2019s', async () => {
    await show('worked');
    const bytes = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    const boxes = [...bytes.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)].map(([, w, h]) => [
      Number(w),
      Number(h),
    ]);
    // Owner, sheet, open notes. A4 in points.
    expect(boxes).toHaveLength(3);
    for (const [width, height] of boxes) {
      expect(width).toBeCloseTo(595.3, -1);
      expect(height).toBeCloseTo(841.9, -1);
    }
    await page.emulateMedia({ media: 'print' });
    expect(await page.locator('.report-tools').isVisible()).toBe(false);
    expect(await page.locator('.shell-head').isVisible()).toBe(false);
    await page.emulateMedia({ media: null });
  });
});
