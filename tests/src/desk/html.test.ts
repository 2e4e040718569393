import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { html, typed } from '#src/desk/html.ts';

describe('the html template', () => {
  it('escapes what is put in, and keeps markup of its own', () => {
    const inner = html`<b>${'<i>'}</b>`;
    expect(html`<p title="${'"\'`&'}">${inner}${['a', html`<br>`, '<']}</p>`.markup).toBe(
      '<p title="&quot;&#39;&#96;&amp;"><b>&lt;i&gt;</b>a<br>&lt;</p>',
    );
  });

  it('leaves out what is not there, but not zero', () => {
    expect(html`[${null}${undefined}${false}${''}${0}]`.markup).toBe('[0]');
  });

  it('never lets any text open a tag or close an attribute', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(html`${text}`.markup).not.toMatch(/[<>"'`]/);
        expect(typed(text).markup.replace(/^<bdi>|<\/bdi>$/g, '')).not.toMatch(/[<>"'`]/);
      }),
    );
  });
});

it('typed words cannot turn the direction of what stands beside them, nor hide', () => {
  expect(typed('a\u202Egpj\u0000\u2066b\nc').markup).toBe('<bdi>a□gpj□□b\nc</bdi>');
  expect(typed('نور', 'ar').markup).toBe('<bdi lang="ar">نور</bdi>');
});
