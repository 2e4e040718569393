import type { Case } from '#shared/case.ts';
import { isFindingCode } from '#shared/finding-codes.ts';
import type { Review } from '#shared/visit-record/review.ts';
import { type TakeHome, takeHomeOf } from '#shared/visit-record/take-home.ts';
import { textDirection } from '#src/page/direction.ts';
import { dateWords, heightWords, weightWords } from '#src/words/quantities.ts';
import { capitalised } from '#src/words/voice.ts';
import type { Words } from '#src/words/words.ts';
import { type Html, html } from '../html.ts';
import { placeWords, planPart } from './plan-part.ts';

/**
 * Where anyone in the US looks up a recall: the safety agency's hotline as a university's injury centre gives it
 * (secondary), its web address from memory.
 */
const US_RECALLS = { site: 'nhtsa.gov/recalls', phone: '1-888-327-4236' };
/** So many things still to do are explained; of the others only the title has room on the sheet. */
const EXPLAINED = 4;

export interface SheetInput {
  readonly words: Words;
  /** BCP 47 language of the family. */
  readonly language: string;
  readonly reference: string;
  /** The day of the visit, YYYY-MM-DD. */
  readonly day: string;
  readonly review: Review;
  /** Where the family's own chat is; null where the conversation is on a channel of its own. */
  readonly chat: string | null;
}

type Sheet = SheetInput & {
  readonly say: (key: string, values?: Readonly<Record<string, string | number>>) => string;
};

/** A name, number or address that keeps its own direction inside a sentence (Unicode's isolates, UAX 9). */
const isolate = (text: string): string => `\u2068${text.replace(/[\u2066-\u2069]/g, '')}\u2069`;

/** A sentence whose isolates are put as elements, since a page shows such marks as what they hide. */
const own = (text: string): Html =>
  html`${text.split(/[\u2066-\u2068]([^\u2066-\u2069]*)\u2069/).map((part, i) => (i % 2 === 1 ? html`<bdi>${part}</bdi>` : part))}`;

const list = (items: readonly (Html | string | false)[]): Html =>
  html`<ul>${items.map((item) => item !== false && html`<li>${typeof item === 'string' ? own(item) : item}</li>`)}</ul>`;

const section = (heading: string, body: Html): Html => html`<section><h3>${heading}</h3>${body}</section>`;

const withoutMarks = (text: string): string => text.replace(/[\u202a-\u202e\u2066-\u2069]/g, '');

/** The child's nickname, or which child it is, as the conversation calls it; as text without marks of direction. */
function plainName({ words, language, review }: Sheet, childId: string): string {
  const { children } = review.left.case;
  const number = children.findIndex(({ id }) => id === childId);
  const name = children[number]?.name?.trim();
  if (name) return withoutMarks(name);
  const chat = words.say(language, 'chat');
  return children.length === 1 ? chat('child.only') : chat('child.nth', { n: number + 1 });
}

/** The same for a sentence, in which a nickname keeps its own direction. */
const childName = (sheet: Sheet, { name, childId }: TakeHome): string =>
  name ? isolate(name) : plainName(sheet, childId);

function nowPart(sheet: Sheet, made: TakeHome, child: string): Html {
  const { say, words, language } = sheet;
  const chat = words.say(language, 'chat');
  const place = placeWords(words, language, made.place);
  const riding = made.mode !== null && words.has('take-home', `mode.${made.mode}`);
  return section(
    say('now.heading'),
    list([
      riding && html`<b>${own(capitalised(say('now.rides', { child, mode: say(`mode.${made.mode}`) }), language))}</b>`,
      made.attachment !== null && say('now.held', { attachment: chat(`choice.attachment.${made.attachment}`) }),
      made.tether && say('now.tether'),
      place !== null && say('now.place', { position: place }),
    ]),
  );
}

function whenPart({ say, language }: Sheet, { earliest, latest }: NonNullable<TakeHome['until']>): string {
  if (earliest === null) return say('until.unknown');
  const from = dateWords(language, earliest);
  return latest === null || latest === earliest
    ? say('until.from', { earliest: from })
    : say('until.between', { earliest: from, latest: dateWords(language, latest) });
}

