import { describe, expect, it } from 'vitest';
import { aSummary } from '../../factories/summary.ts';
import { aPhoto, aTurn } from '../../factories/turn.ts';
import { openDesk } from './open-desk.ts';

const PAGE = '/desk/cases/KV7-2QM';
const PHOTO = `${PAGE}/photos/p1`;
const field = (value: string | number, confidence: number) => ({ value, confidence });

const { case: family } = aSummary();
const [seat] = family.seats;
if (!seat) throw new Error('no seat');
/** One limit as it was read, one that the family corrected, and one that nobody said. */
const known = { ...seat, manufactureDate: '2021-05', modes: { 'rear-facing': { maxWeightKg: 15.9 } } };
const fields = {
  manufactureDate: field('2021-05', 0.934),
  'modes.rear-facing.maxWeightKg': field(18.1436948, 0.81),
  usefulLifeYears: field(8, 0.7),
};

async function withPhotos(language = 'en') {
  const desk = await openDesk({ language });
  const photos = [aPhoto({ fields }), aPhoto({ id: 'p2', childId: null, fields: {} })];
  const summary = aSummary({ event: 'spring', case: { ...family, seats: [known] } });
  await desk.store.conversations.commit(aTurn({ eventId: 'spring', summary, photos }));
  await desk.store.conversations.commit(
    aTurn({ conversationId: 'k2', summary: aSummary({ reference: 'OTHER' }), photos: [aPhoto({ id: 'p3' })] }),
  );
  const done = async () => (await desk.store.audit.of('KV7-2QM')).map(({ action }) => action);
  return { ...desk, done };
}

const textOf = (html: string): string =>
  html
    .replace(/<[^>]*>/g, ' ')
    .replace(/&#39;/g, "'")
    .replace(/\s+/g, ' ');

describe('the photos of a family', () => {
  it('stand on its case’s page, each with what it is, when it came and what was read, and not on paper', async () => {
    const { signedIn } = await withPhotos();
    const browser = await signedIn();
    const { html } = await browser.get(PAGE);
    const alt = 'Photo of the label of Wren’s seat, sent May 16, 2026, 9:30 AM UTC';
    expect(html.replaceAll('\u202f', ' ')).toContain(`<a href="${PHOTO}"><img src="${PHOTO}/small" alt="${alt}"></a>`);
    const text = textOf(html);
    expect(text).toMatch(/date of manufacture May 2021 \(93% sure\) The same/);
    expect(text).toMatch(
      /maximum weight on the label \(rear-facing\) 40 lb \(18.1 kg\) \(81% sure\) Other: 35.1 lb \(15.9 kg\)/,
    );
    expect(text).toMatch(/useful life 8 years \(70% sure\) Not confirmed/);
    expect(text).toMatch(/Photo the family sent, .* Nothing could be read by machine/);
    expect((await browser.get(`${PAGE}/print`)).html).not.toContain('/photos/');
    expect((await browser.get('/desk/cases/OTHER')).html).not.toContain('photos/p1');
  });

  it('are no part of a case that has none', async () => {
    const { store, signedIn } = await openDesk();
    await store.conversations.commit(aTurn({ summary: aSummary() }));
    expect((await (await signedIn()).get(PAGE)).html).not.toContain('Photos from the family');
  });

  it('are shown large on a page of their own, under the desk’s content policy, and every look is written down', async () => {
    const { signedIn, done } = await withPhotos();
    const browser = await signedIn();
    const page = await browser.get(PHOTO);
    expect(page.headers.get('content-security-policy')).toContain("img-src 'self'");
    expect(page.html).toContain(`<img src="${PHOTO}/picture" alt="Photo of the label of Wren’s seat`);
    expect(await done()).toEqual([]);
    const picture = await browser.get(`${PHOTO}/picture`);
    expect([picture.status, picture.html]).toEqual([200, aPhoto().picture.toString()]);
    for (const [name, value] of Object.entries({
      'content-type': 'image/jpeg',
      'cache-control': 'no-store',
      'x-content-type-options': 'nosniff',
      'cross-origin-resource-policy': 'same-origin',
    }))
      expect(picture.headers.get(name)).toBe(value);
    await browser.get(`${PHOTO}/picture`);
    expect(await done()).toEqual(['photo-viewed', 'photo-viewed']);
    expect((await browser.get(`${PHOTO}/small`)).html).toBe(aPhoto().thumbnail.toString());
  });

  it('are not shown to whoever is not signed in, sees other events only, or asks under another family', async () => {
    const { browse, as, done } = await withPhotos();
    const others = await as('technician', ['autumn']);
    const own = await as('read-only', ['spring']);
    for (const end of ['', '/picture', '/small']) {
      expect([302, 303, 401]).toContain((await browse().get(PHOTO + end)).status);
      const refused = await others.get(PHOTO + end);
      expect([refused.status, refused.html.includes('quillwort')]).toEqual([404, false]);
      expect((await own.get(PHOTO + end)).status).toBe(200);
    }
    expect(await done()).toEqual(['photo-viewed']);
    const everybody = await as('coordinator');
    for (const path of ['/desk/cases/OTHER/photos/p1', `${PAGE}/photos/p3`, `${PAGE}/photos/none`])
      for (const end of ['', '/picture', '/small']) expect((await everybody.get(path + end)).status).toBe(404);
  });

  it('are deleted by technicians, which is written down, and not by those who only look', async () => {
    const { store, as, done } = await withPhotos();
    const reader = await as('read-only');
    expect((await reader.get(PHOTO)).html).not.toContain('Delete this photo');
    expect((await reader.send(PHOTO, {})).status).toBe(403);
    const technician = await as('technician');
    expect((await technician.post(PHOTO, {})).status).toBe(403);
    expect(await store.photos.count('k1')).toBe(2);
    const { status, headers } = await technician.send(PHOTO, {});
    expect([status, headers.get('location')]).toEqual([303, `${PAGE}#photos`]);
    expect((await store.photos.of('KV7-2QM')).map(({ id }) => id)).toEqual(['p2']);
    expect(await done()).toEqual(['photo-deleted']);
    expect((await technician.get(`${PHOTO}/picture`)).status).toBe(404);
  });

  it('are led to from their line in the thread', async () => {
    const { store, signedIn } = await withPhotos();
    const incoming = { activityId: 'c:photo-1', text: 'photo.jpg' };
    await store.conversations.commit(aTurn({ expectedVersion: 1, incoming, replyId: 'r9', summary: aSummary() }));
    const { html } = await (await signedIn()).get(`${PAGE}/thread`);
    expect(html).toContain(`<a href="${PAGE}#photos">Photo, among the photos of the case</a>`);
    expect(html).not.toContain('photo.jpg');
  });

  it('are told of in Spanish at a desk in Spanish', async () => {
    const { signedIn } = await withPhotos('es');
    const text = textOf((await (await signedIn()).get(PAGE)).html);
    expect(text).toMatch(/Fotos de la familia .*Foto de la etiqueta del asiento de Wren.*Lo mismo/);
  });
});
