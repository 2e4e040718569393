import type { Child } from '#shared/case.ts';
import type { PreVisitSummary } from '#shared/summary.ts';
import { type CaseView, caseView } from '#src/desk/case-view.ts';
import { groupFacts } from '#src/desk/fact-groups.ts';
import { factWords } from '#src/desk/fact-words.ts';
import { known } from '#src/desk/measures.ts';
import { verifyOrder } from '#src/desk/verify-order.ts';
import { ageRange } from '#src/store/case-row.ts';
import type { NoticeKind } from '#src/store/store.ts';
import type { Words } from '#src/words/words.ts';

/** An element of a card. */
type Element = Readonly<Record<string, unknown>>;

export interface AdaptiveCard {
  readonly type: 'AdaptiveCard';
  readonly $schema: string;
  readonly version: '1.5';
  readonly fallbackText: string;
  readonly body: readonly Element[];
  readonly actions: readonly Element[];
}

/** As many facts to verify stand on the card; the desk has the rest. */
const MOST_FACTS = 6;

/** Hidden characters and those that turn the direction of text around; two braces would call a function of the renderer. */
const plain = (text: string): string =>
  text
    .replace(/[\u0000-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/g, ' ')
    .replaceAll('{{', '{ {')
    .replaceAll('}}', '} }');

interface Run {
  readonly text: string;
  readonly weight?: 'Bolder';
  readonly isSubtle?: true;
}

/** A line of runs: unlike a text block's, their text is no Markdown, whatever a family typed. */
const line = (runs: readonly Run[], spacing: 'Small' | 'None' | 'Default' = 'None'): Element => ({
  type: 'RichTextBlock',
  spacing,
  inlines: runs.map((run) => ({ type: 'TextRun', ...run, text: plain(run.text) })),
});

const heading = (text: string): Element => ({
  type: 'TextBlock',
  text,
  weight: 'Bolder',
  size: 'Medium',
  wrap: true,
  style: 'heading',
  spacing: 'Medium',
});

function urgentPart({ voice, summary, names }: CaseView): Element {
  const urgent = summary.assessment.findings.filter(({ urgency }) => urgency === 'before-next-trip');
  const about = (childId: string | null, seatId: string | null) =>
    [childId && names.child(childId), seatId && names.seat(seatId)].filter(Boolean).join(' · ');
  return {
    type: 'Container',
    // Nothing known is no good news: the colour for that would say too much.
    style: urgent.length > 0 ? 'attention' : 'emphasis',
    bleed: true,
    items: [
      heading(voice.say('case.urgent')),
      ...(urgent.length === 0 ? [line([{ text: voice.say('case.noUrgent') }])] : []),
      ...urgent.map(({ code, childId, seatId }) => {
        const whom = about(childId, seatId);
        const title = voice.finding(code).title;
        return line([{ text: title, weight: 'Bolder' }, ...(whom ? [{ text: ` (${whom})` }] : [])], 'Small');
      }),
    ],
  };
}

function childPart({ voice, summary, names }: CaseView, child: Child): Element {
  const { measures } = voice;
  const [months, weight, height] = [ageRange(child, summary.case.asOf), known(child.weightKg), known(child.heightCm)];
  const size = [
    months && measures.age(months),
    weight && measures.weight(weight),
    height && measures.length(height),
  ].filter(Boolean);
  const mode = summary.case.uses.find(({ childId }) => childId === child.id)?.mode;
  const advice = summary.assessment.children.find(({ childId }) => childId === child.id)?.advice;
  return {
    type: 'Container',
    spacing: 'Medium',
    items: [
      line([
        { text: names.child(child.id), weight: 'Bolder' },
        { text: `  ${size.join(' · ') || voice.say('case.unknown')}`, isSubtle: true },
      ]),
      ...(advice
        ? [
            line([
              { text: `${voice.say('child.advised')}: ` },
              { text: voice.name('mode', advice.mode), weight: 'Bolder' },
              { text: ` (${voice.say(`child.${advice.certainty}`)})` },
            ]),
          ]
        : []),
      line([
        { text: `${voice.say('child.ridesNow')}: ${mode ? voice.name('mode', mode) : voice.say('case.unknown')}` },
      ]),
    ],
  };
}

function verifyLines({ voice, summary }: CaseView): readonly Element[] {
  const groups = groupFacts(verifyOrder(summary));
  if (groups.length === 0) return [line([{ text: voice.say('case.noVerify') }])];
  const rest = groups.length - MOST_FACTS;
  const lines = groups.slice(0, MOST_FACTS).map(({ path }) => {
    const { owner, label } = factWords(path, summary.case, voice);
    return line([{ text: `• ${owner ? `${owner}: ` : ''}${label}` }]);
  });
  return rest > 0 ? [...lines, line([{ text: voice.say('case.more', { count: rest }), isSubtle: true }])] : lines;
}

export interface CardOptions {
  readonly kind: NoticeKind;
  readonly words: Words;
  readonly language: string;
  /** The address of a case at the desk. */
  readonly deskAddress: (reference: string) => string;
}

/** A summary as an Adaptive Card (schema 1.5): what cannot wait, the children, what to verify, the time, the way to the desk. */
export function teamsCard(summary: PreVisitSummary, { kind, words, language, deskAddress }: CardOptions): AdaptiveCard {
  const view = caseView(summary, null, words, language);
  const { voice } = view;
  const say = words.say(language, 'mail');
  const { reference } = summary;
  const title = say(`subject.${kind}`, { reference });
  const { children } = summary.case;
  const fact = (label: string, value: string) => ({ title: label, value });
  return {
    type: 'AdaptiveCard',
    $schema: 'http://adaptivecards.io/schemas/adaptive-card.json',
    version: '1.5',
    fallbackText: title,
    body: [
      urgentPart(view),
      { type: 'TextBlock', text: title, weight: 'Bolder', size: 'Large', wrap: true, style: 'heading' },
      ...(summary.complete ? [] : [line([{ text: voice.say('case.unfinished') }])]),
      heading(voice.say('case.children')),
      ...(children.length > 0
        ? children.map((child) => childPart(view, child))
        : [line([{ text: voice.say('case.noChildren') }])]),
      heading(voice.say('case.verify')),
      ...verifyLines(view),
      {
        type: 'FactSet',
        spacing: 'Medium',
        facts: [
          fact(voice.say('case.minutes'), voice.say('list.minutes', { count: summary.assessment.visit.minutes })),
          fact(voice.say('case.language'), voice.measures.languageName(summary.language)),
        ],
      },
      line([{ text: voice.say('caution.manuals'), isSubtle: true }], 'Default'),
    ],
    actions: [{ type: 'Action.OpenUrl', title: say('card.open'), url: deskAddress(reference) }],
  };
}
