/** Recordings dropped on the page: a round of them, looked at, kept, and there after a reload; given up; damaged. */

import { readFileSync } from 'node:fs';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.ts';
import { readSound } from '../../src/soundfiles/read.ts';
import { writeKept } from '../../src/soundfiles/writeKept.ts';
import { servePage, type BuiltPage, type Visit } from '../app/browser.ts';
import { keptIn, soundIn } from './visitSteps.ts';

const sample = (name: string) => readFileSync(new URL(`../../samples/${name}.flac`, import.meta.url));
const [D_SHARP_3, G2, C6] = [51, 43, 84];

let built: BuiltPage;
beforeAll(async () => {
  built = await servePage();
}, 60_000);
afterAll(() => built?.close());

interface Dropped {
  readonly name: string;
  readonly bytes: Buffer;
}

/** Drops files on the window, as the hand does. */
async function drop(page: Page, files: readonly Dropped[]): Promise<void> {
  const plain = files.map(({ name, bytes }) => ({ name, text: bytes.toString('base64') }));
  const dataTransfer = await page.evaluateHandle((given) => {
    const all = new DataTransfer();
    for (const { name, text } of given) {
      all.items.add(new File([Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0))], name));
    }
    return all;
  }, plain);
  await page.dispatchEvent('body', 'drop', { dataTransfer });
}

