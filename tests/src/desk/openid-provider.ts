import { generateKeyPairSync } from 'node:crypto';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { ProviderSettings } from '#src/desk/identity-provider.ts';

/** The part of oidc-provider that is used here; the package brings no types. */
interface Provider {
  callback(): (req: IncomingMessage, res: ServerResponse) => void;
  interactionFinished(req: IncomingMessage, res: ServerResponse, result: object): Promise<void>;
}

interface GrantContext {
  readonly oidc: {
    readonly client: { readonly clientId: string };
    readonly session: { readonly accountId: string };
    readonly provider: {
      readonly Grant: new (of: object) => { addOIDCScope(scope: string): void; save(): Promise<string> };
    };
  };
}

export interface OpenProvider {
  readonly settings: ProviderSettings;
  /** Who presses the button there, and what the provider says of them. */
  person: { readonly sub: string; readonly name: string; readonly groups?: readonly string[] };
  stop(): Promise<void>;
}

const SECRET = 'a secret of the client, long enough for tests';

/** A real OpenID provider (the package oidc-provider) on this machine, with one page on which a person agrees. */
export async function openProvider(redirectUri: string): Promise<OpenProvider> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', () => resolve()));
  const issuer = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const open: OpenProvider = {
    settings: {
      issuer,
      clientId: 'desk',
      clientSecret: SECRET,
      scopes: 'openid profile',
      roleClaim: 'groups',
      roles: { coordinator: ['seat-leads'], technician: ['seat-technicians'], 'read-only': [] },
    },
    person: { sub: 'u1', name: 'Sam' },
    stop: async () => {
      server.closeAllConnections();
      await new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
  const { privateKey } = generateKeyPairSync('rsa', { modulusLength: 2048 });
  const { default: Made } = (await import('oidc-provider' as string)) as {
    default: new (issuer: string, configuration: object) => Provider;
  };
  const provider = new Made(issuer, {
    clients: [{ client_id: 'desk', client_secret: SECRET, redirect_uris: [redirectUri] }],
    jwks: { keys: [{ ...privateKey.export({ format: 'jwk' }), use: 'sig', alg: 'RS256', kid: 'k' }] },
    cookies: { keys: [SECRET] },
    claims: { openid: ['sub'], profile: ['name', 'groups'] },
    pkce: { required: () => true },
    features: { devInteractions: { enabled: false } },
    interactions: { url: (_ctx: unknown, { uid }: { uid: string }) => `/interaction/${uid}` },
    findAccount: (_ctx: unknown, id: string) => ({ accountId: id, claims: () => ({ ...open.person, sub: id }) }),
    loadExistingGrant: async ({ oidc }: GrantContext) => {
      const grant = new oidc.provider.Grant({ clientId: oidc.client.clientId, accountId: oidc.session.accountId });
      grant.addOIDCScope('openid profile');
      await grant.save();
      return grant;
    },
  });
  const rest = provider.callback();
  server.on('request', (req: IncomingMessage, res: ServerResponse) => {
    if (!req.url?.startsWith('/interaction/')) return rest(req, res);
    if (req.method === 'POST')
      return void provider.interactionFinished(req, res, { login: { accountId: open.person.sub } });
    res.setHeader('content-type', 'text/html');
    res.end('<!doctype html><title>Provider</title><form method="post"><button>Continue</button></form>');
  });
  return open;
}
