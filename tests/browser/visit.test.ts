/**
 * A whole visit as a technician walks it on a phone, by a file for a microphone: a new piano, what the room is like, readiness,
 * a first round, a note that was turned meanwhile and is played again, what was turned, a gauge reading, and the report on paper.
 */

import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, expect, it } from 'vitest';
import { keyName } from '../../src/piano/keys.ts';
import { servePage, type BuiltPage } from '../app/browser.ts';
import { launchWithSound, writeSound, type Listener } from './fakeMicrophone.ts';
import { MISSED, sittingSound } from './sittingSound.ts';
import { takesKept, toRound } from './visitSteps.ts';

const HAND = fileURLToPath(new URL('sittingHand.json', import.meta.url));
const [A3, C4] = [57, 60];
/** Real time: see sitting.test.ts. */
const ONCE_MORE = 1;

let built: BuiltPage;
const folder = mkdtempSync(join(tmpdir(), 'evenfall-visit-'));
const launched: Listener[] = [];
beforeAll(async () => {
  built = await servePage();
}, 60_000);
afterEach(async () => {
  await Promise.all(launched.splice(0).map((listener) => listener.close().catch(() => {})));
});
afterAll(async () => {
  await built?.close();
  rmSync(folder, { recursive: true, force: true });
});

/** The page on a phone that hears that sound; what was kept before is there. */
async function phone(sound: Float32Array, userDataDir: string): Promise<Page> {
  const path = join(folder, `${launched.length}.wav`);
  writeSound(path, sound);
  const listener = await launchWithSound(path, { userDataDir });
  launched.push(listener);
  const page = await listener.open(built.origin);
  await page.setViewportSize({ width: 390, height: 844 });
  page.setDefaultTimeout(30_000);
  return page;
}
const press = (page: Page, name: string | RegExp) => page.getByRole('button', { name, exact: true }).click();
const listenNow = async (page: Page) => {
  await press(page, 'Start');
  await page.getByRole('button', { name: /^Start( all the same)?$/ }).click({ timeout: 20_000 });
};

it('goes from a new piano to the printed report', { timeout: 240_000, retry: ONCE_MORE }, async () => {
  try {
    await walk();
  } catch (cause) {
    // A second try that succeeds would hide why the first one did not.
    console.log(cause);
    throw cause;
  }
});

async function walk(): Promise<void> {
  const [before, after] = await Promise.all([
    sittingSound([{ midi: C4, missed: MISSED }, { midi: A3 }], 3),
    sittingSound([{ midi: C4 }], 5),
  ]);
  const userDataDir = mkdtempSync(join(tmpdir(), 'evenfall-profile-'));
  let page = await phone(before, userDataDir);

  // A new piano, the room, and whether the action is ready.
  await press(page, 'Start listening');
  await page.getByLabel('Name of the piano').fill('Aldervane 274');
  await page.getByLabel('Where it stands').fill('Quillwater Hall');
  await press(page, 'More about this piano');
  await page.getByLabel('Where the sections break', { exact: false }).first().fill('E2, B3');
  await page.getByLabel('Dip', { exact: false }).first().fill('10.2');
  await press(page, 'Done');
  await page.getByText('The room and the visit').click();
  await page.getByLabel('Relative humidity', { exact: false }).fill('46');
  await page.getByText('Is the action ready?').click();
  await page
    .getByRole('group', { name: 'Screws tight' })
    .getByRole('button', { name: 'Put right', exact: true })
    .click();
  await page.getByLabel('Take a hand from a file').setInputFiles(HAND);
  await page.locator('select', { hasText: 'sittingHand' }).waitFor();

  // Round 1, by ear.
  await listenNow(page);
  const first = await takesKept(page, 2, 90_000);
  expect(first.map(({ midi }) => keyName(midi))).toEqual(['C4', 'A3']);
  await toRound(page);
  await page.locator('.round-note', { hasText: 'C4' }).locator('.verdict.unstable').waitFor();
  await press(page, 'Close round');
  await page.getByText('This round is closed.').waitFor();
  await page.getByRole('button', { name: 'Work', exact: true }).click();
  const row = () => page.locator('.work-row', { hasText: 'C4' });
  expect(await row().innerText()).toMatch(/Missed repeats|Missed and weak repeats/);
  // The pedal: the first press shows what the second would do.
  await page.keyboard.press('PageDown');
  expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe('I adjusted it: C4');
  await launched[0].close();

  // The spring was turned and nobody said so. The note is played again, and is asked of.
  page = await phone(after, userDataDir);
  await press(page, 'Start listening');
  await page.getByLabel('Piano', { exact: true }).selectOption({ label: 'Aldervane 274, Quillwater Hall' });
  await page.locator('select', { hasText: 'sittingHand' }).selectOption({ index: 1 });
  await listenNow(page);
  await page.getByRole('heading', { name: 'Adjusted since round 1?' }).waitFor({ timeout: 90_000 });
  await page.keyboard.press('y');
  await page.getByRole('button', { name: 'Pause' }).waitFor();
  await toRound(page);
  await page.locator('.round-note', { hasText: 'C4' }).waitFor();

  // What was turned, and what a gauge reads now.
  await page.getByRole('button', { name: 'Work', exact: true }).click();
  await row().getByText('Heard again').waitFor();
  await press(page, 'What was turned: C4');
  await press(page, 'Spring');
  await press(page, 'stronger');
  await press(page, 'Keep');
  await row().getByText('spring stronger').waitFor();
  await row().locator('.change').waitFor();
  const change = (await row().locator('.change').innerText()).trim();
  await press(page, /^Open C4/);
  await press(page, 'Type a reading');
  await page.getByRole('group', { name: 'When' }).getByRole('button', { name: 'After it', exact: true }).click();
  await page.getByLabel('Blow', { exact: false }).first().fill('46.5');
  await page.keyboard.press('Enter');
  await page.getByRole('row', { name: /Blow/ }).getByText('46.5 mm').waitFor();
  await press(page, 'Back');
  await press(page, 'Back');

  // The report: on the screen, on paper, as one file.
  await page.getByRole('button', { name: 'Report', exact: true }).click();
  const report = page.locator('.report-paper article.report');
  await report.waitFor();
  const paper = (await report.innerText()).replace(/\s+/g, ' ');
  expect(paper).toContain('Aldervane 274, Quillwater Hall');
  expect(paper).toContain('46 % humidity');
  expect(paper.toLowerCase()).toContain('spring stronger');
  expect(paper).toContain(change);
  expect(paper).toContain('46.5 mm');
  expect(paper).toMatch(/Screws tight\s*put right/i);
  expect(paper).toMatch(/What sound cannot tell/);
  expect(paper).toMatch(/dip, aftertouch, checking, drop/i);
  const printed = await page.pdf({ preferCSSPageSize: true });
  expect(printed.subarray(0, 5).toString()).toBe('%PDF-');
  expect(printed.toString('latin1').match(/\/Type\s*\/Page\b/g)!.length).toBeGreaterThanOrEqual(2);
  const saved = page.waitForEvent('download');
  await press(page, 'Save as one file');
  const html = readFileSync(await (await saved).path(), 'utf8');
  expect(html).toContain('Aldervane 274');
  expect(html).not.toMatch(/(?:src|href)="(?!data:|#)/);
  for (const { complaints } of launched) expect(complaints).toEqual([]);
  rmSync(userDataDir, { recursive: true, force: true, maxRetries: 5 });
}
