/** The page as people meet it: opened in Chromium, practice takes heard, damaged files named. */

import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PracticeTruth } from '../../src/synthesis/practice.ts';
import { servePage, type BuiltPage, type Visit } from './browser.ts';

const SAMPLES = new URL('../../samples/', import.meta.url);
/** A stroke counts as found within this of the truth, seconds. */
const NEAR = 0.01;

let built: BuiltPage;
beforeAll(async () => {
  built = await servePage();
}, 60_000);
afterAll(() => built?.close());

/** The screen of files: from Home by its button. */
async function files(options?: Parameters<BuiltPage['visit']>[0]): Promise<Visit> {
  const seen = await built.visit(options);
  await seen.page.getByRole('button', { name: /Open a file|choose a file/ }).click();
  await seen.page.getByLabel('Open a file').waitFor({ state: 'attached' });
  return seen;
}

/** Ends a visit: nothing was complained of, and nothing asked for that the page does not serve itself. */
async function leave({ page, complaints, asked }: Visit): Promise<void> {
  await page.context().close();
  expect(complaints).toEqual([]);
  expect(asked.length).toBeGreaterThan(2);
  expect(asked.filter((url) => !url.startsWith(`${built.origin}/`) && !url.startsWith('data:'))).toEqual([]);
}

async function openPractice({ page }: Visit, title: RegExp, file: string): Promise<void> {
  await page.getByRole('button', { name: title }).click();
  await page.locator('.lead', { hasText: file }).waitFor();
}

/** The strokes of the table against those of the truth. */
async function compared({ page }: Visit, name: string) {
  const truth = JSON.parse(readFileSync(new URL(`${name}.truth.json`, SAMPLES), 'utf8')) as PracticeTruth;
  const sounded = truth.strokes.filter(({ kind }) => kind === 'sounded');
  const rows = page.locator('tbody tr[data-kind=sounded]');
  const times = (await rows.locator('th').allTextContents()).map(Number);
  return {
    played: sounded.length,
    found: sounded.filter(({ timeSeconds }) => times.some((time) => Math.abs(time - timeSeconds) < NEAR)).length,
    invented: times.filter((time) => !sounded.some((stroke) => Math.abs(time - stroke.timeSeconds) < NEAR)).length,
    lastNote: await rows.last().locator('td').first().innerText(),
  };
}

describe('practice takes', () => {
  it('are heard, at least 9 in 10 strokes at their times, drawn, and moved through from the keys', async () => {
    const seen = await files({ viewport: { width: 1280, height: 800 } });
    const { page } = seen;
    for (const [name, title, note, played] of [
      ['3-g2-and-c6', /Practice take G2 and C6/, 'C6', 40],
      ['1-a4-in-order', /Practice take A4 in order/, 'A4', 20],
    ] as const) {
      await openPractice(seen, title, `${name}.flac`);
      const strokes = await compared(seen, name);
      expect(strokes.played).toBe(played);
      expect(strokes.found / played).toBeGreaterThanOrEqual(0.9);
      expect(strokes.invented / played).toBeLessThanOrEqual(0.1);
      expect(strokes.lastNote).toContain(note);
      expect(await page.locator('[aria-live]').textContent()).toMatch(/strokes? .* strokes in \d+\.\d seconds/i);
    }
    const drawing = () => page.locator('canvas').evaluate((canvas: HTMLCanvasElement) => canvas.toDataURL());
    const whole = await drawing();
    const span = page.getByText(/time in seconds/);
    expect(await span.innerText()).toMatch(/^0\.0 to 12\.9,/);
    await page.getByRole('button', { name: 'Closer' }).focus();
    await page.keyboard.press('Enter');
    expect(await span.innerText()).toMatch(/^3\.23 to 9\.69,/);
    expect(await drawing()).not.toBe(whole);
    await page.keyboard.press('ArrowRight');
    expect(await span.innerText()).toMatch(/^6\.46 to 12\.92,/);
    expect(await page.getByRole('button', { name: 'Later' }).isDisabled()).toBe(true);
    await page.keyboard.press('0');
    expect(await drawing()).toBe(whole);
    await leave(seen);
  });
});

describe('files of one’s own', () => {
  it('are refused by name with what was found and expected, and the page goes on', async () => {
    const flac = readFileSync(new URL('1-a4-in-order.flac', SAMPLES));
    const seen = await files();
    const { page } = seen;
    const choose = (name: string, buffer: Buffer) =>
      page.getByLabel('Open a file').setInputFiles({ name, mimeType: 'audio/x-any', buffer });
    for (const [name, buffer, found, expected] of [
      ['torn.flac', flac.subarray(0, flac.length >> 1), /^after 6\.\d* s of sound/, /^a whole FLAC file of 12\.\d* s/],
      ['letter.wav', Buffer.from('Dear piano, how are you?'), /./, /WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3/],
      ['nothing.wav', Buffer.alloc(0), /empty|without/, /WAV, FLAC, Ogg Vorbis, Ogg Opus or MP3/],
    ] as const) {
      await choose(name, buffer);
      await page.getByRole('heading', { name: `${name} cannot be read` }).waitFor();
      expect(await page.locator('.refused dd').first().innerText()).toMatch(found);
      expect(await page.locator('.refused dd').last().innerText()).toMatch(expected);
      expect(await page.locator('[aria-live]').textContent()).toContain(`${name} cannot be read`);
    }
    await choose('whole.flac', flac);
    await page.locator('.lead', { hasText: 'whole.flac' }).waitFor();
    expect(await page.locator('tbody tr').count()).toBeGreaterThanOrEqual(18);
    expect(await page.locator('.refused').count()).toBe(0);
    await leave(seen);
  });
});

