import type { PageData } from '../page-data.ts';

/** What the page was served with. */
export const data: PageData = JSON.parse(document.getElementById('data')?.textContent ?? '{}');
