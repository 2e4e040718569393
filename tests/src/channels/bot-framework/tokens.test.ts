// What a token of the connector service must hold: learn.microsoft.com/azure/bot-service/rest-api/
// bot-framework-rest-connector-authentication, "Authenticate requests from the Bot Connector service to your bot".
import { AppCredentials } from 'botframework-connector';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { createProactive } from '#src/channels/bot-framework/write-to.ts';
import { createLog } from '#src/log.ts';
import { type FakeConnector, fakeConnector } from '../../support/fake-connector.ts';
import { type RunningServer, startServer } from '../../support/start-server.ts';
import { anotherKey, type TokenIssuer, tokenIssuer } from '../../support/token-issuer.ts';

const APP_ID = '11111111-1111-1111-1111-111111111111';
const TENANT = '22222222-2222-2222-2222-222222222222';

let issuer: TokenIssuer;
let connector: FakeConnector;
let server: RunningServer;

const app = () => ({
  appId: APP_ID,
  appPassword: 'p',
  tenantId: TENANT,
  cloud: { issuer: issuer.issuer, keysUrl: issuer.keysUrl, loginUrl: 'https://login.example.org/t' },
});

beforeAll(async () => {
  // The SDK writes why it refuses a token to the console.
  vi.spyOn(console, 'error').mockImplementation(() => {});
  issuer = await tokenIssuer();
  connector = await fakeConnector();
  server = await startServer({ config: { app: app() } });
});

afterAll(async () => {
  await server.stop();
  connector.close();
  issuer.close();
  vi.restoreAllMocks();
});

const now = () => Math.floor(Date.now() / 1000);

const claims = (over: object = {}) => ({
  iss: issuer.issuer,
  aud: APP_ID,
  serviceurl: connector.url,
  nbf: now() - 60,
  exp: now() + 3600,
  ...over,
});

let ids = 0;

async function post(authorization: string | null, url = server.url, conversation = `c${ids}`) {
  const response = await fetch(`${url}/api/messages`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', ...(authorization !== null && { Authorization: authorization }) },
    body: JSON.stringify({
      type: 'message',
      id: `a${++ids}`,
      channelId: 'msteams',
      serviceUrl: connector.url,
      deliveryMode: 'expectReplies',
      conversation: { id: conversation },
      from: { id: 'u1' },
      recipient: { id: 'bot' },
      text: 'hello',
    }),
  });
  return { status: response.status, body: (await response.json()) as { activities?: unknown[]; error?: object } };
}

it('lets in whoever has a good token', async () => {
  const { status, body } = await post(`Bearer ${issuer.token(claims())}`);
  expect(status).toBe(200);
  expect(body.activities?.length).toBeGreaterThan(0);
});

/** The last part replaced by nothing, as a token of "alg":"none" has it. */
const unsigned = () => {
  const [, payload] = issuer.token(claims()).split('.');
  return `${Buffer.from('{"alg":"none","typ":"JWT","kid":"k1"}').toString('base64url')}.${payload}.`;
};

it.each([
  ['no token', () => null],
  ['a token without a signature', () => `Bearer ${unsigned()}`],
  ['a token that has expired', () => `Bearer ${issuer.token(claims({ nbf: now() - 7200, exp: now() - 3600 }))}`],
  ['a token that is not valid yet', () => `Bearer ${issuer.token(claims({ nbf: now() + 3600 }))}`],
  ['a token for another bot', () => `Bearer ${issuer.token(claims({ aud: TENANT }))}`],
  ['a token of another issuer', () => `Bearer ${issuer.token(claims({ iss: 'https://api.botframework.com' }))}`],
  ['a token for another service address', () => `Bearer ${issuer.token(claims({ serviceurl: 'https://x.example' }))}`],
  ['a token that another key signed', () => `Bearer ${issuer.token(claims(), anotherKey())}`],
  ['a token altered after it was signed', () => `Bearer ${issuer.token(claims()).replace(/^([^.]+)\.(.)/, '$1.f')}`],
  ['a good token under another scheme', () => `Basic ${issuer.token(claims())}`],
])('refuses %s with 401 and does nothing', async (_what, authorization) => {
  const before = server.conversations.handled.length;
  const { status, body } = await post(authorization());
  expect(status).toBe(401);
  expect(body.error).toEqual({
    code: 'Unauthorized',
    message: 'The token of the request is missing or not valid.',
  });
  expect(server.conversations.handled).toHaveLength(before);
});

it('limits the messages of one conversation, and lets nobody without a token use them up', async () => {
  const limited = await startServer({
    config: { app: app(), rateLimits: { perAddress: null, perConversation: 2 } },
    clock: () => new Date('2026-05-16T12:00:00Z'),
  });
  const say = async (token: string, conversation = 'c') =>
    (await post(`Bearer ${token}`, limited.url, conversation)).status;
  const good = issuer.token(claims());
  const forged = issuer.token(claims(), anotherKey());
  expect([await say(forged), await say(forged), await say(forged)]).toEqual([401, 401, 401]);
  expect([await say(good), await say(good), await say(good)]).toEqual([200, 200, 429]);
  expect(await say(good, 'd')).toBe(200);
  await limited.stop();
});

it('writes out of turn with a token of its own', async () => {
  // The SDK asks for it over TLS at the login address, which a test cannot be; so its cache is given one.
  const cache = (AppCredentials as unknown as { cache: Map<string, object> }).cache;
  const get = vi.spyOn(cache, 'get').mockReturnValue({ accessToken: 'our-token', expiresOn: new Date(2e15) });
  const sent = await createProactive(app(), createLog('silent')).post(
    { channelId: 'msteams', serviceUrl: connector.url, conversation: { id: 'c1' } as never, bot: { id: 'b' } as never },
    { type: 'message', text: 'Here I am.' },
  );
  expect(sent).toEqual({ ok: true });
  expect(get).toHaveBeenCalledWith(expect.stringContaining(APP_ID));
  expect(connector.posted.map(({ authorization }) => authorization)).toEqual(['Bearer our-token']);
});
