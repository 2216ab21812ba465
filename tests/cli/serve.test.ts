/** `evenfall serve`: real requests to the shipped program, and to its parts where a test needs addresses of its own. */

import { X509Certificate } from 'node:crypto';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { get, request, type IncomingMessage, type RequestOptions } from 'node:http';
import { request as secureRequest } from 'node:https';
import { connect, createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { isPrivate, privateAddresses } from '../../src/cli/serving/addresses.ts';
import { answerFrom } from '../../src/cli/serving/appFolder.ts';
import { certificateIn, dataFolder } from '../../src/cli/serving/certificate.ts';
import { listen } from '../../src/cli/serving/listen.ts';
import { HEADERS } from '../../src/cli/serving/policy.ts';
import { ServedProgram, type Served } from './servedProgram.ts';

const FILES: readonly (readonly [path: string, type: string, kept: RegExp])[] = [
  ['index.html', 'text/html;charset=utf-8', /^no-cache$/],
  ['app.webmanifest', 'application/manifest+json', /^no-cache$/],
  ['assets/index-B30CdJq8.js', 'text/javascript', /immutable/],
  ['assets/index-BijnDQq0.css', 'text/css', /immutable/],
  ['assets/decoder-a_b-Cd12.wasm', 'application/wasm', /immutable/],
  ['assets/besley-x1y2z3w4.woff2', 'font/woff2', /immutable/],
  ['assets/a4-in-order-ov_DtBoa.flac', 'audio/flac', /immutable/],
  ['assets/plain.svg', 'image/svg+xml', /^no-cache$/],
];
const DAY_MS = 86_400_000;

interface Answer {
  readonly status: number | undefined;
  readonly headers: IncomingMessage['headers'];
  readonly body: string;
}

let program: ServedProgram;
let served: Served;
beforeAll(async () => {
  program = await ServedProgram.make();
  mkdirSync(join(program.app, 'assets'), { recursive: true });
  for (const [path] of FILES) writeFileSync(join(program.app, path), `content of ${path}`);
  writeFileSync(join(program.app, '.hidden'), 'secret');
  served = await program.serve('--port', '0');
}, 60_000);
afterAll(() => program?.remove());

/** One request; the path goes out as written. */
function ask(send: typeof request, options: RequestOptions & { ca?: string }): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = send({ agent: false, ...options }, (response) => {
      let body = '';
      response.setEncoding('utf8').on('data', (piece: string) => (body += piece));
      response.on('end', () => resolve({ status: response.statusCode, headers: response.headers, body }));
    });
    asked.on('error', reject).end();
  });
}

function home(path: string, options: RequestOptions = {}): Promise<Answer> {
  return ask(request, { host: '127.0.0.1', port: new URL(served.home).port, path, ...options });
}

function expectStrict({ headers }: Answer): void {
  for (const [name, value] of Object.entries(HEADERS)) expect(headers[name.toLowerCase()]).toBe(value);
}

