/**
 * The certificate that this computer makes for itself, so that a phone lets the page listen: made once, kept with its key
 * in a file that only its owner can read, made anew when it runs out or an address is not in it.
 */

import { X509Certificate, createPrivateKey, randomUUID } from 'node:crypto';
import { chmod, readFile, rename, rm, stat, writeFile } from 'node:fs/promises';
import { homedir } from 'node:os';
import { isAbsolute, join } from 'node:path';
import { makeFolder } from '../folder.ts';
import { unwritable } from '../output.ts';
import { systemCode } from '../refusal.ts';

/** Names that it always holds. */
const NAMES = ['localhost'];
const LOOPBACK = ['127.0.0.1', '::1'];
const DAY_MS = 86_400_000;
const VALID_DAYS = 365;
/** With less than this left it is made anew, so that it does not run out in the middle of a sitting. */
const LEAST_DAYS = 7;
/** Of addresses that it held before, so many are kept: two workshops and a car do not undo each other's certificates. */
const MOST_ADDRESSES = 24;
const PRIVATE_FILE = 0o600;
const PRIVATE_FOLDER = 0o700;

export interface Certificate {
  /** Key and certificate, PEM. */
  readonly key: string;
  readonly cert: string;
  /** SHA-256 of the certificate, as browsers show it. */
  readonly fingerprint: string;
  readonly file: string;
  /** Why it was made now; null if it was there. */
  readonly made: 'first' | 'ran-out' | 'new-address' | 'unreadable' | 'readable-by-others' | null;
}

/**
 * The user's folder for what programs keep: `XDG_DATA_HOME` if it is absolute, else `~/.local/share` (XDG Base Directory
 * Specification), and in it that of this program.
 */
export function dataFolder(environment: Readonly<Record<string, string | undefined>> = process.env): string {
  const given = environment.XDG_DATA_HOME;
  return join(given && isAbsolute(given) ? given : join(homedir(), '.local', 'share'), 'evenfall');
}

/**
 * The certificate kept in the folder, or a new one.
 *
 * @param addresses - that it must hold, besides localhost.
 * @throws Refusal if the folder or file cannot be written.
 */
export async function certificateIn(
  folder: string,
  addresses: readonly string[],
  now: Date = new Date(),
): Promise<Certificate> {
  const file = join(folder, 'lan.pem');
  const kept = await readKept(file);
  const made = whyAnew(kept, addresses, now);
  if (made === null && typeof kept === 'object') {
    return { key: kept.key, cert: kept.cert, fingerprint: kept.x509.fingerprint256, file, made };
  }
  const before = made === 'new-address' && typeof kept === 'object' ? addressesOf(kept.x509) : [];
  const held = [...new Set([...LOOPBACK, ...addresses, ...before])].slice(0, MOST_ADDRESSES);
  const { key, cert } = await make(held, now);
  try {
    await writePrivate(folder, file, `${key}${cert}`);
  } catch (error) {
    throw unwritable(file, error);
  }
  return { key, cert, fingerprint: new X509Certificate(cert).fingerprint256, file, made };
}

interface Kept {
  readonly key: string;
  readonly cert: string;
  readonly x509: X509Certificate;
}

async function readKept(file: string): Promise<Kept | 'missing' | 'unreadable' | 'readable-by-others'> {
  try {
    // A key that others could read may be known to them.
    if (((await stat(file)).mode & 0o077) !== 0) return 'readable-by-others';
    const text = await readFile(file, 'utf8');
    const at = text.indexOf('-----BEGIN CERTIFICATE-----');
    const [key, cert] = [text.slice(0, at), text.slice(at)];
    const x509 = new X509Certificate(cert);
    return x509.checkPrivateKey(createPrivateKey(key)) ? { key, cert, x509 } : 'unreadable';
  } catch (error) {
    return systemCode(error) === 'ENOENT' ? 'missing' : 'unreadable';
  }
}

function whyAnew(
  kept: Awaited<ReturnType<typeof readKept>>,
  addresses: readonly string[],
  now: Date,
): Certificate['made'] {
  if (typeof kept === 'string') return kept === 'missing' ? 'first' : kept;
  const { x509 } = kept;
  const early = now.getTime() < Date.parse(x509.validFrom);
  if (early || Date.parse(x509.validTo) - now.getTime() < LEAST_DAYS * DAY_MS) return 'ran-out';
  return [...LOOPBACK, ...addresses].every((address) => x509.checkIP(address)) ? null : 'new-address';
}

function addressesOf({ subjectAltName }: X509Certificate): string[] {
  return (subjectAltName ?? '')
    .split(', ')
    .flatMap((entry) => /^IP Address:(.+)$/.exec(entry)?.[1].toLowerCase() ?? []);
}

async function make(addresses: readonly string[], now: Date): Promise<{ key: string; cert: string }> {
  // Loaded only here: it is large, and no other command needs it.
  const { generate } = await import('selfsigned');
  const made = await generate([{ name: 'commonName', value: 'Evenfall on this network' }], {
    keyType: 'ec',
    algorithm: 'sha256',
    // A clock a little behind must not find it not yet valid.
    notBeforeDate: new Date(now.getTime() - DAY_MS),
    notAfterDate: new Date(now.getTime() + VALID_DAYS * DAY_MS),
    extensions: [
      { name: 'basicConstraints', cA: false, critical: true },
      { name: 'keyUsage', digitalSignature: true, critical: true },
      { name: 'extKeyUsage', serverAuth: true },
      {
        name: 'subjectAltName',
        altNames: [
          ...NAMES.map((value) => ({ type: 2 as const, value })),
          ...addresses.map((ip) => ({ type: 7 as const, ip })),
        ],
      },
    ],
  });
  return { key: made.private, cert: made.cert };
}

/** Written beside and moved into place: never half there, never readable by others. */
async function writePrivate(folder: string, file: string, text: string): Promise<void> {
  await makeFolder(folder);
  await chmod(folder, PRIVATE_FOLDER);
  const beside = `${file}.${randomUUID()}`;
  try {
    await writeFile(beside, text, { mode: PRIVATE_FILE, flag: 'wx' });
    await rename(beside, file);
  } catch (error) {
    await rm(beside, { force: true });
    throw error;
  }
}
