import { describe, expect, it } from 'vitest';
import type { Case } from '#shared/case.ts';
import { caseView } from '#src/desk/case-view.ts';
import { growthPart } from '#src/desk/growth-part.ts';
import { html } from '#src/desk/html.ts';
import { seatMapPart } from '#src/desk/seat-map-part.ts';
import { wordsPart } from '#src/desk/words-part.ts';
import { createWords } from '#src/words/words.ts';
import { aSummary } from '../../factories/summary.ts';

const words = createWords();
const good = aSummary();
const viewOf = (over: Partial<Case>, language = 'en') =>
  caseView(aSummary({ case: { ...good.case, ...over } }), null, words, language);

/** The words of a drawing, each in the order in which it stands. */
const textsOf = (markup: string): readonly string[] =>
  [...markup.matchAll(/<(?:text|title|desc)[^>]*>([^<]*)</g)].map(([, text]) => text ?? '');

const labelled = { id: 's1', modes: { 'rear-facing': { maxWeightKg: 18.1436948, maxHeightCm: 109.22 } } };

describe('the growth chart', () => {
  const draw = (over: Partial<Case>, language = 'en'): string => {
    const view = viewOf({ seats: [labelled], ...over }, language);
    const [child, judged] = [view.summary.case.children[0], view.summary.assessment.children[0]];
    if (!child || !judged) throw new Error('the factory has a child');
    return html`${growthPart(view, child, judged)}`.markup;
  };

  it('says in words what it shows', () => {
    const texts = textsOf(draw({}));
    expect(texts).toContain('Expected weight over the next two years');
    expect(texts).toContain('rear-facing: 40 lb (18.1 kg)');
    expect(texts.join(' ')).toMatch(
      /Today 27\.1 lb \(12\.3 kg\)\. In May 2028 most likely \d+(\.\d)? lb .*; for 8 of 10 children of this size \d+.*Limits on the label: rear-facing: 40 lb/,
    );
    expect(texts).toEqual(expect.arrayContaining(['May 2026', 'May 2027', 'May 2028', 'weight (lb)']));
  });

  it('is in the units and words of the place and the desk', () => {
    const texts = textsOf(draw({ jurisdiction: 'DE' }, 'es'));
    expect(texts).toContain('hacia atrás: 18,1 kg (40 lb)');
    expect(texts.some((text) => text.endsWith('(kg)'))).toBe(true);
  });

  it.each([
    ['no weight', { children: [{ id: 'c1', ageMonths: 26 }] }],
    ['no age', { children: [{ id: 'c1', weightKg: 12.3 }] }],
    ['no limit on the label', { seats: [{ id: 's1', modes: { 'rear-facing': { maxWeightKg: null } } }] }],
    ['no label', { seats: [{ id: 's1' }] }],
    ['an age past the tables', { children: [{ id: 'c1', ageMonths: 260, weightKg: 50 }] }],
  ] satisfies [string, Partial<Case>][])('is left out with %s', (_, over) => {
    expect(draw(over)).toBe('');
  });

  it.each([0, 0.5, 3, 40, 240, 500])('draws %d kg without a number that is none', (weightKg) => {
    const markup = draw({ children: [{ id: 'c1', ageMonths: { min: 10, max: 30 }, weightKg }] });
    expect(markup).toContain('<svg');
    expect(markup).not.toMatch(/NaN|Infinity|undefined/);
  });
});

describe('the map of the seats', () => {
  const vehicle = {
    positions: [
      { id: 'p1R', row: 1, side: 'right', frontAirBag: 'active' },
      { id: 'p2L', row: 2, side: 'left', belt: 'lap-only', lowerAnchors: true, tetherAnchor: false },
      { id: 'p2R', row: 2, side: 'right' },
      { id: 'odd' },
    ],
  } satisfies Case['vehicle'];

  it('shows who sits where, how, and with what hardware', () => {
    const uses = [{ childId: 'c1', positionId: 'p2L', mode: 'booster' as const }];
    const texts = textsOf(html`${seatMapPart(viewOf({ vehicle, uses }))}`.markup);
    expect(texts.slice(0, 3)).toEqual([
      'The seats of the vehicle from above',
      'Wren: row 2, left',
      '▲ front of the vehicle',
    ]);
    expect(texts.slice(3, 8)).toEqual(['nobody', 'belt ?', 'lower anchors ?', 'tether anchor ?', 'air bag on ✓']);
    expect(texts.slice(8, 13)).toEqual(['Wren', 'booster', 'lap belt only', 'lower anchors ✓', 'tether anchor ✗']);
  });

  it('is left out where no place is known, and keeps two in one place apart from the rest', () => {
    expect(seatMapPart(viewOf({ vehicle: { positions: [{ id: 'odd' }] }, uses: [] }))).toBe(false);
    const children = [{ id: 'c1', name: 'Wren' }, { id: 'c2' }];
    const uses = children.map(({ id }) => ({ childId: id, positionId: 'p2L' }));
    const texts = textsOf(html`${seatMapPart(viewOf({ vehicle, uses, children }))}`.markup);
    expect(texts).toContain('Wren +1');
    expect(texts).toContain('Wren: row 2, left; Child 2: row 2, left');
  });
});

describe('what was ticked', () => {
  const said = (asking: string, chosen: readonly string[], language = 'en') => {
    const summary = aSummary({ caregiverWords: [{ asking, text: 'x', values: { chosen } }] });
    const { markup } = html`${wordsPart(caseView(summary, null, words, language))}`;
    return /<li>(.*?)<\/li>/.exec(markup)?.[1]?.replace(/<[^>]*>/g, '');
  };

  it.each([
    ['position', ['p2L'], 'ticked: Second row, left'],
    ['install-check', ['moves', 'twisted'], 'ticked: It moves more than one inch (2.5 cm); A belt or strap is twisted'],
    ['harness-check', ['none'], 'ticked: None of these'],
    ['care-needs', ['unsure'], 'ticked: I don&#39;t know'],
    ['position', ['p9X'], 'ticked: p9X'],
    ['choice', ['consent'], 'ticked: consent'],
    ['<b>', ['<i>'], 'ticked: &lt;i&gt;'],
  ] as const)('is in words: %s %s', (asking, chosen, text) => {
    expect(said(asking, chosen)).toBe(text);
  });

  it('is in the language of the desk', () => {
    expect(said('position', ['p2L'], 'es')).toMatch(/Segunda fila/i);
  });
});

describe('what was read of a message about several children', () => {
  it('stands under the name of each, with its field in words', () => {
    const values = { c1: { ageMonths: [36, 47] }, c2: { weightKg: 10.886 } };
    const summary = aSummary({ caregiverWords: [{ asking: 'age', text: 'Mia is 3, Leo 24 lb', values }] });
    const { markup } = html`${wordsPart(caseView(summary, null, words, 'en'))}`;
    const text = markup.replace(/<[^>]*>/g, '').replace(/\s+/g, ' ');
    expect(text).toMatch(/Wren: age: 3 years.*c2: weight: 24 lb/);
    expect(markup).not.toContain('weightKg');
  });
});
