import { describe, expect, it } from 'vitest';
import type { PreVisitSummary } from '#shared/summary.ts';
import { aSummary } from '../../factories/summary.ts';
import { aTurn } from '../../factories/turn.ts';
import { openDesk } from './open-desk.ts';

const HOSTILE = `"><script src=//x.example></script><img src=x onerror=alert(1)>'\`{{t}}$t(page.menu)\u202E`;

/** A family whose every free text is hostile, in the fields the schema leaves to people. */
function hostileSummary(): PreVisitSummary {
  const good = aSummary();
  const child = { ...good.case.children[0], id: HOSTILE, name: HOSTILE, birthDate: '2024-03-10' };
  const clause = {
    id: HOSTILE,
    cite: HOSTILE,
    statute: HOSTILE,
    asOf: HOSTILE,
    seenAs: HOSTILE,
    confidence: HOSTILE,
    requires: HOSTILE,
    state: 'applies' as const,
    satisfied: false,
    unless: [HOSTILE],
  };
  const judged = good.assessment.children[0];
  if (!judged) throw new Error('the factory has a child');
  return aSummary({
    reference: HOSTILE,
    language: HOSTILE,
    channel: HOSTILE,
    event: HOSTILE,
    notes: HOSTILE,
    verifyFirst: [HOSTILE, `children.${HOSTILE}.weightKg`, `seats.${HOSTILE}.${HOSTILE}`],
    caregiverWords: [
      { asking: HOSTILE, text: HOSTILE, values: { [HOSTILE]: HOSTILE, list: [HOSTILE], chosen: [HOSTILE] } },
    ],
    case: {
      ...good.case,
      jurisdiction: '<b>"US',
      children: [child],
      seats: [
        { id: HOSTILE, description: HOSTILE, modelNumber: HOSTILE, modes: { 'rear-facing': { maxWeightKg: 18 } } },
      ],
      vehicle: { description: HOSTILE, vin: HOSTILE, positions: [{ id: HOSTILE, row: 2, side: 'left' }] },
      uses: [{ childId: HOSTILE, seatId: HOSTILE, positionId: HOSTILE }],
    },
    assessment: {
      ...good.assessment,
      children: [
        {
          ...judged,
          childId: HOSTILE,
          advice: { ...judged.advice, needs: [HOSTILE] },
          growth: { ...judged.growth, reference: HOSTILE },
          law: { status: 'does-not-meet', clauses: [clause] },
        },
      ],
      uses: [],
      findings: good.assessment.findings.map((finding) => ({
        ...finding,
        childId: HOSTILE,
        seatId: HOSTILE,
        positionId: HOSTILE,
        facts: [HOSTILE],
        sources: [HOSTILE],
      })),
      unknowns: [{ fact: HOSTILE, couldRaise: [HOSTILE, 'seat-expired'] }],
    },
  });
}

/** The tags of a page with their attributes' names, as a browser would take them. */
const tagsOf = (html: string): Set<string> =>
  new Set(
    [...html.matchAll(/<([a-zA-Z][\w-]*)((?:\s+[\w-]+(?:="[^"]*")?)*)\s*>/g)].map(
      ([, tag, attributes]) =>
        `${tag} ${[...(attributes ?? '').matchAll(/\s([\w-]+)(?:="[^"]*")?/g)].map(([, name]) => name)}`,
    ),
  );

describe('hostile text in every field', () => {
  it.each([
    ['the list', '/desk', 0, 1],
    [
      'the list searched for it',
      `/desk?${new URLSearchParams({ q: HOSTILE.slice(0, 60), event: HOSTILE, language: HOSTILE })}`,
      0,
      1,
    ],
    ['the case', `/desk/cases/${encodeURIComponent(HOSTILE)}`, 2, 1],
    ['the print view', `/desk/cases/${encodeURIComponent(HOSTILE)}/print`, 1, 1],
    ['the seating plans', `/desk/cases/${encodeURIComponent(HOSTILE)}/plan`, 5, 1],
    ['the list of events', '/desk/events', 0, 1],
    ['the board of its event', `/desk/events/${encodeURIComponent(HOSTILE)}`, 0, 1],
    ['the form of its event', `/desk/events/${encodeURIComponent(HOSTILE)}/edit`, 0, 1],
    ['the poster of its event', `/desk/events/${encodeURIComponent(HOSTILE)}/poster`, 1, 1],
    ['the record of the visit', `/desk/cases/${encodeURIComponent(HOSTILE)}/visit`, 0, 2],
  ])('is shown as text on %s', async (_, path, drawings, scripts) => {
    const { store, signedIn } = await openDesk();
    const event = { id: HOSTILE, name: HOSTILE, place: HOSTILE, timeZone: 'UTC', heldOn: '2026-05-20' };
    await store.events.add(event);
    await store.conversations.commit(aTurn({ eventId: HOSTILE, summary: hostileSummary() }));
    const seat = { id: 'v', how: 'supplied', kind: 'convertible', description: HOSTILE } as const;
    for (const [i, body] of [
      { kind: 'note', text: HOSTILE } as const,
      { kind: 'seat', childId: HOSTILE, seat } as const,
    ].entries())
      await store.visits.add(HOSTILE, {
        id: `e${i}`,
        at: '2026-05-16T10:00:00.000Z',
        accountId: 'a',
        by: HOSTILE,
        body,
      });
    const { status, html } = await (await signedIn()).get(path);
    expect(status).toBe(200);
    expect(html).toContain('&lt;script');
    expect(html.match(/<svg/g)?.length ?? 0).toBe(drawings);
    expect(html).not.toMatch(/<script src=\/\/|<img|\u202E/);
    expect(html.match(/<script/g)).toHaveLength(scripts);
    // Every "<" that is left opens or closes a tag of ours, or the document type.
    expect(html.match(/<(?!\/?[a-z][a-z0-9]*[\s>]|!doctype html>)/g)).toBeNull();
    for (const tag of tagsOf(html)) expect(tag).not.toMatch(/\bon\w+/);
  });

  it('of a name at sign-in comes back as text', async () => {
    const { browse } = await openDesk();
    const sent = await browse().send('/desk/sign-in', { name: HOSTILE.slice(0, 60), password: 'x' });
    expect(sent.status).toBe(401);
    expect(sent.html.match(/<script/g)).toHaveLength(1);
  });

  it('of a reference nobody has is shown as text', async () => {
    const { signedIn } = await openDesk();
    const missing = await (await signedIn()).get(`/desk/cases/${encodeURIComponent(HOSTILE)}`);
    expect(missing.status).toBe(404);
    expect(missing.html.match(/<script/g)).toHaveLength(1);
  });
});
