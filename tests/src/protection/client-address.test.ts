import { describe, expect, it } from 'vitest';
import { addressKey, blockListOf, clientAddress, isNetwork } from '#src/protection/client-address.ts';

// The addresses are those that RFC 5737 and RFC 3849 set apart for examples.
const none = blockListOf([]);
const ours = blockListOf(['127.0.0.1', '10.0.0.0/8', '2001:db8:aaaa::/48']);

describe('the address of who asks', () => {
  it('is the peer, whatever it writes in the header, when no proxy is trusted', () => {
    expect(clientAddress('192.0.2.7', '203.0.113.1', none)).toBe('192.0.2.7');
    expect(clientAddress('127.0.0.1', '203.0.113.1', none)).toBe('127.0.0.1');
  });

  it.each([
    ['one proxy', '127.0.0.1', '203.0.113.1', '203.0.113.1'],
    ['two proxies', '127.0.0.1', '203.0.113.1, 10.1.2.3', '203.0.113.1'],
    ['a sender who writes a header before', '10.0.0.1', '198.51.100.9, 127.0.0.1, 203.0.113.1', '203.0.113.1'],
    ['nonsense where the sender should stand', '127.0.0.1', '203.0.113.1, <script>', '127.0.0.1'],
    ['a proxy that says nothing', '127.0.0.1', undefined, '127.0.0.1'],
    ['a peer that is no proxy', '192.0.2.7', '203.0.113.1', '192.0.2.7'],
    ['IPv4 written as IPv6', '::ffff:127.0.0.1', '::ffff:203.0.113.1', '203.0.113.1'],
    ['a port', '127.0.0.1', '203.0.113.1:4711', '203.0.113.1'],
    ['IPv6 in brackets with a port', '2001:db8:aaaa::1', '[2001:db8:1::5]:4711', '2001:db8:1::5'],
    ['proxies all the way', '127.0.0.1', '10.0.0.2', '10.0.0.2'],
  ])('behind trusted proxies is right with %s', (_what, peer, header, expected) => {
    expect(clientAddress(peer, header, ours)).toBe(expected);
  });

  it('is null when there is no peer', () => {
    expect(clientAddress(undefined, '203.0.113.1', ours)).toBeNull();
  });
});

describe('the key of an address', () => {
  it('is one for a network of 64 bits of IPv6, however it is written', () => {
    const same = ['2001:db8:1:2::1', '2001:DB8:1:2:ffff:ffff:ffff:ffff', '2001:0db8:0001:0002:0:0:0:9'];
    expect(new Set(same.map(addressKey))).toEqual(new Set(['2001:db8:1:2::/64']));
    expect(addressKey('2001:db8:1:3::1')).not.toBe(addressKey('2001:db8:1:2::1'));
    expect(addressKey('2001:db8::1')).toBe('2001:db8:0:0::/64');
    expect(addressKey('::1')).toBe('0:0:0:0::/64');
  });

  it('is the address itself for IPv4', () => {
    expect(addressKey('192.0.2.7')).toBe('192.0.2.7');
  });
});

it.each([
  ['192.0.2.0/24', true],
  ['192.0.2.1', true],
  ['2001:db8::/32', true],
  ['192.0.2.0/33', false],
  ['2001:db8::/129', false],
  ['192.0.2.0/', false],
  ['192.0.2.0/8/8', false],
  ['proxy.example.org', false],
  ['', false],
])('%s as a network: %s', (text, expected) => {
  expect(isNetwork(text)).toBe(expected);
});
