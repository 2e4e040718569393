import type { KeptPhoto } from '#src/store/photos.ts';
import { mayWork } from '../access.ts';
import { assetPath } from '../assets.ts';
import type { CaseView } from '../case-view.ts';
import { html } from '../html.ts';
import { type PageParts, tokenField, type Viewer } from '../page.ts';
import { paths } from '../paths.ts';
import { photoReading, photoTitle } from './photo-reading.ts';

/** One photo as large as the window, beside what was read of it, and the way to delete it. */
export function photoPage(view: CaseView, photo: KeptPhoto, viewer: Viewer): PageParts {
  const { voice, summary } = view;
  const title = photoTitle(view, photo);
  const picture = paths.photoPicture(summary.reference, photo.id);
  return {
    title,
    main: html`<link rel="stylesheet" href="${assetPath('photos.css')}">
    <h1>${title}</h1>
    <p><a class="tap" href="${paths.case(summary.reference)}#photos">${voice.say('page.backToCase')}</a></p>
    <a class="whole" href="${picture}"><img src="${picture}" alt="${title}"></a>
    <section aria-labelledby="read"><h2 id="read">${voice.say('photo.readHeading')}</h2>${photoReading(view, photo)}</section>
    ${
      viewer.person &&
      mayWork(viewer.person) &&
      html`<details class="delete"><summary>${voice.say('photo.delete')}</summary>
        <form method="post" action="${paths.photo(summary.reference, photo.id)}" class="fields">${tokenField(viewer)}
        <p id="delete-hint">${voice.say('photo.deleteHint')}</p>
        <button type="submit" aria-describedby="delete-hint">${voice.say('photo.deleteNow')}</button></form></details>`
    }`,
  };
}
