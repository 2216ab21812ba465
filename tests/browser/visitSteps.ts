/** What a person does in the page, and what stands in the browser's record afterwards. */

import type { Page } from 'playwright-core';
import type { AnalysisDocument } from '../../src/analysis/document.ts';
import type { Round, Take, Visit } from '../../src/record/types.ts';

/** From Home to the keys: names a piano, takes a hand from a file if one is given, and starts at once. */
export async function beginSitting(page: Page, piano: string, hand?: string): Promise<void> {
  await page.getByRole('button', { name: 'Start listening' }).click();
  await page.getByLabel('Name of the piano').fill(piano);
  if (hand) {
    await page.getByLabel('Take a hand from a file').setInputFiles(hand);
    await page.waitForFunction(() => document.querySelector<HTMLSelectElement>('select')?.form !== undefined);
    await page.locator('select', { hasText: 'sittingHand' }).waitFor();
  }
  await page.getByRole('button', { name: 'Start', exact: true }).click();
  // The sound check: go on as soon as the microphone is open.
  await page.getByRole('button', { name: /^Start( all the same)?$/ }).click({ timeout: 20_000 });
}

/** Pauses and goes to the list of the round. */
export async function toRound(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Pause' }).click();
  await page.getByRole('button', { name: 'See this round' }).click();
  await page.locator('.round-screen').waitFor();
}

/** Everything in the browser's record, as it is on the device. */
export interface Kept {
  readonly visits: readonly Visit[];
  readonly rounds: readonly Round[];
  readonly takes: readonly Take[];
  /** Frames of sound kept for each take, by its id. */
  readonly frames: Readonly<Record<string, number>>;
}

export async function keptIn(page: Page): Promise<Kept> {
  return page.evaluate(async () => {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('evenfall');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error!);
    });
    const all = <T>(name: string) =>
      new Promise<T[]>((resolve, reject) => {
        const request = database.transaction(name).objectStore(name).getAll();
        request.onsuccess = () => resolve(request.result as T[]);
        request.onerror = () => reject(request.error!);
      });
    const things = async <T>(name: string) => (await all<{ thing: T }>(name)).map(({ thing }) => thing);
    const frames: Record<string, number> = {};
    for (const piece of await all<{ takeId: string; frames: number }>('pieces')) {
      frames[piece.takeId] = (frames[piece.takeId] ?? 0) + piece.frames;
    }
    const kept = {
      visits: await things<Visit>('visits'),
      rounds: await things<Round>('rounds'),
      takes: await things<Take>('takes'),
      frames,
    };
    database.close();
    return kept;
  });
}

/** A take's sound as it is on the device. */
export async function soundIn(page: Page, takeId: string): Promise<Int16Array> {
  const numbers = await page.evaluate(async (id) => {
    const database = await new Promise<IDBDatabase>((resolve, reject) => {
      const request = indexedDB.open('evenfall');
      request.onsuccess = () => resolve(request.result);
      request.onerror = () => reject(request.error!);
    });
    const pieces = await new Promise<{ samples: Int16Array }[]>((resolve, reject) => {
      const range = IDBKeyRange.bound([id, 0], [id, Infinity]);
      const request = database.transaction('pieces').objectStore('pieces').getAll(range);
      request.onsuccess = () => resolve(request.result as { samples: Int16Array }[]);
      request.onerror = () => reject(request.error!);
    });
    database.close();
    return pieces.flatMap(({ samples }) => Array.from(samples));
  }, takeId);
  return Int16Array.from(numbers);
}

/**
 * Waits until so many takes are on the device.
 * @throws Error with what is kept and what the page shows, if they are not there in time.
 */
export async function takesKept(page: Page, count: number, timeout: number): Promise<readonly Take[]> {
  const end = Date.now() + timeout;
  for (;;) {
    const { takes, frames } = await keptIn(page);
    if (takes.length >= count) return takes;
    if (Date.now() > end) {
      const shown = (await page.locator('main').innerText()).replace(/\s+/g, ' ');
      throw new Error(
        `${takes.length} takes kept after ${timeout / 1000} s; expected ${count}; sound kept of ` +
          `${Object.keys(frames).length}; the page shows: ${shown}`,
      );
    }
    await page.waitForTimeout(250);
  }
}

/** Largest differences of two documents' strokes; infinite where kinds, passages, notes or what is absent differ. */
export interface Difference {
  readonly seconds: number;
  readonly decibels: number;
}

export function largestDifference(a: AnalysisDocument, b: AnalysisDocument): Difference {
  const none = { seconds: Infinity, decibels: Infinity };
  if (a.strokes.length !== b.strokes.length) return none;
  let seconds = 0;
  let decibels = 0;
  for (const [i, stroke] of a.strokes.entries()) {
    const other = b.strokes[i];
    if (stroke.kind !== other.kind || stroke.passage !== other.passage || stroke.midi !== other.midi) return none;
    for (const field of ['timeSeconds', 'contactSeconds', 'onsetSeconds', 'levelDb'] as const) {
      const [one, two] = [stroke[field], other[field]];
      if ((one === null) !== (two === null)) return none;
      if (one === null || two === null) continue;
      if (field === 'levelDb') decibels = Math.max(decibels, Math.abs(one - two));
      else seconds = Math.max(seconds, Math.abs(one - two));
    }
  }
  return { seconds, decibels };
}
