import { describe, expect, it } from 'vitest';
import es from '#locales/es/take-home.json' with { type: 'json' };
import { createEars } from '#src/locales/ears.ts';
import { newReference } from '#src/turns/reference.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';
import { type Browsing, type OpenDesk, openDesk } from './open-desk.ts';

const token = (html: string): string => /name="token" value="([^"]+)"/.exec(html)?.[1] ?? '';
const lineIds = (html: string): string[] =>
  [...html.matchAll(/name="line" value="([^"]+)"/g)].map(([, id]) => id as string);

/** Loads the thread and sends its form for free words. */
async function write(browser: Browsing, path: string, text: string) {
  const { html } = await browser.get(path);
  return browser.post(path, { token: token(html), does: 'write', line: lineIds(html)[0] ?? '', text });
}

/** A family that writes in Spanish, has agreed, and is being asked; and how it writes on. */
async function aFamily(desk: OpenDesk) {
  let ids = 0;
  const turns = createTurns({
    conversations: desk.store.conversations,
    voice: createVoice(createWords()),
    ears: createEars(),
    clock: () => desk.clock.now,
    newReference,
    newId: () => `b${++ids}`,
  });
  const start = { conversationId: 'k1', channel: 'direct-line', language: 'es' } as const;
  await turns.open(start);
  const say = async (text: string) => (await turns.handle({ ...start, activityId: `c:${++ids}`, text })).reply;
  await say('yes');
  const reference = (await desk.store.cases.referencesOf('k1'))[0] ?? '';
  const path = `/desk/cases/${reference}/thread`;
  const lines = async () => (await desk.store.conversations.thread('k1', 0)).filter(({ text }) => text !== '');
  const said = async () => (await lines()).filter(({ from }) => from === 'technician').map(({ text }) => text);
  const audited = async () => (await desk.store.audit.of(reference)).map(({ action }) => action);
  return { say, path, reference, lines, said, audited };
}

