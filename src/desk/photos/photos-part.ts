import type { KeptPhoto } from '#src/store/photos.ts';
import { assetPath } from '../assets.ts';
import type { CaseView } from '../case-view.ts';
import { type Html, html } from '../html.ts';
import { paths } from '../paths.ts';
import { photoReading, photoTitle } from './photo-reading.ts';

/** The photos of a family on its case's page, each small, with what was read of it; null where it sent none. */
export function photosPart(view: CaseView, photos: readonly KeptPhoto[]): Html | null {
  const { voice, summary } = view;
  if (photos.length === 0) return null;
  // A dozen values each would bury what comes below.
  const folded = (photo: KeptPhoto): Html => {
    const count = Object.keys(photo.fields).length;
    if (count === 0) return photoReading(view, photo);
    return html`<details><summary>${voice.say('photo.values', { count })}</summary>${photoReading(view, photo)}</details>`;
  };
  const one = (photo: KeptPhoto): Html => {
    const title = photoTitle(view, photo);
    return html`<li class="card photo">
      <a href="${paths.photo(summary.reference, photo.id)}"><img src="${paths.photoSmall(summary.reference, photo.id)}" alt="${title}"></a>
      <div><h3>${title}</h3>${folded(photo)}</div>
    </li>`;
  };
  return html`<link rel="stylesheet" href="${assetPath('photos.css')}">
    <section aria-labelledby="photos"><h2 id="photos">${voice.say('photo.heading')}</h2>
    <p class="quietly">${voice.say('photo.hint')}</p>
    <ul class="photos">${photos.map(one)}</ul></section>`;
}
