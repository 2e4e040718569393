import type { Configuration } from 'openid-client';
import type { Role } from '#src/store/accounts.ts';
import type { Flow } from './oidc-flow.ts';

/** A client at an OpenID provider, and which values of a claim give which role. */
export interface ProviderSettings {
  readonly issuer: string;
  readonly clientId: string;
  readonly clientSecret: string;
  readonly scopes: string;
  /** The claim that holds a person's groups or roles there; null: roles are given at the desk only. */
  readonly roleClaim: string | null;
  readonly roles: Readonly<Record<Role, readonly string[]>>;
}

/** Who the provider says somebody is. */
export interface Identity {
  /** Issuer and subject, which together name one person for good. */
  readonly key: string;
  readonly name: string;
  /** By the claim; null where it says nothing. */
  readonly role: Role | null;
}

/** `unreachable`: the provider does not answer; nobody is to blame. `refused`: what came back does not hold. */
export type Identified =
  | { readonly ok: true; readonly identity: Identity }
  | { readonly ok: false; readonly reason: 'unreachable' | 'refused' };

export interface IdentityProvider {
  /** Where to send the browser; null while the provider does not answer. */
  begin(flow: Flow, redirectUri: string): Promise<string | null>;
  /** Trades the code of the address that the browser came back to, checking state, nonce and PKCE. */
  finish(flow: Flow, address: URL): Promise<Identified>;
}

const TIMEOUT_SECONDS = 5;
const MAX_NAME = 60;

type Claims = Readonly<Record<string, unknown>>;

const textsIn = (value: unknown): readonly string[] =>
  (Array.isArray(value) ? value : [value]).filter((one): one is string => typeof one === 'string');

/** The highest role that the claim gives. */
export function roleIn(
  claims: Claims,
  { roleClaim, roles }: Pick<ProviderSettings, 'roleClaim' | 'roles'>,
): Role | null {
  const held = roleClaim === null ? [] : textsIn(claims[roleClaim]);
  const order: readonly Role[] = ['coordinator', 'technician', 'read-only'];
  return order.find((role) => roles[role].some((value) => held.includes(value))) ?? null;
}

function nameIn(claims: Claims): string {
  const said = [claims.name, claims.preferred_username, claims.email, claims.sub].flatMap(textsIn);
  const name = said.map((text) => text.replace(/\p{C}+/gu, ' ').trim()).find((text) => text !== '') ?? '?';
  return [...name].slice(0, MAX_NAME).join('');
}

/** Signing in by OpenID Connect: authorization code with PKCE, state and nonce (OpenID Connect Core 1.0, RFC 7636). */
export function createIdentityProvider(settings: ProviderSettings): IdentityProvider {
  const library = import('openid-client');
  let found: Promise<Configuration> | null = null;

  /** What discovery says, asked for once; asked for again after it failed. */
  const configuration = async (): Promise<Configuration> => {
    const client = await library;
    const issuer = new URL(settings.issuer);
    // Plain http is taken for this machine only; the settings refuse it elsewhere.
    const execute = issuer.protocol === 'http:' ? [client.allowInsecureRequests] : [];
    found ??= client
      .discovery(issuer, settings.clientId, settings.clientSecret, undefined, { execute, timeout: TIMEOUT_SECONDS })
      .catch((error: unknown) => {
        found = null;
        throw error;
      });
    return found;
  };

  return {
    async begin(flow, redirectUri) {
      const config = await configuration().catch(() => null);
      if (!config) return null;
      const client = await library;
      return client.buildAuthorizationUrl(config, {
        redirect_uri: redirectUri,
        scope: settings.scopes,
        response_type: 'code',
        state: flow.state,
        nonce: flow.nonce,
        code_challenge: await client.calculatePKCECodeChallenge(flow.verifier),
        code_challenge_method: 'S256',
      }).href;
    },

    async finish(flow, address) {
      const config = await configuration().catch(() => null);
      if (!config) return { ok: false, reason: 'unreachable' };
      const client = await library;
      try {
        const tokens = await client.authorizationCodeGrant(config, address, {
          expectedState: flow.state,
          expectedNonce: flow.nonce,
          pkceCodeVerifier: flow.verifier,
          idTokenExpected: true,
        });
        const claims = tokens.claims();
        if (!claims) return { ok: false, reason: 'refused' };
        const more = config.serverMetadata().userinfo_endpoint
          ? await client.fetchUserInfo(config, tokens.access_token, claims.sub)
          : {};
        const all: Claims = { ...more, ...claims };
        return {
          ok: true,
          identity: { key: `${claims.iss} ${claims.sub}`, name: nameIn(all), role: roleIn(all, settings) },
        };
      } catch (error) {
        const gone = error instanceof TypeError || (error as { name?: unknown }).name === 'TimeoutError';
        return { ok: false, reason: gone && !('code' in (error as object)) ? 'unreachable' : 'refused' };
      }
    },
  };
}
