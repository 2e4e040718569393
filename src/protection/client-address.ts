import { BlockList, isIP, SocketAddress } from 'node:net';

const MAX_PREFIX = { 4: 32, 6: 128 } as const;

const familyOf = (address: string): 'ipv4' | 'ipv6' => (isIP(address) === 4 ? 'ipv4' : 'ipv6');

/** An address as text without brackets, port of IPv4, or the IPv6 writing of an IPv4 address; null for anything else. */
function plainAddress(text: string): string | null {
  const bare = text
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .replace(/^\[([^\]]+)\](?::\d+)?$/, '$1')
    .replace(/^(\d+\.\d+\.\d+\.\d+):\d+$/, '$1')
    .replace(/^::ffff:(?=\d+\.)/i, '')
    .replace(/%.*$/, '');
  return isIP(bare) === 0 ? null : bare;
}

/** Whether `text` is an address, or a network as `10.0.0.0/8` writes it. */
export function isNetwork(text: string): boolean {
  const [address = '', prefix, ...rest] = text.split('/');
  const version = isIP(address);
  if (version === 0 || rest.length > 0) return false;
  return prefix === undefined || (/^\d{1,3}$/.test(prefix) && Number(prefix) <= MAX_PREFIX[version === 4 ? 4 : 6]);
}

/** Addresses and networks of our own proxies, each checked by `isNetwork`. */
export function blockListOf(networks: readonly string[]): BlockList {
  const list = new BlockList();
  for (const network of networks) {
    const [address = '', prefix] = network.split('/');
    if (prefix === undefined) list.addAddress(address, familyOf(address));
    else list.addSubnet(address, Number(prefix), familyOf(address));
  }
  return list;
}

const inList = (list: BlockList, address: string): boolean => list.check(address, familyOf(address));

/**
 * Who made a request: the peer itself, or where the peer is one of our proxies the last address of X-Forwarded-For that
 * is not. What stands before that was written by the sender and proves nothing. Null when no address can be told.
 */
export function clientAddress(
  peer: string | undefined,
  forwardedFor: string | undefined,
  proxies: BlockList,
): string | null {
  let address = plainAddress(peer ?? '');
  const hops = (forwardedFor ?? '').split(',').toReversed();
  for (const hop of hops) {
    if (address === null || !inList(proxies, address)) return address;
    const before = plainAddress(hop);
    if (before === null) return address;
    address = before;
  }
  return address;
}

/** The key of an address: a home has one IPv4 address, or a whole IPv6 network of 64 bits. */
export function addressKey(address: string): string {
  if (isIP(address) === 4) return address;
  // Written out in one way, so that no other writing of an address is another key.
  const [head = '', tail = ''] = new SocketAddress({ address, family: 'ipv6' }).address.split('::');
  const first = head === '' ? [] : head.split(':');
  const last = tail === '' ? [] : tail.split(':');
  const groups = [...first, ...Array.from({ length: Math.max(0, 8 - first.length - last.length) }, () => '0'), ...last];
  return `${groups.slice(0, 4).join(':')}::/64`;
}
