/**
 * Piano, visit, readiness list and gauge readings as people type them: kept as they are typed, there again after a reload, and
 * no field that cannot be read takes another with it. The microphone is the browser's own fake one; nothing is played.
 */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { GaugeReading, Piano, Round, Visit } from '../../src/record/types.ts';
import { servePage, type BuiltPage } from '../app/browser.ts';

let built: BuiltPage;
beforeAll(async () => {
  built = await servePage();
}, 60_000);
afterAll(() => built?.close());

/** What is on a shelf of the browser's record. */
async function shelf<T>(page: Page, name: string): Promise<T[]> {
  return page.evaluate(async (of) => {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('evenfall');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error!);
    });
    const all = await new Promise<{ thing: T }[]>((resolve, reject) => {
      const request = database.transaction(of).objectStore(of).getAll();
      request.onsuccess = () => resolve(request.result as { thing: T }[]);
      request.onerror = () => reject(request.error!);
    });
    database.close();
    return all.map(({ thing }) => thing);
  }, name);
}

const field = (page: Page, name: string) => page.getByLabel(name, { exact: false }).first();
const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name }).click();
const choose = (page: Page, group: string, name: string) =>
  page.getByRole('group', { name: group }).getByRole('button', { name, exact: true }).click();

describe('a new piano and its visit', () => {
  it(
    'are kept as they are typed, and are there after a reload; a bad field says so and keeps the rest',
    { timeout: 25_000 },
    async () => {
      const { page, complaints } = await built.visit({ viewport: { width: 390, height: 844 } });
      page.setDefaultTimeout(5000);
      await press(page, 'Start listening');
      await page.getByLabel('Name of the piano').fill('Aldervane 274');
      await press(page, 'More about this piano');

      // A field that cannot be, and one that is unusual, among others.
      await field(page, 'Where the sections break').fill('E2, H3');
      await field(page, 'Highest damper').fill('F6');
      await field(page, 'Length, cm').fill('274');
      await field(page, 'Blow').fill('1 3/4 in');
      await field(page, 'Let-off').fill('4');
      await field(page, 'Dip').fill('deep');
      await choose(page, 'Working order', 'Dip first');
      await page.getByText('Found \u201cH3\u201d; expected names of keys from A0 to C8').waitFor();
      await page.getByText('Found \u201cdeep\u201d; expected a length in millimetres').waitFor();
      await page.getByText('Unusual: published texts have 1 to 3.2 mm.').waitFor();
      await page.getByText('2 fields cannot be read; all else is kept.').waitFor();
      await press(page, 'Done');
      await page.getByRole('heading', { name: 'Before you start' }).waitFor();
      expect(await shelf<Piano>(page, 'pianos')).toMatchObject([
        {
          ...{ name: 'Aldervane 274', lengthCm: 274, breaks: [], highestDamper: 89, order: 'dip-first' },
          targets: { blow: 44.45, 'let-off': 4, dip: null },
        },
      ]);

      // What could not be read stands there as it was typed; put right, it counts, here for the sections.
      await press(page, 'More about this piano');
      expect(await field(page, 'Where the sections break').inputValue()).toBe('E2, H3');
      await field(page, 'Where the sections break').fill('E2, B3');
      await field(page, 'Dip').fill('10,2');
      await page.getByText('What you type is kept at once.').waitFor();
      await press(page, 'Back');
      await page.getByText('A section', { exact: true }).click();
      const offered = await page.getByLabel('Which').locator('option').allInnerTexts();
      expect(offered.map((words) => words.split(',')[0])).toEqual(['Choose a section', 'Bass', 'Tenor', 'Treble']);
      await page.getByText('Any notes, as they are played').click();

      // The visit and the readiness list, folded before the round.
      await page.getByText('The room and the visit').click();
      await field(page, 'Room temperature').fill('70 F');
      await field(page, 'Relative humidity').fill('200');
      await choose(page, 'Lid', 'Open');
      await page.getByText('Found 200; expected a relative humidity').waitFor();
      await page.getByText('Is the action ready?').click();
      await choose(page, 'Screws tight', 'Put right');
      await choose(page, 'Key frame bedded', 'Open');
      await page.getByText('You can listen all the same').waitFor();
      await press(page, 'Skip for now');
      await page.getByText('1 of 5 in order or put right, 1 open').waitFor();
      await page.getByLabel('Player').fill('the technician');
      await page.getByRole('button', { name: 'Start', exact: true }).click();
      await page.getByRole('heading', { name: 'Sound check' }).waitFor();
      await press(page, 'Back');

      // Round 1 keeps how it was begun; the visit says otherwise from now on.
      await press(page, 'This visit and its piano');
      expect(await field(page, 'Relative humidity').inputValue()).toBe('200');
      await field(page, 'Relative humidity').fill('46');
      await field(page, 'Where the microphone stands').fill('on a stand, right of the keys');
      await field(page, 'Notes').fill('Stage doors open until noon.');
      await page.getByText('round 1 keeps those that it was begun with').waitFor();
      await choose(page, 'Key frame bedded', 'In order');

      // Gauge readings: one of another note, one typed anew, one taken back.
      await press(page, 'Gauge readings');
      await field(page, 'Another note').fill('F#5');
      await press(page, 'Go to it');
      await field(page, 'Blow').fill('47');
      await field(page, 'Blow').press('Enter');
      await field(page, 'Let-off').fill('near');
      await field(page, 'Drop').fill('1.5');
      await field(page, 'Blow').fill('46.5');
      await page.getByText('Found \u201cnear\u201d; expected a length in millimetres').waitFor();
      expect(await field(page, 'Let-off').inputValue()).toBe('near');
      await choose(page, 'When', 'After it');
      await field(page, 'Blow').fill('45.5');
      await field(page, 'Dip').fill('1.2');
      await field(page, 'Dip').press('Tab');
      await field(page, 'Dip').press('Tab');
      await page.getByText('Found 1.2 mm; expected 2 to 25 mm.').waitFor();
      await field(page, 'Dip').fill('12');
      await press(page, 'Higher key, G5');
      await press(page, 'Lower key, F sharp 5');
      await press(page, 'Take back: Dip, 12 mm');
      const row = page.getByRole('row', { name: /Blow/ });
      await row.getByText('45.5 mm').waitFor();

      await page.reload();
      await press(page, /Aldervane 274/);
      await press(page, 'This visit and its piano');
      expect(await field(page, 'Room temperature').inputValue()).toBe('21.1');
      expect(await field(page, 'Relative humidity').inputValue()).toBe('46');
      await page.getByText('2 of 5 in order or put right', { exact: true }).waitFor();
      await press(page, 'This piano');
      expect(await field(page, 'Where the sections break').inputValue()).toBe('E2, B3');
      expect(await field(page, 'Dip').inputValue()).toBe('10.2');
      await press(page, 'Done');
      await press(page, 'Gauge readings');
      expect(await page.getByRole('row', { name: /Blow/ }).innerText()).toMatch(/46\.5 mm\s+45\.5 mm\s+44\.45 mm/);
      expect(await page.getByRole('row', { name: /Dip/ }).count()).toBe(0);

      const [visit] = await shelf<Visit>(page, 'visits');
      expect(visit).toMatchObject({
        ...{ temperatureC: 21.1, humidityPercent: 46, lid: 'open', player: 'the technician' },
        ...{ microphonePlace: 'on a stand, right of the keys', notes: 'Stage doors open until noon.' },
        readiness: [
          { item: 'screws', state: 'put-right' },
          { item: 'key-frame', state: 'in-order' },
        ],
      });
      const [round] = await shelf<Round>(page, 'rounds');
      expect(round.setting).toMatchObject({ player: 'the technician', microphonePlace: null });
      const gauges = await shelf<GaugeReading>(page, 'gauges');
      expect(gauges.map(({ kind, when, millimetres, undone }) => [kind, when, millimetres, undone]).sort()).toEqual([
        ['blow', 'after', 45.5, false],
        ['blow', 'before', 46.5, false],
        ['blow', 'before', 47, false],
        ['dip', 'after', 12, true],
        ['drop', 'before', 1.5, false],
      ]);
      expect(complaints).toEqual([]);
    },
  );
});
