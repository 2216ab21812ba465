/** The worklet in Chromium's offline context gives the events of the direct call under Node, frame for frame. */

import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser } from 'playwright-core';
import { makePractice } from '../../src/synthesis/practice.ts';
import { startBrowser } from '../app/browser.ts';
import { direct, foundIn, framesOf, worstDifference } from '../worklets/direct.ts';
import { serveListeningPage, type ServedPage } from './servedPage.ts';

let served: ServedPage;
let browser: Browser;

beforeAll(async () => {
  served = await serveListeningPage();
  browser = await startBrowser();
});

afterAll(async () => {
  await browser?.close();
  await served?.close();
});

describe('the worklet in Chromium', () => {
  it.each([
    [44_100, 45],
    [48_000, 76],
  ])('hears at %i Hz what the direct call hears (key %i)', async (sampleRate, midi) => {
    const { samples } = makePractice(
      {
        variant: 'judging',
        sampleRate,
        snrDb: 35,
        notes: [
          {
            midi,
            passages: [
              { kind: 'slow', strokes: 4 },
              { kind: 'fast', strokes: 8, ratePerSecond: 7 },
            ],
          },
        ],
      },
      11,
    );
    // A whole number of the context's blocks, so that both see the same end.
    const whole = samples.subarray(0, samples.length - (samples.length % 128)).slice();
    served.put(`practice-${sampleRate}.f32`, new Uint8Array(whole.buffer));
    const page = await browser.newPage();
    await page.goto(served.origin);
    const messages = await page.evaluate(([address, rate]) => window.listening.offline(address, rate), [
      `practice-${sampleRate}.f32`,
      sampleRate,
    ] as const);
    await page.close();
    const [heard, expected] = [foundIn(messages), direct(whole, sampleRate, 128)];
    expect(heard.strokes.length).toBeGreaterThan(8);
    expect(heard.contacts.filter(({ contact }) => contact >= 0).length).toBeGreaterThan(0);
    // Times are whole frames: within 1e-9 s is the same frame.
    expect(framesOf(heard)).toEqual(framesOf(expected));
    const worst = worstDifference(heard, expected);
    console.log(`${sampleRate} Hz: frames identical, strengths and levels ${worst ? `within ${worst}` : 'identical'}`);
    expect(worst).toBeLessThan(1e-9);
    expect(messages.filter(({ type }) => type === 'gap')).toEqual([]);
    expect(messages.at(-1)).toEqual({ type: 'flushed', frame: whole.length });
  });
});
