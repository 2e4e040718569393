import { findSource } from '#shared/parameters/sources.ts';
import { type Html, html } from './html.ts';
import type { Voice } from './voice.ts';

/** One source of a rule or a forecast as an item of a list: its id, what it is, and how it was seen. */
export function sourceLine(voice: Voice, id: string): Html {
  const source = findSource(id);
  if (!source) return html`<li>${id}</li>`;
  return html`<li>${id}: ${source.title}${source.section && `, ${source.section}`} (${voice.name('sourceKind', source.kind)}; ${voice.name('sourceStatus', source.status)})</li>`;
}
