/** Forms as people fill them in: nothing typed quickly is lost, no press is, and faults are told once a field is left. */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { servePage, type BuiltPage } from './browser.ts';

let built: BuiltPage;
let page: Page;
let complaints: string[];
beforeAll(async () => {
  built = await servePage('/tests/app/gallery/gallery.tsx');
  ({ page, complaints } = await built.visit({ viewport: { width: 390, height: 844 } }));
  page.setDefaultTimeout(4000);
}, 60_000);
afterAll(() => built?.close());
beforeEach(() => page.evaluate(() => delete document.documentElement.dataset.acted));

async function show(hash: string): Promise<void> {
  await page.evaluate((name) => (location.hash = name), `nothing/${hash}`);
  await page.getByText('no screen').waitFor();
  await page.evaluate((name) => (location.hash = name), hash);
  await page.locator('main').waitFor();
}
const acted = () => page.evaluate(() => document.documentElement.dataset.acted ?? '');
const field = (name: string) => page.getByLabel(name).first();

describe('a form', () => {
  it('takes what is typed quickly and in the midst of a word', async () => {
    await show('piano/whole');
    await field('Name').click();
    await page.keyboard.press('Home');
    await page.keyboard.type('Old and very well kept ');
    expect(await field('Name').inputValue()).toBe('Old and very well kept Aldervane 274');
    await page.getByRole('button', { name: 'Done' }).click();
    expect(await acted()).toContain('"name":"Old and very well kept Aldervane 274"');
  });

  it('tells of a fault once its field is left, and no press that left it is lost', async () => {
    await show('piano/whole');
    await field('Blow').fill('far');
    expect(await page.locator('.field-fault').count()).toBe(0);
    // The line that appears would move the button away from under the pointer.
    await page.getByRole('button', { name: 'Dip first' }).click();
    await page.getByText('Found \u201cfar\u201d; expected a length in millimetres such as 10.2.').waitFor();
    expect(await page.getByRole('button', { name: 'Dip first' }).getAttribute('aria-pressed')).toBe('true');
    expect(await field('Blow').getAttribute('aria-invalid')).toBe('true');
    await field('Blow').fill('45');
    expect(await page.locator('.field-fault').count()).toBe(0);
  });

  it('of an upright says why nothing is explained, and asks for no working order', async () => {
    await show('piano/whole');
    await page.getByRole('button', { name: 'Upright' }).click();
    await page.getByText('An upright has no repetition lever').waitFor();
    expect(await page.getByLabel('Height').count()).toBe(1);
    expect(await page.getByRole('group', { name: 'Working order' }).count()).toBe(0);
  });

  it('that can only be read cannot be typed into', async () => {
    for (const hash of ['piano/read-only', 'visit/read-only', 'gauges/read-only']) {
      await show(hash);
      expect(await page.locator('main input:enabled, main textarea:enabled').count(), hash).toBe(0);
      await page.getByText('This can be read here, and not be changed.').waitFor();
    }
  });
});

describe('the readiness list', () => {
  it('takes each line as in order, put right or open, and takes it back', async () => {
    await show('visit/empty');
    const screws = page.getByRole('group', { name: 'Screws tight' });
    await screws.getByRole('button', { name: 'Open' }).click();
    await page.getByText('0 of 5 in order or put right, 1 open').waitFor();
    await page.getByText('You can listen all the same').waitFor();
    await screws.getByRole('button', { name: 'Put right' }).click();
    await page.getByText('1 of 5 in order or put right').waitFor();
    await screws.getByRole('button', { name: 'Put right' }).click();
    await page.getByText('not looked at yet').waitFor();
    await page.getByRole('button', { name: 'Done' }).click();
    expect(await acted()).toContain('"readiness":[]');
  });
});

describe('a gauge reading', () => {
  it('is kept by Enter, by leaving its field, and by leaving the screen; once each', async () => {
    await show('gauges/nothing');
    await field('Blow').fill('46,5');
    await page.keyboard.press('Enter');
    await field('Let-off').fill('1.5');
    await field('Drop').fill('1.6');
    await page.getByRole('button', { name: 'After it' }).click();
    await field('Dip').fill('10');
    await page.getByRole('button', { name: 'Higher key' }).click();
    await page.waitForTimeout(50);
    expect((await acted()).split(';').slice(0, -1)).toEqual([
      '"read" 21 "before" "blow" 46.5',
      '"read" 21 "before" "let-off" 1.5',
      '"read" 21 "before" "drop" 1.6',
      '"read" 21 "after" "dip" 10',
    ]);
    expect(await page.getByRole('row').count()).toBe(5);
  });

  it('is taken back where that is asked for, and not by emptying its field', async () => {
    await show('gauges/before');
    await field('Let-off').fill('');
    await field('Let-off').press('Tab');
    expect(await field('Let-off').inputValue()).toBe('0.8');
    expect(await acted()).toBe('');
    await page.getByRole('button', { name: 'Take back: Let-off, 0.8 mm' }).click();
    // What was read before it counts again.
    await page.getByRole('button', { name: 'Take back: Let-off, 0.6 mm' }).waitFor();
    expect(await field('Let-off').inputValue()).toBe('0.6');
  });

  it('is typed in fractions of an inch', async () => {
    await show('gauges/inches');
    await field('Let-off').fill('1/16');
    await page.keyboard.press('Enter');
    expect(await acted()).toBe('"read" 51 "before" "let-off" 1.5875;');
    expect(await field('Let-off').inputValue()).toBe('1/16');
  });

  it('goes to another note by its name', async () => {
    await show('gauges/before');
    await field('Another note').fill('F#5');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { name: 'F sharp 5' }).waitFor();
    expect(await field('Another note').inputValue()).toBe('');
  });
});

it('complains of nothing', () => expect(complaints).toEqual([]));