describe('the thread at the desk', () => {
  it('shows what was said, takes the conversation over with a line, and keeps the bot silent until it is handed back', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    expect((await browser.get(`/desk/cases/${family.reference}`)).html).toContain(`href="${family.path}"`);
    expect(await write(browser, family.path, 'I can help you.\r\nWhat seat is it?')).toMatchObject({
      status: 303,
    });
    expect(await desk.store.conversations.load('k1')).toMatchObject({ state: 'person' });
    expect(await family.said()).toEqual(['I can help you.\nWhat seat is it?']);
    expect(await family.say('Es gris')).toMatchObject({ say: [], asking: null, choices: [{ id: 'continue' }] });
    expect((await family.lines()).at(-1)).toMatchObject({ from: 'caregiver', text: 'Es gris' });
    const { html } = await browser.get(family.path);
    expect(html).toContain('Es gris');
    expect(html).toContain('as written, language not known to the system');

    await browser.post(family.path, { token: token(html), does: 'hand-back' });
    expect(await desk.store.conversations.load('k1')).toMatchObject({ state: 'talking' });
    expect((await family.lines()).at(-1)).toMatchObject({ from: 'bot', reply: { asking: 'child-count' } });
    expect(await family.audited()).toEqual([
      'case-viewed',
      'thread-viewed',
      'message-sent',
      'thread-viewed',
      'handed-back',
    ]);
    expect(await desk.store.outbox.counts()).toEqual(await (await openDesk()).store.outbox.counts());
  });

  it('handed back after the summary was sent, asks for no second consent and sends nothing again', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    let reply = await family.say('1');
    for (let turns = 0; turns < 60 && !reply.done; turns++)
      reply = await family.say(reply.asking === 'review' ? 'yes' : 'no sé');
    expect(await desk.store.conversations.load('k1')).toMatchObject({ state: 'sent' });
    const sent = await desk.store.outbox.counts();
    await write(browser, family.path, '¿Puede venir a las diez?');
    await family.say('Sí');
    const { html } = await browser.get(family.path);
    await browser.post(family.path, { token: token(html), does: 'hand-back' });
    expect(await desk.store.conversations.load('k1')).toMatchObject({ state: 'sent' });
    expect((await family.lines()).at(-1)).toMatchObject({ from: 'bot', reply: { asking: null, done: true } });
    expect(await desk.store.outbox.counts()).toEqual(sent);
    expect(await family.say('Mi hija pesa 12 kg')).not.toMatchObject({ say: [] });
  });

  it("stands on the case's own page too: its last lines, and a box that leads back there", async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    const page = `/desk/cases/${family.reference}`;
    await family.say('<b>dos</b>');
    const { html } = await browser.get(page);
    expect(html).toContain('&lt;b&gt;dos');
    const form = { token: token(html), does: 'write', from: 'case', line: lineIds(html)[0] ?? '', text: 'Hola' };
    const sent = await browser.post(family.path, form);
    expect(sent.headers.get('location')).toBe(`${page}#thread`);
    expect((await browser.get(page)).html).toContain('Hola');
    const reader = await desk.as('read-only');
    const seen = (await reader.get(page)).html;
    expect([seen.includes('Hola'), seen.includes('<textarea')]).toEqual([true, false]);
  });

  it('lets the caregiver go on with the questions, and answers an emergency though a person has it', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    await write(browser, family.path, 'Hola');
    expect((await family.say('acabamos de chocar y el niño no respira')).say.length).toBeGreaterThan(0);
    expect(await desk.store.conversations.load('k1')).toMatchObject({ state: 'person' });
    expect(await desk.store.outbox.counts()).toEqual([{ destination: null, state: 'waiting', count: 1 }]);
    expect(await family.say('continue')).toMatchObject({ asking: 'child-count' });
  });

  it("sends a ready-made phrase in the caregiver's language, and offers it in the desk's", async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    const { html } = await browser.get(family.path);
    expect(html).toContain('Please bring the seat, its manual, and your car&#39;s manual.');
    const ready = { token: token(html), does: 'ready', line: lineIds(html)[1] ?? '', phrase: 'bring-manuals' };
    await browser.post(family.path, ready);
    await browser.post(family.path, ready);
    expect(await family.said()).toEqual([es.phrase['bring-manuals']]);
    expect((await browser.post(family.path, { ...ready, phrase: '__proto__' })).status).toBe(422);
  });

  it('keeps the lines of two technicians who write at once, in one order, and who wrote them', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const [one, other] = [await desk.signedIn(), desk.browse()];
    await other.send('/desk/sign-in', { name: 'Robin Ash', password: 'a calm green meadow' });
    const answers = await Promise.all([write(one, family.path, 'first'), write(other, family.path, 'second')]);
    expect(answers.map(({ status }) => status)).toEqual([303, 303]);
    expect((await family.said()).sort()).toEqual(['first', 'second']);
    const thread = await desk.store.conversations.thread('k1', 0);
    expect(thread.map(({ seq }) => seq)).toEqual(thread.map((_, index) => index + 1));
    const sent = (await desk.store.audit.of(family.reference)).filter(({ action }) => action === 'message-sent');
    expect(sent.map(({ accountId }) => typeof accountId)).toEqual(['string', 'string']);
  });

  it('says that a conversation was deleted meanwhile, and makes nothing anew', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    const { html } = await browser.get(family.path);
    await family.say('delete');
    await family.say('yes');
    const before = await desk.store.conversations.thread('k1', 0);
    for (const does of ['write', 'hand-back']) {
      const answer = await browser.post(family.path, { token: token(html), does, text: 'Hello?' });
      expect([answer.status, answer.html.includes('is not there any more')]).toEqual([410, true]);
    }
    expect(await desk.store.conversations.thread('k1', 0)).toEqual(before);
    expect((await browser.get('/desk/cases/NONE-NONE/thread')).status).toBe(410);
  });

  it('takes nothing from a form that is not its own, nor without a session', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    expect((await browser.post(family.path, { does: 'write', text: 'Hello' })).status).toBe(403);
    const stranger = await desk.browse().post(family.path, { does: 'write', text: 'Hello' });
    expect([stranger.status, stranger.headers.get('location')]).toEqual([
      303,
      `/desk/sign-in?next=${encodeURIComponent(family.path)}`,
    ]);
    expect(await family.said()).toEqual([]);
  });

  it('escapes what anybody wrote, and keeps what is too long in the form', async () => {
    const desk = await openDesk();
    const family = await aFamily(desk);
    const browser = await desk.signedIn();
    const hostile = '<script>alert("x")</script></textarea>\u202e';
    await write(browser, family.path, hostile);
    await family.say(hostile);
    const { html } = await browser.get(family.path);
    expect(html).not.toContain('<script>alert');
    expect(html.split('&lt;script&gt;alert(&quot;x&quot;)').length).toBe(3);
    const long = await write(browser, family.path, `</textarea>${'a'.repeat(2000)}`);
    expect(long.status).toBe(422);
    expect(long.html).toContain(`&lt;/textarea&gt;${'a'.repeat(2000)}</textarea>`);
    expect(await write(browser, family.path, ' \n ')).toMatchObject({ status: 422 });
  });
});
