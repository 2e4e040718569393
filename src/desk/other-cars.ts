import type { CaseStore } from '#src/store/cases.ts';
import { type Html, html } from './html.ts';
import { paths } from './paths.ts';
import type { Voice } from './voice.ts';

/** The references of the cases of the family's other cars. */
export const otherCarsOf = async (
  cases: Pick<CaseStore, 'referencesOf'>,
  { reference, conversationId }: { readonly reference: string; readonly conversationId: string },
): Promise<readonly string[]> => (await cases.referencesOf(conversationId)).filter((other) => other !== reference);

/** The way from the page of one car to the same page of the family's other one. */
export const otherCarLinks = (
  voice: Voice,
  references: readonly string[],
  pathOf: (reference: string) => string = paths.case,
): Html | false =>
  references.length > 0 &&
  html`<p class="notice">${voice.say('case.otherCar')} ${references.map((reference) => html`<a class="tap" href="${pathOf(reference)}">${reference}</a> `)}</p>`;
