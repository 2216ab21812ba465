/**
 * `evenfall serve`: the built page on this computer, and with `--lan` for a phone in the same network.
 */

import { spawn } from 'node:child_process';
import { join } from 'node:path';
import { Command, InvalidArgumentError } from 'commander';
import { openOutput } from './output.ts';
import { Refusal } from './refusal.ts';
import { inUrl, privateAddresses } from './serving/addresses.ts';
import { answerFrom } from './serving/appFolder.ts';
import { certificateIn, dataFolder, type Certificate } from './serving/certificate.ts';
import { listen } from './serving/listen.ts';

const USUAL_PORT = 8808;
/** Stands two folders up in the source and when built. */
const APP_FOLDER = join(import.meta.dirname, '..', '..', 'dist', 'app');

interface ServeFlags {
  readonly port: number;
  readonly lan?: boolean;
  readonly open?: boolean;
}

/** The command; `finish` is told the exit code when it is ended. */
export function serveCommand(finish: (exitCode: number) => void): Command {
  return new Command('serve')
    .summary('show the page in a browser, here or on a phone')
    .description(
      'Serves the built page to browsers on this computer. It listens and judges in the browser: no sound leaves the device.',
    )
    .option('--port <number>', 'port to serve at; 0 for any that is free', parsePort, USUAL_PORT)
    .option(
      '--lan',
      'serve phones in the same network too, encrypted with a certificate that this computer makes itself',
    )
    .option('--open', 'open the page in this computer’s browser')
    .addHelpText(
      'after',
      `
Examples:
  evenfall serve
  evenfall serve --lan
  evenfall serve --port 9000 --open

It runs until Ctrl-C. Exit code: 0 ended; 2 bad arguments, port taken, no built page or no private network; 1 a fault of
the program.`,
    )
    .action(async (flags: ServeFlags) => finish(await run(flags)));
}

async function run({ port, lan, open }: ServeFlags): Promise<number> {
  const answer = answerFrom(APP_FOLDER);
  const addresses = lan ? reachable() : [];
  const certificate = lan ? await certificateIn(dataFolder(), addresses) : null;
  const ended = signalled();
  const served = await listen(answer, port, certificate && { addresses, ...certificate });
  const home = `http://localhost:${served.port}/`;
  const output = await openOutput(undefined);
  await output.write(`${homeWords(home)}${certificate ? phoneWords(certificate, addresses, served.port) : ''}`);
  if (open) openBrowser(home);
  await ended;
  await served.close();
  await output.close();
  return 0;
}

function reachable(): string[] {
  const addresses = privateAddresses();
  if (addresses.length === 0) {
    throw new Refusal(
      '--lan',
      'this computer is in no private network',
      'the network that the phone is in: connect to it',
    );
  }
  return addresses;
}

/** What is said of the page on this computer. */
export function homeWords(home: string): string {
  return `Evenfall is at ${home}
Sound and records stay in the browser that shows it; nothing is sent anywhere. Ctrl-C ends it.
`;
}

/** What is said of the page on a phone: where it is, and what the phone will ask. */
export function phoneWords(
  { fingerprint, file, made }: Pick<Certificate, 'fingerprint' | 'file' | 'made'>,
  addresses: readonly string[],
  port: number,
): string {
  return `
On the phone, in the same network, type ${addresses.length === 1 ? 'this' : 'one of these'}, with https:// before it:
${addresses.map((address) => `  https://${inUrl(address)}:${port}/`).join('\n')}

The phone will say that it does not know the certificate, because this computer made it itself. Accept it there; then
the page may ask for the microphone, and listens. Installing the page, and using it without this computer, are only
possible from a host with a certificate that the phone trusts.
A browser keeps visits under the address that it was given: use the same one every time.

Certificate: ${file} (${MADE[made ?? 'kept']})
Its fingerprint (SHA-256), to compare with what the phone shows:
  ${fingerprint}
`;
}

const MADE: Readonly<Record<NonNullable<Certificate['made']> | 'kept', string>> = {
  kept: 'as before',
  first: 'made now',
  'ran-out': 'made anew: the old one was running out',
  'new-address': 'made anew: this computer has a new address',
  unreadable: 'made anew: the old one could not be read',
  'readable-by-others': 'made anew: others could read the old one’s key',
};

/** Resolves when the program is told to end; npm passes one Ctrl-C on a second time. */
function signalled(): Promise<void> {
  return new Promise((resolve) => {
    for (const name of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(name, () => resolve());
  });
}

function openBrowser(address: string): void {
  const child = spawn('xdg-open', [address], { stdio: 'ignore', detached: true });
  child.once('error', () => process.stderr.write(`evenfall: no xdg-open here; open ${address} by hand\n`));
  child.unref();
}

function parsePort(text: string): number {
  const port = Number(text);
  if (!/^\d+$/.test(text) || port > 65_535) throw new InvalidArgumentError('Expected a whole number from 0 to 65535.');
  return port;
}