describe('compressed sound', () => {
  it('is read in the page as on the command line: MP3, Opus', async () => {
    const seen = await files();
    const { page } = seen;
    for (const [file, codec] of [
      ['lame.mp3', 'MP3'],
      ['opusenc.opus', 'Opus'],
    ]) {
      const buffer = readFileSync(new URL(`../soundfiles/fixtures/${file}`, import.meta.url));
      await page.getByLabel('Open a file').setInputFiles({ name: file, mimeType: 'audio/x-any', buffer });
      await page.locator('.lead', { hasText: file }).waitFor();
      await page.getByText(`compressed with ${codec}: faint contacts may be hidden`).waitFor();
    }
    await leave(seen);
  });
});

describe('sound that only the browser decodes', () => {
  it('is opened, as long as it was before, and said to be compressed', async () => {
    const seen = await files();
    const { page } = seen;
    const buffer = readFileSync(new URL('../soundfiles/fixtures/lavf.m4a', import.meta.url));
    await page.getByLabel('Open a file').setInputFiles({ name: 'strokes.m4a', mimeType: 'audio/mp4', buffer });
    await page.locator('.lead', { hasText: 'strokes.m4a' }).waitFor();
    // Chromium without AAC would be refused by name; with it the edit is kept, so that the start is known.
    const said = page.getByText(/compressed with AAC: faint contacts may be hidden/);
    expect(await said.innerText()).not.toMatch(/not known/);
    const torn = { name: 'torn.m4a', mimeType: 'audio/mp4', buffer: buffer.subarray(0, 9000) };
    await page.getByLabel('Open a file').setInputFiles(torn);
    await page.getByRole('heading', { name: 'torn.m4a cannot be read' }).waitFor();
    expect(await page.locator('.refused dd').first().innerText()).toMatch(/which this browser cannot decode/);
    await leave(seen);
  });
});

describe('a note', () => {
  it('is told in a line, and on demand what that rests on', async () => {
    const seen = await files();
    const { page } = seen;
    await openPractice(seen, /missed repeats/, '2-d-sharp-3-missed-repeats.flac');
    const line = await page.locator('.note-line').innerText();
    expect(line).toMatch(/^[A-Z][^0-9]+\.$/);
    const lead = await page.locator('.lead h2').textContent();
    const doubted = (await page.locator('.verdict.watch, .verdict.unstable').count()) > 0;
    expect(lead?.includes(line)).toBe(doubted);
    const figures = page.getByText('Start known to within');
    expect(await figures.isVisible()).toBe(false);
    await page.getByText('What was heard', { exact: true }).focus();
    await page.keyboard.press('Enter');
    expect(await figures.isVisible()).toBe(true);
    expect(await page.locator('.measures li', { hasText: 'Start known to within' }).innerText()).toMatch(/0\.0\d\d ms/);
    // Where something is to be looked at, there is something to mind.
    const advised = await page.locator('details .told:not(.cautions)').count();
    const told = await page.getByText(/^(Look at first|What to do next)$/).count();
    expect(await page.locator('.cautions').count()).toBe(told);
    expect(advised).toBeGreaterThanOrEqual(told);
    await leave(seen);
  });
});

describe('the page', () => {
  it('fits a phone, also with text twice as large: nothing scrolls sideways, every target is 48 px', async () => {
    const seen = await files({ viewport: { width: 390, height: 844 } });
    const { page } = seen;
    await openPractice(seen, /missed repeats/, '2-d-sharp-3-missed-repeats.flac');
    // All columns but the doubts stand within the table's window; what lies beyond is scrolled to within it.
    const edges = await page.evaluate(() => {
      const right = (element: Element) => element.getBoundingClientRect().right;
      const shown = document.querySelector('.scrolled')!;
      return { window: right(shown), columns: [...shown.querySelectorAll('thead th')].map(right) };
    });
    expect(edges.columns).toHaveLength(6);
    for (const edge of edges.columns.slice(0, 5)) expect(edge).toBeLessThanOrEqual(edges.window);
    for (const percent of [100, 200]) {
      await page.evaluate((size) => (document.documentElement.style.fontSize = `${size}%`), percent);
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(390);
      const targets = await page.locator('button, .chooser, summary').all();
      expect(targets.length).toBeGreaterThanOrEqual(9);
      for (const target of targets) {
        const { width, height } = (await target.boundingBox())!;
        expect(Math.min(width, height)).toBeGreaterThanOrEqual(48);
      }
    }
    await leave(seen);
  });
});
