import { createSign, generateKeyPairSync, type KeyObject } from 'node:crypto';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface TokenIssuer {
  readonly issuer: string;
  readonly keysUrl: string;
  /** A signed token (RFC 7519, RS256); `key` absent: the key that is listed. */
  token(claims: object, key?: KeyObject): string;
  close(): void;
}

export const anotherKey = (): KeyObject => generateKeyPairSync('rsa', { modulusLength: 2048 }).privateKey;

const part = (value: object): string => Buffer.from(JSON.stringify(value)).toString('base64url');

/** An issuer of tokens with its OpenID metadata and its keys, run here. */
export async function tokenIssuer(): Promise<TokenIssuer> {
  const { privateKey, publicKey } = generateKeyPairSync('rsa', { modulusLength: 2048 });
  const jwk = { ...publicKey.export({ format: 'jwk' }), kid: 'k1', use: 'sig' };
  const server = createServer((req, res) => {
    const base = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
    res.setHeader('Content-Type', 'application/json');
    res.end(JSON.stringify(req.url === '/keys' ? { keys: [jwk] } : { issuer: base, jwks_uri: `${base}/keys` }));
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  const issuer = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  return {
    issuer,
    keysUrl: `${issuer}/.well-known/openid-configuration`,
    token(claims, key = privateKey) {
      const signed = `${part({ alg: 'RS256', typ: 'JWT', kid: 'k1' })}.${part(claims)}`;
      return `${signed}.${createSign('RSA-SHA256').update(signed).sign(key, 'base64url')}`;
    },
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
