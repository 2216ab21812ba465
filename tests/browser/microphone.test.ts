/** What stands between the page and the microphone, and the screen that must not sleep, in a real browser. */

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { whiteNoise } from '../signal/noise.ts';
import { FAKE_RATE, launchWithSound, withoutGaps, writeSound, zeroRuns, type Listener } from './fakeMicrophone.ts';
import { serveListeningPage, type ServedPage } from './servedPage.ts';

let folder: string;
let wav: string;
let served: ServedPage;
let listener: Listener;
let page: Page;

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'evenfall-microphone-'));
  wav = join(folder, 'noise.wav');
  writeSound(wav, whiteNoise(FAKE_RATE, 0.1, 3));
  served = await serveListeningPage();
  listener = await launchWithSound(wav, { flags: ['--use-fake-ui-for-media-stream=deny'], userDataDir: folder });
  page = await listener.open(served.origin);
});

afterAll(async () => {
  await listener?.close();
  await served?.close();
  rmSync(folder, { recursive: true });
});

const listen = () =>
  page.evaluate(() => window.listening.listen().catch(({ code, title, text }) => ({ code, title, text })));

describe('the microphone', () => {
  it('may be refused by the person', async () => {
    expect(await listen()).toEqual({
      code: 'refused',
      title: 'The microphone is switched off for Evenfall',
      text: 'Nothing can be heard until you allow it in the browser’s site settings. You can still open a recording.',
    });
    expect(await page.evaluate(() => window.listening.ear.state)).toBe('closed');
  });

  it('is not for pages that anyone on the way could have changed', async () => {
    await listener.context.route('http://piano.test/**', async (route) => {
      const url = route.request().url().replace('http://piano.test', served.origin);
      await route.fulfill({ response: await route.fetch({ url }) });
    });
    await page.goto('http://piano.test/');
    expect(await listen()).toMatchObject({ code: 'insecure' });
    await page.goto(served.origin);
  });
});

describe('the screen', () => {
  it('is kept awake, and it is said when it may sleep after all', async () => {
    const tools = await listener.context.newCDPSession(page);
    const set = (setting: 'denied' | 'granted') =>
      tools.send('Browser.setPermission', { permission: { name: 'screen-wake-lock' }, setting, origin: served.origin });
    const told = () => page.evaluate(() => window.listening.wakeStates);
    await set('granted');
    await page.evaluate(() => window.listening.wakeLock.hold());
    await page.evaluate(() => window.listening.wakeLock.release());
    await set('denied');
    await page.evaluate(() => window.listening.wakeLock.hold());
    expect(await told()).toEqual(['held', 'released', 'refused']);
    // Asked for again when the page comes back.
    await set('granted');
    await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
    await expect.poll(told).toEqual(['held', 'released', 'refused', 'held']);
    await page.evaluate(() => window.listening.wakeLock.release());
  });
});

describe('the browser with a file for a microphone', () => {
  it('can be killed and started again on the same profile', async () => {
    await listener.kill();
    listener = await launchWithSound(wav, { userDataDir: folder });
    page = await listener.open(served.origin);
    expect(await listen()).toMatchObject({ sampleRate: FAKE_RATE });
    expect(listener.complaints).toEqual([]);
  });

  it('has its zeros found and taken out', () => {
    const sound = whiteNoise(3000, 0.1, 1);
    const zeros = (frames: number) => new Float32Array(frames);
    const captured = Float32Array.from([
      ...zeros(300),
      ...sound.subarray(0, 1000),
      ...zeros(441),
      ...sound.subarray(1000, 2000),
      ...zeros(127),
      ...sound.subarray(2000),
    ]);
    const { samples, gaps, leading } = withoutGaps(captured);
    expect({ gaps, leading }).toEqual({ gaps: [{ frame: 1300, frames: 441 }], leading: 300 });
    expect(samples).toHaveLength(3127);
    expect(zeroRuns(sound)).toEqual([]);
    expect(() => writeSound(join(folder, 'silent.wav'), captured)).toThrow('300 zeros from frame 0');
  });
});
