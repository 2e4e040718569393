import { BlockList, isIP } from 'node:net';
import type { Request } from 'restify';

const loopback = new BlockList();
loopback.addSubnet('127.0.0.0', 8, 'ipv4');
loopback.addAddress('::1', 'ipv6');

/** True for an address of this machine's loopback interface, also IPv4 written as IPv6. */
export function isLoopbackAddress(address: string): boolean {
  const plain = address.replace(/^\[(.*)\]$/, '$1').replace(/^::ffff:(?=\d+\.)/i, '');
  const family = isIP(plain);
  return family !== 0 && loopback.check(plain, family === 4 ? 'ipv4' : 'ipv6');
}

/** True for an http(s) address on this machine. */
export function isLoopbackUrl(text: string): boolean {
  if (!URL.canParse(text)) return false;
  const { protocol, hostname } = new URL(text);
  return /^https?:$/.test(protocol) && (hostname === 'localhost' || isLoopbackAddress(hostname));
}

const FORWARDED = ['forwarded', 'x-forwarded-for', 'x-forwarded-host', 'x-real-ip', 'via'];

/**
 * True when the request was made on this machine. One that a proxy passed on was not, nor one
 * addressed by a name of somewhere else, as a page in a browser here could send.
 */
export function isLocalRequest(req: Request): boolean {
  if (FORWARDED.some((name) => req.headers[name] !== undefined)) return false;
  return isLoopbackAddress(req.socket.remoteAddress ?? '') && isLoopbackUrl(`http://${req.headers.host ?? ''}`);
}
