// The card's elements are those of Adaptive Cards 1.5 (adaptivecards.io/explorer); the browser test renders it with the
// public library.
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Finding } from '#shared/assessment.ts';
import { createProactive } from '#src/channels/bot-framework/write-to.ts';
import { teams } from '#src/handoff/teams.ts';
import { teamsCard } from '#src/handoff/teams-card.ts';
import { createLog } from '#src/log.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary, withPriority } from '../../factories/summary.ts';
import { type FakeConnector, fakeConnector } from '../support/fake-connector.ts';

const words = createWords();
const deskAddress = (reference: string) => `https://seats.example.org/desk/cases/${reference}`;
const card = (summary = aSummary(), language = 'en') =>
  teamsCard(summary, { kind: 'summary', words, language, deskAddress });

/** All texts of a card in their order. */
const textsOf = (node: unknown): string[] => {
  if (Array.isArray(node)) return node.flatMap(textsOf);
  if (typeof node !== 'object' || node === null) return [];
  const { text, title, value } = node as Record<string, unknown>;
  const own = [title, value, text].filter((one) => typeof one === 'string');
  return [...own, ...Object.values(node).flatMap((child) => (typeof child === 'object' ? textsOf(child) : []))];
};

const urgent = (name: string) => {
  const { case: facts, assessment } = aSummary();
  const finding: Finding = {
    code: 'seat-expired',
    urgency: 'before-next-trip',
    childId: 'c1',
    seatId: 's1',
    positionId: null,
    facts: ['seats.s1.expiryDate'],
    sources: ['S-012'],
  };
  const children = facts.children.map((child) => ({ ...child, name }));
  return aSummary({ case: { ...facts, children }, assessment: { ...assessment, findings: [finding] } });
};

describe('the card of a summary', () => {
  it('says first what cannot wait, then each child with the advised way of riding, what is unknown, the time and the way to the desk', () => {
    const { body, actions } = card(urgent('Wren'));
    const texts = textsOf(body).join('\n');
    const places = [
      'Cannot wait',
      'past its expiry',
      'Wren',
      'Rear-facing',
      'Verify first',
      'Seat 1: expiry',
      '34 min',
    ].map((what) => texts.search(new RegExp(what, 'i')));
    expect(places.every((at) => at >= 0)).toBe(true);
    expect(places.toSorted((a, b) => a - b)).toEqual(places);
    expect(body[0]).toMatchObject({ type: 'Container', style: 'attention' });
    expect(actions).toEqual([
      { type: 'Action.OpenUrl', title: 'Open at the desk', url: 'https://seats.example.org/desk/cases/KV7-2QM' },
    ]);
  });

  it('says so when nothing cannot wait, and never that a seat is safe', () => {
    expect(card().body[0]).toMatchObject({ style: 'emphasis' });
    const texts = textsOf(card()).join(' ');
    expect(texts).toContain('Nothing that cannot wait shows');
    expect(texts).not.toMatch(/\b(?:is|are) safe\b/i);
  });

  it('is in the language of the desk', () => {
    expect(card(aSummary(), 'es')).toMatchObject({ actions: [{ title: 'Abrir en el escritorio' }] });
  });

  it('has what a family typed only in runs, which are no Markdown, and calls no function of the renderer', () => {
    const hostile = '[x](https://evil.example) **b** {{DATE(2026-01-01T00:00:00Z)}} \u202eabc';
    const said = JSON.stringify(card(urgent(hostile)).body);
    const inRuns = [...said.matchAll(/"type":"TextRun"[^}]*?"text":"([^"]*evil[^"]*)"/g)];
    expect(inRuns.length).toBeGreaterThan(0);
    expect(said.match(/evil/g)).toHaveLength(inRuns.length);
    expect(said).not.toMatch(/\{\{|\u202e/);
  });
});

describe('the team', () => {
  let connector: FakeConnector;
  beforeAll(async () => {
    connector = await fakeConnector();
  });
  afterAll(() => connector.close());

  const send = () =>
    teams({
      team: { serviceUrl: connector.url, conversationId: '19:team@thread.tacv2' },
      appId: 'a',
      tenantId: 't',
      proactive: createProactive(null, createLog('silent')),
      words,
      language: 'en',
      deskAddress,
    })({ id: 'm1', kind: 'person-wanted', summary: withPriority('before-travel'), at: '2026-05-16T09:30:00.000Z' });

  it('gets the card in its conversation, as a message of its own', async () => {
    expect(await send()).toEqual({ ok: true });
    const [{ path, activity } = { path: '', activity: {} }] = connector.posted.splice(0);
    expect(path).toBe('/v3/conversations/19%3Ateam%40thread.tacv2/activities');
    expect(activity.attachments).toMatchObject([
      { contentType: 'application/vnd.microsoft.card.adaptive', content: { type: 'AdaptiveCard', version: '1.5' } },
    ]);
    expect(JSON.stringify(activity)).toContain('asks for a person');
  });

  it.each([
    [404, false],
    [403, false],
    [501, true],
  ])('answering %i is tried again: %s', async (status, retry) => {
    connector.answer(status);
    expect(await send()).toEqual({ ok: false, why: `answered ${status}`, retry });
  });
});
