/** The worklist: as it is made from the record, and as it behaves in a browser. */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { servePage, type BuiltPage } from './browser.ts';
import { WORK_VIEWS } from './gallery/workViews.ts';

describe('the worklist as data', () => {
  const { full, nothing, unheard, upright } = WORK_VIEWS;
  const rows = full.groups.flatMap((group) => group.rows);
  const row = (midi: number) => rows.find((one) => one.midi === midi)!;

  it('has each note once, settled ones last in their group', () => {
    expect(new Set(rows.map(({ midi }) => midi)).size).toBe(rows.length);
    for (const group of full.groups) {
      const settled = group.rows.map(({ state }) => state === 'done' || state === 'left-as-is');
      expect([...settled].sort()).toEqual(settled);
    }
    expect(rows).toHaveLength(7);
  });

  it('says where each stands', () => {
    expect(row(47)).toMatchObject({ state: 'open', title: 'Silent when gentle', turned: null, change: null });
    expect(row(59)).toMatchObject({ state: 'adjusted', turned: 'lever down, an eighth', change: null });
    expect(row(74)).toMatchObject({ state: 'heard-again', verdict: 'steady', change: 'improved' });
    expect(row(51)).toMatchObject({
      state: 'heard-again',
      change: 'no-change-shown',
      title: 'Missed and weak repeats',
    });
    expect(row(78)).toMatchObject({ state: 'left-as-is' });
    expect(row(32)).toMatchObject({ state: 'done' });
    expect(full.counts).toEqual({ open: 2, toHear: 1, heardAgain: 2 });
  });

  it('follows the order, and names the groups with nothing', () => {
    const titles = (view: typeof full) => [...view.groups.map(({ title }) => title), ...view.empty].sort();
    expect(titles(WORK_VIEWS['dip-first'])).toEqual(titles(full));
    expect(titles(full)).toHaveLength(11);
    expect(full.groups.flatMap((group) => group.disturbed)).toContainEqual(
      expect.stringMatching(/^You moved the lever on B3\. Look again at its /),
    );
  });

  it('says how long was worked, and what is being timed', () => {
    const lever = [full, WORK_VIEWS['dip-first']].map((view) =>
      view.groups.find(({ operation }) => operation === 'lever'),
    );
    for (const group of lever) expect(group).toMatchObject({ time: '1 hour 5 minutes', running: false });
    expect(full.groups.find(({ running }) => running)).toMatchObject({
      operation: 'springs-rough',
      time: '25 minutes',
    });
  });

  it('begins with a section of which many notes are off, at the looks, and not with an upright’s', () => {
    const { groups } = WORK_VIEWS.section;
    expect(groups[0]).toMatchObject({ operation: 'looks', rows: [] });
    expect(groups[0].sections).toMatchObject([
      { line: '4 of 6 notes heard in the tenor are to be seen to: climate, bedding and rail first.' },
      { line: '6 of 7 notes heard in the treble are to be seen to: climate, bedding and rail first.' },
    ]);
    expect(groups[0].sections[0].looks).toHaveLength(3);
    expect(groups[0].sections[0].looks[1]).toMatch(/^Key frame: Tap along the key frame/);
    expect(groups.slice(1).flatMap(({ sections }) => sections)).toEqual([]);
    // Two rounds that heard nothing but notes chosen for what was heard of them say nothing of a section.
    expect(WORK_VIEWS['section-chosen'].groups.flatMap(({ sections }) => sections)).toEqual([]);
    expect(WORK_VIEWS['upright-section'].groups).toEqual([]);
  });

  it('has nothing for an upright, and says why', () => {
    expect(upright.groups.flatMap((group) => group.rows)).toEqual([]);
    expect(upright.uprightWords).toMatch(/no repetition lever/);
    expect([nothing.heard, unheard.heard]).toEqual([2, 0]);
  });
});

describe('the worklist in a browser', () => {
  let built: BuiltPage;
  let page: Page;
  let complaints: string[];
  beforeAll(async () => {
    built = await servePage('/tests/app/gallery/gallery.tsx');
    ({ page, complaints } = await built.visit());
    page.setDefaultTimeout(4000);
  }, 60_000);
  afterAll(() => built?.close());

  const show = async (name: string, width = 390) => {
    await page.setViewportSize({ width, height: 844 });
    await page.evaluate(async (hash) => {
      delete document.documentElement.dataset.acted;
      location.hash = hash;
      await document.fonts.ready;
      await new Promise(requestAnimationFrame);
    }, `work/${name}`);
    await page.locator('.work').waitFor();
  };
  const acted = () => page.evaluate(() => document.documentElement.dataset.acted ?? '');

  it.each([360, 390, 1280])('fits %i px, with a large target a row', async (width) => {
    for (const name of Object.keys(WORK_VIEWS)) {
      await show(name, width);
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth), name).toBeLessThanOrEqual(0);
      const small = await page.locator('main button:visible').evaluateAll((buttons) =>
        buttons.flatMap((button) => {
          const { width: w, height: h } = button.getBoundingClientRect();
          return w < 48 || h < 48 ? [`${button.textContent} ${w}x${h}`] : [];
        }),
      );
      expect(small, name).toEqual([]);
    }
    await show('full', width);
    for (const box of await page
      .locator('button.work-next')
      .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().toJSON() as DOMRect))) {
      expect(box.width).toBeGreaterThanOrEqual(80);
      expect(box.height).toBeGreaterThanOrEqual(88);
    }
  });

  it('marks an open note adjusted and asks what was turned; the keys do it too', async () => {
    await show('full');
    await page.getByRole('button', { name: 'I adjusted it: B2' }).focus();
    await page.keyboard.press('Enter');
    expect(await acted()).toBe('"adjusted" 47;');
    // Not turned yet in this view: nothing is asked of it. One that is can be told more of.
    await page.getByRole('button', { name: 'Undo: B3' }).click();
    expect(await acted()).toContain('"undoTurn" "a-B3-11:20"');
  });

  it('answers the question', async () => {
    await show('asked');
    await page.getByRole('button', { name: 'No, as it was' }).click();
    expect(await acted()).toBe('"answer" 51 false;');
  });

  it('changes nothing where it may only be read', async () => {
    await show('read-only');
    expect(await page.locator('button.work-next, .work-smaller button, .work-foot button').count()).toBe(0);
  });

  it('complains of nothing', () => expect(complaints).toEqual([]));
});