function untilPart(sheet: Sheet, { until, expires, expired }: TakeHome, child: string): Html | false {
  const { say, language } = sheet;
  // A bare "do not use it after" a day that is over could leave a child without any seat.
  if (expired || (!until && expires === undefined)) return false;
  const limits = until && [
    until.maxWeightKg !== null && say('until.weight', { weight: weightWords(language, until.maxWeightKg) }),
    until.maxHeightCm !== null && say('until.height', { height: heightWords(language, until.maxHeightCm) }),
  ];
  const next =
    until?.next &&
    (until.next === 'bigger' ? say('until.bigger') : say('until.next', { mode: say(`mode.${until.next}`) }));
  return section(
    say('until.heading'),
    html`${until && html`<p>${own(say('until.intro', { child }))}</p>`}
    ${limits?.some(Boolean) && list(limits)}
    ${until && html`<p>${whenPart(sheet, until)}${next && ` ${next}`}</p>`}
    ${expires !== undefined && html`<p><b>${expires ? say('until.expires', { date: dateWords(language, expires) }) : say('until.expiry-unknown')}</b></p>`}`,
  );
}

function donePart({ say, words, language }: Sheet, { corrected, remaining }: TakeHome): Html {
  const finding = words.say(language, 'findings');
  const known = remaining.filter(isFindingCode);
  const done = corrected.filter(isFindingCode);
  return html`${
    done.length > 0
      ? section(say('corrected.heading'), list(done.map((code) => finding(`${code}.title`))))
      : known.length === 0 && section(say('corrected.heading'), html`<p>${say('corrected.none')}</p>`)
  }
  ${
    known.length > 0 &&
    section(
      say('left.heading'),
      html`<ul class="boxes">${known.map(
        (code, i) =>
          html`<li><b>${finding(`${code}.title`)}</b>${i < EXPLAINED && html`. ${finding(`${code}.family`)}`}</li>`,
      )}</ul>`,
    )
  }`;
}

function makerPart({ say, review }: Sheet): Html {
  const us = review.left.case.jurisdiction?.startsWith('US');
  return section(
    say('maker.heading'),
    list([
      say('maker.register'),
      say('maker.recall'),
      us === true && say('maker.us', { site: isolate(US_RECALLS.site), phone: isolate(US_RECALLS.phone) }),
    ]),
  );
}

function contactPart({ say, chat, reference }: Sheet): Html {
  return section(
    say('contact.heading'),
    list([
      chat === null ? say('contact.same') : say('contact.chat', { link: isolate(chat) }),
      say('contact.change'),
      say('reference', { reference }),
    ]),
  );
}

function childSheet(sheet: Sheet, child: Case['children'][number], number: number): Html {
  const { say, words, language, day } = sheet;
  const made = takeHomeOf(sheet.review, child);
  const name = childName(sheet, made);
  const seated = made.expires !== undefined;
  const family = sheet.review.left.case;
  const riding = html`${nowPart(sheet, made, name)}${untilPart(sheet, made, name)}`;
  const plan = planPart({ words, language, family, who: (id) => plainName(sheet, id), id: `plan-${number}` });
  return html`<article class="sheet" lang="${language}" dir="${textDirection(language)}">
    <header><h2>${own(say('title', { child: name }))}</h2><p>${say('made', { date: dateWords(language, day) })}</p></header>
    ${plan ? html`<div class="pair"><div>${riding}</div>${plan}</div>` : riding}
    ${donePart(sheet, made)}
    ${
      made.monthly.length > 0 &&
      section(
        say('monthly.heading'),
        html`<ul class="boxes two">${made.monthly.map((key) => html`<li>${say(`monthly.${key}`)}</li>`)}</ul>`,
      )
    }
    <div class="pair">${seated && makerPart(sheet)}${contactPart(sheet)}</div>
    <footer class="cautions"><ul>${(['manuals', 'never', 'emergency', 'special'] as const).map((key) => html`<li>${say(`caution.${key}`)}</li>`)}</ul></footer>
  </article>`;
}

/** The sheets of a family, one a child, in its language. What they say of today rests on the record alone. */
export function takeHomeSheets(input: SheetInput): readonly Html[] {
  const say = input.words.say(input.language, 'take-home');
  return input.review.left.case.children.map((child, i) => childSheet({ ...input, say }, child, i));
}
