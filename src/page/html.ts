import { createHash } from 'node:crypto';
import type { Bundle } from './bundle.ts';
import { textDirection } from './direction.ts';
import type { PageData } from './page-data.ts';
import type { PageWords } from './page-words.ts';

/** A crested bird's head in three strokes. */
const ICON =
  "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 32 32'%3E%3Crect width='32' height='32' rx='7' fill='%23125a4d'/%3E%3Cpath d='M6 7c8 0 9 4 12 6M12 23a7 7 0 1 1 7-9l6 2-6 2a7 7 0 0 1-7 5z' fill='none' stroke='%23fff' stroke-width='2.4' stroke-linecap='round' stroke-linejoin='round'/%3E%3C/svg%3E";

export interface Page {
  readonly html: string;
  readonly policy: string;
}

const escapeHtml = (text: string) => text.replace(/[&<>"']/g, (character) => `&#${character.codePointAt(0)};`);

const hashOf = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;

function document(options: { language: string; title: string; style: string; head?: string; body: string }): string {
  const { language, title, style, head = '', body } = options;
  return `<!doctype html>
<html lang="${language}" dir="${textDirection(language)}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1, interactive-widget=resizes-content">
<meta name="theme-color" content="#f5f4ef" media="(prefers-color-scheme: light)">
<meta name="theme-color" content="#131917" media="(prefers-color-scheme: dark)">
<title>${escapeHtml(title)}</title>
<link rel="icon" href="${ICON}">
<style>${style}</style>
${head}</head>
<body>
${body}
</body>
</html>
`;
}

/**
 * The caregiver's page, whole in one answer so that a slow connection waits once.
 * Only this very script and style may run, named by their hashes.
 */
export function chatPage({ script, style }: Bundle, pageData: PageData, language: string): Page {
  const own = pageData.words;
  // `<` would end the data block early if a text held `</script>`.
  const data = JSON.stringify(pageData).replaceAll('<', '\\u003c');
  const code = script.replaceAll('</script', '<\\/script');
  const html = document({
    language,
    title: own.title,
    style,
    body: `<div id="app">
<header><div class="bar"><h1>${escapeHtml(own.title)}</h1></div><p class="cautions">${escapeHtml(own.cautions)}</p></header>
<main><div class="talk"><noscript><p>${escapeHtml(own.noScript)}</p></noscript></div></main>
</div>
<script type="application/json" id="data">${data}</script>
<script>${code}</script>`,
  });
  const policy = [
    "default-src 'none'",
    `script-src ${hashOf(code)}`,
    `style-src ${hashOf(style)}`,
    "connect-src 'self'",
    "img-src 'self' data:",
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; ');
  return { html, policy };
}

/** A page with one sentence, for a wrong address or a failure. */
export function sentencePage(style: string, words: PageWords, language: string, sentence: string): Page {
  const html = document({
    language,
    title: sentence,
    style,
    body: `<main><div class="talk"><h1>${escapeHtml(sentence)}</h1><p><a href="/">${escapeHtml(words.toStart)}</a></p></div></main>`,
  });
  const policy = `default-src 'none'; style-src ${hashOf(style)}; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'`;
  return { html, policy };
}
