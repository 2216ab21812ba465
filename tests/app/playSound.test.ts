/** The sound of a stroke in Chromium: what is rendered are the take's own samples, and never while listening. */

import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { SoundPlayer, stretchSource } from '../../src/app/note/playSound.ts';
import { servePage, type BuiltPage } from './browser.ts';

declare global {
  interface Window {
    SoundPlayer: typeof SoundPlayer;
    stretchSource: typeof stretchSource;
  }
}

let built: BuiltPage;
let page: Page;
beforeAll(async () => {
  built = await servePage('/tests/app/gallery/soundPage.ts');
  ({ page } = await built.visit());
}, 60_000);
afterAll(() => built?.close());

describe('the sound of a stroke', () => {
  it('is the samples from 0.3 s before it, no more and no less', async () => {
    const differing = await page.evaluate(async () => {
      const rate = 48000;
      const samples = Int16Array.from({ length: 2 * rate }, (_, i) => ((i * 7919) % 65536) - 32768);
      const context = new OfflineAudioContext(1, rate, rate);
      window.stretchSource(context, samples, rate, 1, 0.5)!.start();
      const heard = (await context.startRendering()).getChannelData(0);
      const from = Math.round(0.7 * rate);
      const wanted = (i: number) => (i < rate / 2 ? samples[from + i] / 32768 : 0);
      return heard.reduce((n, value, i) => n + Number(value !== Math.fround(wanted(i))), 0);
    });
    expect(differing).toBe(0);
  });

  it('begins with the take where the stroke is its first, and is nothing beyond its end', async () => {
    const [first, none] = await page.evaluate(() => {
      const samples = new Int16Array(48000);
      const context = new OfflineAudioContext(1, 48000, 48000);
      const source = (seconds: number) => window.stretchSource(context, samples, 48000, seconds, 0.5);
      return [source(0.1)!.buffer!.length, source(9)];
    });
    expect(first).toBe(24000);
    expect(none).toBe(null);
  });

  it('plays one at a time and stops; not while listening, not what is not kept', async () => {
    const told = await page.evaluate(async () => {
      const changes: (string | null)[] = [];
      let listening = false;
      const player = new window.SoundPlayer({
        sound: (id) => Promise.resolve(id === 'gone' ? null : new Int16Array(96000)),
        sampleRate: () => 48000,
        listening: () => listening,
        changed: (playing) => changes.push(playing && playing.takeId),
      });
      const played = [await player.play('a', 1, 1), await player.play('b', 1, 1), await player.play('gone', 1, 1)];
      const [late, last] = await Promise.all([player.play('a', 1, 1), player.play('b', 1, 0.1)]);
      await new Promise((done) => setTimeout(done, 400));
      listening = true;
      const whileListening = await player.play('a', 1, 1);
      await player.close();
      return { changes, played, late, last, whileListening };
    });
    expect(told).toEqual({
      changes: ['a', null, 'b', null, 'b', null],
      played: [true, true, false],
      late: false,
      last: true,
      whileListening: false,
    });
  });
});