describe('the served page', () => {
  it('comes as what it is, kept where its name holds its content, with every header', async () => {
    for (const [path, type, kept] of FILES) {
      const answer = await home(`/${path}`);
      expect([path, answer.status, answer.headers['content-type']]).toEqual([path, 200, type]);
      expect(answer.headers['cache-control']).toMatch(kept);
      expect(answer.body).toBe(`content of ${path}`);
      expectStrict(answer);
    }
    expect((await home('/')).body).toBe('content of index.html');
    expect((await home('/?from=there#x')).body).toBe('content of index.html');
  });

  it('lets nothing in but itself', () => {
    const policy = HEADERS['Content-Security-Policy'];
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toMatch(/unsafe-inline|'unsafe-eval'|https?:|\*/);
    expect(HEADERS['Permissions-Policy']).toMatch(/microphone=\(self\).*camera=\(\)/);
  });

  it('is sent again only if it has changed', async () => {
    const { headers } = await home('/');
    const again = await home('/', { headers: { 'If-None-Match': headers.etag } });
    expect([again.status, again.body]).toEqual([304, '']);
    expectStrict(again);
    writeFileSync(join(program.app, 'index.html'), 'built again, and longer than it was before');
    const built = await home('/', { headers: { 'If-None-Match': headers.etag } });
    expect([built.status, built.body]).toEqual([200, 'built again, and longer than it was before']);
    writeFileSync(join(program.app, 'index.html'), 'content of index.html');
  });

  it('is read and not written to', async () => {
    const head = await home('/', { method: 'HEAD' });
    expect([head.status, head.body, head.headers['content-length']]).toEqual([200, '', '21']);
    for (const method of ['POST', 'PUT', 'DELETE', 'OPTIONS']) {
      const answer = await home('/', { method });
      expect([method, answer.status, answer.headers.allow]).toEqual([method, 405, 'GET, HEAD']);
      expectStrict(answer);
    }
  });

  it.each([
    '/nothing.js',
    '/assets/',
    '/../../package.json',
    '/assets/../../../package.json',
    '/%2e%2e/%2e%2e/package.json',
    '/..%2f..%2fpackage.json',
    '/..%5c..%5cpackage.json',
    '//../package.json',
    '/assets/..%00/index.html',
    '/.hidden',
    '/%',
  ])('has nothing at %s', async (path) => {
    const answer = await home(path);
    expect(answer.status).toBe(404);
    expect(answer.body).not.toMatch(/secret|dependencies|content of/);
    expect(answer.headers['content-type']).toBe('text/plain; charset=utf-8');
    expectStrict(answer);
  });

  it('is for this computer alone', async () => {
    const port = Number(new URL(served.home).port);
    for (const host of ['127.0.0.2', ...privateAddresses()]) {
      const code = await new Promise((resolve) => {
        const socket = connect({ host, port }, () => resolve('let in'));
        socket.on('error', (error: NodeJS.ErrnoException) => resolve(error.code));
        socket.on('connect', () => socket.destroy());
      });
      expect([host, code]).toEqual([host, 'ECONNREFUSED']);
    }
  });
});

