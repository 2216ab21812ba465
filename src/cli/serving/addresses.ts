/**
 * The addresses of this machine that a phone in the same network can reach, and that nobody beyond it can.
 */

import { BlockList } from 'node:net';
import { networkInterfaces } from 'node:os';

/** Private networks: RFC 1918, RFC 3927 (no router gave an address), RFC 4193. */
const PRIVATE = new BlockList();
PRIVATE.addSubnet('10.0.0.0', 8, 'ipv4');
PRIVATE.addSubnet('172.16.0.0', 12, 'ipv4');
PRIVATE.addSubnet('192.168.0.0', 16, 'ipv4');
PRIVATE.addSubnet('169.254.0.0', 16, 'ipv4');
PRIVATE.addSubnet('fc00::', 7, 'ipv6');

/** True for an address of a private network. */
export function isPrivate(address: string): boolean {
  return PRIVATE.check(address, address.includes(':') ? 'ipv6' : 'ipv4');
}

/** The private addresses of this machine, those of the older, shorter kind first. */
export function privateAddresses(): string[] {
  const all = Object.values(networkInterfaces()).flatMap((found) => found ?? []);
  const own = all.filter(({ internal, address }) => !internal && isPrivate(address)).map(({ address }) => address);
  const long = (address: string) => (address.includes(':') ? 1 : 0);
  return [...new Set(own)].sort((a, b) => long(a) - long(b));
}

/** An address as it stands in a URL: the longer kind in brackets. */
export function inUrl(address: string): string {
  return address.includes(':') ? `[${address}]` : address;
}
