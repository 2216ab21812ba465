/**
 * Listening: the page in plain text for this computer alone, and encrypted for the private networks that it is in.
 */

import { createServer as createPlain, type RequestListener } from 'node:http';
import { createServer as createSecure } from 'node:https';
import { createServer, type AddressInfo, type Server, type Socket } from 'node:net';
import { Refusal, systemCode } from '../refusal.ts';
import { inUrl } from './addresses.ts';
import { HEADERS } from './policy.ts';

const LOOPBACK = ['127.0.0.1', '::1'];
/** First byte of an encrypted connection: a handshake record (RFC 8446, 5.1). */
const HANDSHAKE = 22;
/** Who connects and then says nothing is let go after this. */
const PATIENCE_MS = 30_000;

export interface Listening {
  readonly port: number;
  /** Ends all connections; resolves when the ports are free. */
  close(): Promise<void>;
}

export interface Secured {
  readonly addresses: readonly string[];
  readonly key: string;
  readonly cert: string;
}

/**
 * Serves on localhost, and where `secured` is given encrypted on those addresses, all at one port.
 *
 * @param port - 0 for any that is free.
 * @throws Refusal if the port is taken or not allowed; nothing is left listening then.
 */
export async function listen(answer: RequestListener, port: number, secured: Secured | null): Promise<Listening> {
  const doors: Door[] = [];
  const open = async (door: Door, address: string): Promise<void> => {
    await bound(door.server, doors[0] ? portOf(doors[0].server) : port, address);
    doors.push(door);
  };
  const close = async () => void (await Promise.all(doors.map(closed)));
  try {
    for (const address of LOOPBACK) {
      await open(plainDoor(answer), address).catch((error: unknown) => {
        // A computer without the newer kind of address has none to listen on.
        if (address === LOOPBACK[0] || !isAbsent(error)) throw error;
      });
    }
    for (const address of secured?.addresses ?? []) await open(secureDoor(answer, secured!), address);
  } catch (error) {
    await close();
    throw refusalOf(error, port);
  }
  return { port: portOf(doors[0].server), close };
}

/** A server with the connections that it holds. */
interface Door {
  readonly server: Server;
  readonly sockets: Set<Socket>;
}

function plainDoor(answer: RequestListener): Door {
  return counted(createPlain(answer));
}

/**
 * Encrypted; who comes in plain text, because "https://" was left out, is sent to the encrypted page.
 */
function secureDoor(answer: RequestListener, { key, cert }: Secured): Door {
  const secure = createSecure({ key, cert, minVersion: 'TLSv1.2' }, answer);
  const plain = createPlain((request, response) => {
    const host = request.headers.host ?? `${inUrl(request.socket.localAddress ?? '')}:${request.socket.localPort}`;
    // The host comes from outside: only what can be one is sent back.
    const place = /^[\w.:[\]-]+$/.test(host) ? `https://${host}/` : null;
    response.writeHead(place ? 307 : 400, { ...HEADERS, ...(place && { Location: place }) }).end();
  });
  const server = createServer((socket) => {
    socket.on('error', () => socket.destroy());
    socket.setTimeout(PATIENCE_MS, () => socket.destroy());
    socket.once('readable', () => {
      const first = socket.read(1) as Buffer | null;
      if (first === null) return;
      socket.setTimeout(0);
      socket.unshift(first);
      (first[0] === HANDSHAKE ? secure : plain).emit('connection', socket);
    });
  });
  return counted(server);
}

function counted(server: Server): Door {
  const sockets = new Set<Socket>();
  server.on('connection', (socket) => {
    sockets.add(socket);
    socket.once('close', () => sockets.delete(socket));
  });
  return { server, sockets };
}

function bound(server: Server, port: number, host: string): Promise<void> {
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ port, host }, () => {
      server.removeListener('error', reject);
      resolve();
    });
  });
}

function closed({ server, sockets }: Door): Promise<void> {
  return new Promise((resolve) => {
    server.close(() => resolve());
    for (const socket of sockets) socket.destroy();
  });
}

function portOf(server: Server): number {
  return (server.address() as AddressInfo).port;
}

function isAbsent(error: unknown): boolean {
  return ['EADDRNOTAVAIL', 'EAFNOSUPPORT', 'EINVAL'].includes(systemCode(error) ?? '');
}

/**
 * Another port is never taken instead: what a browser keeps belongs to the address, port included, so that visits kept
 * there would seem lost.
 */
function refusalOf(error: unknown, port: number): unknown {
  switch (systemCode(error)) {
    case 'EADDRINUSE':
      return new Refusal(
        `port ${port}`,
        'taken by another program, perhaps by Evenfall itself, already running',
        'a free port: end that program, or name another with --port (visits kept in a browser stay with the old one)',
      );
    case 'EACCES':
      return new Refusal(`port ${port}`, 'not allowed for this user', 'a port from 1024: name another with --port');
    default:
      return error;
  }
}