/** Every line that the page's middle has shown, in order, each once. */
async function watchHeadings(page: Page): Promise<() => Promise<string[]>> {
  await page.evaluate(() => {
    const seen: string[] = [];
    Object.assign(window, { seenHeadings: seen });
    new MutationObserver(() => {
      const text = [...document.querySelectorAll('.empty h2, .empty p')]
        .map(({ textContent }) => textContent)
        .join(' | ');
      if (text && seen.at(-1) !== text) seen.push(text);
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
  return () => page.evaluate(() => (window as unknown as { seenHeadings: string[] }).seenHeadings);
}

async function open(): Promise<Visit> {
  const seen = await built.visit({ viewport: { width: 1100, height: 800 } });
  seen.page.setDefaultTimeout(15_000);
  await seen.page.getByRole('button', { name: 'Start listening' }).waitFor();
  return seen;
}

async function leave({ page, complaints, asked }: Visit): Promise<void> {
  await page.context().close();
  expect(complaints).toEqual([]);
  expect(asked.filter((url) => !url.startsWith(`${built.origin}/`) && !/^(data|blob):/.test(url))).toEqual([]);
}

describe('a recording dropped on Home', () => {
  it('is heard, seen as a round with compass, note and sound, kept, and there after a reload', async () => {
    const seen = await open();
    const { page } = seen;
    const headings = await watchHeadings(page);
    await drop(page, [{ name: 'Lindenhof.flac', bytes: sample('3-g2-and-c6') }]);
    await page.getByRole('button', { name: 'See it as a round' }).click();
    const round = page.locator('.round-screen');
    await round.waitFor();
    const shown = await headings();
    expect(shown).toContainEqual(expect.stringMatching(/^Listening: \d+ s of 24 s \| Lindenhof\.flac/));
    expect(shown).toContainEqual(expect.stringMatching(/^Timing note 2 of 2 \| Lindenhof\.flac/));
    expect(await round.locator('.round-lead').innerText()).toBe(
      'Lindenhof, 2 notes heard. From a recording; not kept on this device.',
    );
    expect(await page.getByText('open in another tab').count()).toBe(0);
    expect(await page.getByRole('button', { name: 'Go on listening' }).count()).toBe(0);
    expect((await keptIn(page)).takes).toEqual([]);

    await page.getByRole('button', { name: 'Compass' }).click();
    await page.getByRole('heading', { name: /Compass/ }).waitFor();
    await page.getByRole('button', { name: 'Listen', exact: true }).click();
    await page.getByRole('button', { name: /^Open C6/ }).click();
    await page
      .getByRole('button', { name: /^Table of/ })
      .first()
      .click();
    await page
      .getByRole('button', { name: /^Hear stroke/ })
      .first()
      .click();
    await page
      .getByRole('status')
      .getByText(/^Playing from \d+\.\d s/)
      .waitFor();
    await page.getByRole('button', { name: 'Back' }).click();

    // A file dropped where none is read does not take the place of the page.
    const opensFile = await page.evaluate(() =>
      document.body.dispatchEvent(new DragEvent('drop', { bubbles: true, cancelable: true })),
    );
    expect(opensFile).toBe(false);

    await page.getByText('Keep this round').click();
    const keep = page.getByRole('button', { name: 'Keep', exact: true });
    expect(await keep.isDisabled()).toBe(true);
    await page.getByLabel('Name of the piano').fill('Aldervane 274');
    await page.getByLabel('Where it stands').fill('Quillwater Hall');
    await keep.click();
    await page.getByText('This round is closed.').waitFor();
    expect(await page.getByText('Keep this round').count()).toBe(0);

    await page.reload();
    await page.getByRole('button', { name: /Aldervane 274/ }).click();
    await round.waitFor();
    expect(await round.locator('.round-lead').innerText()).toMatch(/^Aldervane 274, Quillwater Hall, 2 notes heard\./);
    const { visits, rounds, takes, frames } = await keptIn(page);
    expect(visits).toHaveLength(1);
    expect(rounds.map(({ number, closedAt }) => [number, closedAt !== null])).toEqual([[1, true]]);
    expect(rounds[0].summary?.verdicts.map(({ midi }) => midi)).toEqual([G2, C6]);
    expect(takes.map(({ midi, number }) => [midi, number])).toEqual([
      [G2, 1],
      [C6, 2],
    ]);
    for (const take of takes) expect(frames[take.id]).toBe(take.frames);
    // What is kept of a take is what its sound says when it is analysed again, from a file.
    const [, take] = takes;
    const file = writeKept(await soundIn(page, take.id), take.sampleRate);
    const again = analyse((await readSound(file)).channels[0], take.heard.source);
    expect(again.strokes.map(({ kind }) => kind)).toEqual(take.heard.strokes.map(({ kind }) => kind));
    again.strokes.forEach(({ timeSeconds }, i) => {
      expect(Math.abs(timeSeconds - take.heard.strokes[i].timeSeconds)).toBeLessThan(1e-9);
    });

    // Another recording of that piano: the next round of the same visit.
    await page.getByRole('button', { name: 'Home' }).click();
    await drop(page, [{ name: 'again.flac', bytes: sample('2-d-sharp-3-missed-repeats') }]);
    await page.getByRole('button', { name: 'See it as a round' }).click();
    await page.getByText('Keep this round').click();
    await page.getByLabel('Piano', { exact: true }).selectOption({ label: 'Aldervane 274, Quillwater Hall' });
    await keep.click();
    await page.getByText('This round is closed.').waitFor();
    const both = await keptIn(page);
    expect(both.visits).toHaveLength(1);
    expect(both.rounds.map(({ number }) => number)).toEqual([1, 2]);
    expect(both.takes.map(({ midi }) => midi)).toEqual([G2, C6, D_SHARP_3]);
    await leave(seen);
  }, 90_000);
});

describe('a reading that is given up', () => {
  it('leaves nothing, and the next file is read', async () => {
    const seen = await open();
    const { page } = seen;
    // The better part of a minute, so that there is a midst.
    const { channels, sampleRate } = await readSound(new Uint8Array(sample('1-a4-in-order')));
    const once = channels[0];
    const long = new Int16Array(4 * once.length);
    for (let i = 0; i < long.length; i++) long[i] = Math.round(once[i % once.length] * 32767);
    await drop(page, [{ name: 'long.wav', bytes: Buffer.from(writeKept(long, sampleRate)) }]);
    await page.getByText(/^Listening: /).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByText('Does every hammer rest the same way').waitFor();
    await expect.poll(() => page.workers().length, { timeout: 2000 }).toBe(0);

    await page.getByLabel('Open a file').setInputFiles([
      {
        name: 'a.wav',
        mimeType: 'audio/wav',
        buffer: Buffer.from(writeKept(long.slice(0, 3 * sampleRate), sampleRate)),
      },
      { name: 'b.flac', mimeType: 'audio/flac', buffer: sample('3-g2-and-c6') },
    ]);
    await page.getByText('File 2 of 2: b.flac', { exact: true }).waitFor();
    await page.getByRole('button', { name: 'Cancel' }).click();
    await page.getByText('Does every hammer rest the same way').waitFor();
    await expect.poll(() => page.workers().length, { timeout: 2000 }).toBe(0);
    expect((await keptIn(page)).takes).toEqual([]);

    await drop(page, [{ name: 'next.flac', bytes: sample('1-a4-in-order') }]);
    await page.locator('.lead', { hasText: 'next.flac' }).waitFor();
    await leave(seen);
  }, 90_000);
});

describe('several files', () => {
  it('become one round; the damaged one is named with what was found and expected', async () => {
    const seen = await open();
    const { page } = seen;
    const headings = await watchHeadings(page);
    const whole = sample('3-g2-and-c6');
    await drop(page, [
      { name: 'torn.flac', bytes: whole.subarray(0, whole.length >> 1) },
      { name: 'diapason.flac', bytes: sample('1-a4-in-order') },
      { name: 'middle.flac', bytes: sample('2-d-sharp-3-missed-repeats') },
    ]);
    await page.locator('.round-screen').waitFor();
    const shown = await headings();
    for (const file of ['File 1 of 3: torn.flac', 'File 2 of 3: diapason.flac', 'File 3 of 3: middle.flac']) {
      expect(shown).toContainEqual(expect.stringContaining(file));
    }
    expect(await page.locator('.round-lead').innerText()).toMatch(/^diapason and 1 more, 2 notes heard\./);
    const card = page.locator('.notice-card');
    expect(await card.locator('h2').innerText()).toContain('torn.flac is not in this round');
    expect(await card.locator('p').innerText()).toMatch(
      /^Found after 11\.\d* s of sound.*; expected a whole FLAC file/,
    );
    await page.getByRole('button', { name: 'Home' }).click();
    await page.getByRole('button', { name: 'Start listening' }).waitFor();
    expect(await page.locator('.notice-card').count()).toBe(0);
    await leave(seen);
  }, 90_000);

  it('without a piano stroke among them make no round, and say so', async () => {
    const seen = await open();
    const { page } = seen;
    const silence = Buffer.from(writeKept(new Int16Array(2 * 48_000), 48_000));
    await drop(page, [
      { name: 'silence.wav', bytes: silence },
      { name: 'letter.wav', bytes: Buffer.from('Dear piano, how are you?') },
    ]);
    await page.getByRole('heading', { name: 'There is no round in this' }).waitFor();
    expect(await page.locator('.refused').innerText()).toMatch(/silence\.wav[^]*no piano strokes[^]*letter\.wav/);
    expect(await page.locator('[aria-live]').textContent()).toMatch(/silence\.wav: found no piano strokes/);
    expect(await page.getByRole('button', { name: 'See it as a round' }).count()).toBe(0);
    await leave(seen);
  }, 90_000);
});