describe('the program', () => {
  it('ends cleanly on Ctrl-C, also while a browser holds a connection', async () => {
    const other = await program.serve('--port', '0');
    expect(other.words).toContain('nothing is sent anywhere');
    const held = connect({ host: '127.0.0.1', port: Number(new URL(other.home).port) });
    await new Promise((resolve) => held.once('connect', resolve));
    held.on('error', () => {});
    expect((await other.end()).code).toBe(0);
  });

  it('opens the page where there is a program for that, and else says so', async () => {
    const alone = await program.serve('--port', '0', '--open');
    const { code, stderr } = await alone.end();
    expect([code, stderr]).toEqual([0, `evenfall: no xdg-open here; open ${alone.home}/ by hand\n`]);
    const opened = join(program.folder, 'opened');
    mkdirSync(program.path, { recursive: true });
    writeFileSync(join(program.path, 'xdg-open'), `#!/bin/sh\necho "$1" > '${opened}'\n`, { mode: 0o755 });
    const helped = await program.serve('--port', '0', '--open');
    await expect.poll(() => existsSync(opened) && readFileSync(opened, 'utf8')).toBe(`${helped.home}/\n`);
    expect((await helped.end()).stderr).toBe('');
  });

  it('names a port that is taken, and takes no other', async () => {
    const { port } = new URL(served.home);
    const { code, stdout, stderr } = await program.run('--port', port);
    expect([code, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(
      new RegExp(`^evenfall: port ${port}: taken by another program.*expected a free port.*--port`),
    );
  });

  it.each(['70000', '-1', 'http', '1.5'])('refuses the port %s', async (port) => {
    const { code, stderr } = await program.run(`--port=${port}`);
    expect(code).toBe(2);
    expect(stderr).toContain('Expected a whole number from 0 to 65535');
  });

  it('says what to run when nothing was built', async () => {
    const empty = await ServedProgram.make();
    const { code, stdout, stderr } = await empty.run();
    empty.remove();
    expect([code, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(
      /dist\/app: no built page; expected "npm run build" to have been run \("npm start" does both\)/,
    );
  });

  it('serves phones encrypted, or says that there is no network to do so', async () => {
    const addresses = privateAddresses();
    if (addresses.length === 0) {
      const { code, stderr } = await program.run('--port', '0', '--lan');
      expect(code).toBe(2);
      expect(stderr).toContain('--lan: this computer is in no private network');
      return;
    }
    const phone = await program.serve('--port', '0', '--lan');
    const file = join(program.folder, 'data', 'evenfall', 'lan.pem');
    const pem = readFileSync(file, 'utf8');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(phone.words).toContain(new X509Certificate(pem.slice(pem.indexOf('-----BEGIN CERT'))).fingerprint256);
    expect(phone.words).toMatch(/does not know the certificate[^]*Installing the page[^]*made now/);
    const port = new URL(phone.home).port;
    for (const host of addresses) {
      expect(phone.words).toContain(`https://${host.includes(':') ? `[${host}]` : host}:${port}/`);
      const answer = await ask(secureRequest, { host, port, path: '/', ca: pem });
      expect([answer.status, answer.body]).toEqual([200, 'content of index.html']);
      expectStrict(answer);
    }
    expect((await ask(request, { host: '127.0.0.1', port, path: '/' })).status).toBe(200);
    expect((await phone.end()).code).toBe(0);
    const again = await program.serve('--port', '0', '--lan');
    expect(again.words).toContain('as before');
    expect(readFileSync(file, 'utf8')).toBe(pem);
    await again.end();
  });
});

describe('encrypted listening', () => {
  const ADDRESS = '127.0.0.2';
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfall-lan-'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  it('answers whom the certificate satisfies, and leads plain requests to the encrypted page', async () => {
    const { key, cert } = await certificateIn(join(folder, 'listen'), [ADDRESS]);
    const listening = await listen(answerFrom(program.app), 0, { addresses: [ADDRESS], key, cert });
    const { port } = listening;
    try {
      const answer = await ask(secureRequest, { host: ADDRESS, port, path: '/', ca: cert });
      expect([answer.status, answer.body]).toEqual([200, 'content of index.html']);
      expectStrict(answer);
      // Without it, the client refuses, as a phone does at first.
      await expect(ask(secureRequest, { host: ADDRESS, port, path: '/' })).rejects.toThrow(/self-signed/);
      const plain = await ask(request, { host: ADDRESS, port, path: '/x' });
      expect([plain.status, plain.headers.location]).toEqual([307, `https://${ADDRESS}:${port}/`]);
      expectStrict(plain);
      const crooked = await ask(request, { host: ADDRESS, port, path: '/', headers: { Host: 'a b"<' } });
      expect([crooked.status, crooked.headers.location]).toEqual([400, undefined]);
    } finally {
      await listening.close();
    }
    await expect(ask(request, { host: '127.0.0.1', port, path: '/' })).rejects.toThrow(/ECONNREFUSED/);
  });

  it('leaves nothing open where a port is taken', async () => {
    const taken = createServer();
    await new Promise<void>((resolve) => taken.listen(0, ADDRESS, resolve));
    const { port } = taken.address() as AddressInfo;
    const { key, cert } = await certificateIn(join(folder, 'listen'), [ADDRESS]);
    const tried = listen(answerFrom(program.app), port, { addresses: [ADDRESS], key, cert });
    await expect(tried).rejects.toThrow(`port ${port}: taken by another program`);
    await expect(new Promise((_, reject) => get(`http://127.0.0.1:${port}/`).on('error', reject))).rejects.toThrow();
    taken.close();
  });
});

describe('the certificate', () => {
  let place = 0;
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'evenfall-certificate-'));
  });
  afterAll(() => rmSync(folder, { recursive: true }));
  const fresh = () => join(folder, `${place++}`, 'evenfall');

  it('is made once, for localhost and every address, readable by its owner alone', async () => {
    const at = fresh();
    const first = await certificateIn(at, ['192.168.7.20', 'fd12::5']);
    expect(first.made).toBe('first');
    expect(statSync(first.file).mode & 0o777).toBe(0o600);
    expect(statSync(at).mode & 0o777).toBe(0o700);
    const x509 = new X509Certificate(first.cert);
    expect(x509.checkHost('localhost')).toBe('localhost');
    for (const address of ['127.0.0.1', '::1', '192.168.7.20', 'fd12::5']) expect(x509.checkIP(address)).toBe(address);
    expect(x509.checkIP('192.168.7.21')).toBeUndefined();
    expect(x509.ca).toBe(false);
    const second = await certificateIn(at, ['192.168.7.20']);
    expect(second).toEqual({ ...first, made: null });
  });

  it('is made anew before it runs out, and not earlier', async () => {
    const at = fresh();
    const first = await certificateIn(at, []);
    const runsOut = Date.parse(new X509Certificate(first.cert).validTo);
    expect((await certificateIn(at, [], new Date(runsOut - 8 * DAY_MS))).made).toBeNull();
    const second = await certificateIn(at, [], new Date(runsOut - 6 * DAY_MS));
    expect(second.made).toBe('ran-out');
    expect(Date.parse(new X509Certificate(second.cert).validTo)).toBeGreaterThan(runsOut + 300 * DAY_MS);
    expect(second.key).not.toBe(first.key);
    // A clock that was wrong made it for a time to come.
    expect((await certificateIn(at, [], new Date(runsOut - 300 * DAY_MS))).made).toBe('ran-out');
  });

  it('is made anew for a new address, and keeps those it held', async () => {
    const at = fresh();
    await certificateIn(at, ['192.168.7.20', 'fd12::5']);
    const second = await certificateIn(at, ['10.0.0.4']);
    expect(second.made).toBe('new-address');
    const x509 = new X509Certificate(second.cert);
    for (const address of ['10.0.0.4', '192.168.7.20', 'fd12::5']) expect(x509.checkIP(address)).toBe(address);
    expect((await certificateIn(at, ['192.168.7.20'])).made).toBeNull();
  });

  it('is made anew where it is damaged, of another key, or readable by others', async () => {
    const at = fresh();
    const { file, cert } = await certificateIn(at, []);
    chmodSync(file, 0o644);
    const second = await certificateIn(at, []);
    expect(second.made).toBe('readable-by-others');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    for (const text of ['', 'torn', second.key, `${second.key}${cert}`]) {
      writeFileSync(file, text);
      expect((await certificateIn(at, [])).made).toBe('unreadable');
    }
  });

  it('names the file that cannot be written', async () => {
    const at = fresh();
    mkdirSync(join(at, '..'), { recursive: true });
    writeFileSync(at, 'a file in the place of the folder');
    await expect(certificateIn(at, [])).rejects.toThrow(/lan\.pem: something else of that name; expected a place/);
  });

  it('stands in the user’s data folder', () => {
    expect(dataFolder({ XDG_DATA_HOME: '/somewhere/data' })).toBe('/somewhere/data/evenfall');
    expect(dataFolder({ XDG_DATA_HOME: 'relative' })).toMatch(/\/\.local\/share\/evenfall$/);
    expect(dataFolder({})).toMatch(/\/\.local\/share\/evenfall$/);
  });
});

describe('private addresses', () => {
  it.each(['10.0.0.1', '172.16.0.1', '172.31.255.1', '192.168.0.7', '169.254.3.4', 'fd00::2', 'fc00::1'])(
    'are told: %s',
    (address) => expect(isPrivate(address)).toBe(true),
  );
  it.each(['8.8.4.4', '172.32.0.1', '192.169.0.1', '192.0.2.2', '2001:db8::1', '127.0.0.1', '::1'])(
    'are not: %s',
    (address) => expect(isPrivate(address)).toBe(false),
  );
});
