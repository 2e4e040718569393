import type { Stage } from '#shared/visit-record/entries.ts';
import { history, type Said } from '#shared/visit-record/fold.ts';
import type { Recordable } from '#shared/visit-record/recordable.ts';
import { factIn } from '#shared/visit-record/set-fact.ts';
import { factWords } from '../fact-words.ts';
import { type Html, html, typed } from '../html.ts';
import { unitsFor } from '../measures.ts';
import { entryForm, type RecordPage, tapButtons } from './entry-form.ts';
import { choicesOf, factValueWords, isChosen } from './fact-choices.ts';
import { saidPart } from './said-part.ts';

/** Ids of elements are numbered, since ids of a case may hold anything. */
export type FactNumber = (fact: Recordable) => number;

export const factAnchor = (number: number, stage: Stage): string => `fact-${number}-${stage}`;

const UNITS: Readonly<Record<string, readonly [string, string]>> = { kg: ['lb', 'kg'], cm: ['in', 'cm'] };

/** A number with its unit, a date or words; the unit of the place is chosen beforehand. */
function typedInput({ view }: RecordPage, { form }: Recordable, id: string): Html {
  const { voice } = view;
  const units = UNITS[form.kind];
  const us = unitsFor(view.reported.jurisdiction) === 'us';
  const hint =
    form.kind === 'date' ? voice.say('record.dateHint') : form.kind === 'months' ? voice.say('record.inMonths') : null;
  return html`<div class="typed">
    <input id="${id}-value" name="value" type="text" inputmode="${form.kind === 'text' ? 'text' : 'decimal'}" autocomplete="off"
      maxlength="${form.kind === 'text' ? 100 : 12}" aria-labelledby="${id}-label" required${hint && html` aria-describedby="${id}-hint"`}>
    ${hint && html`<span class="quietly" id="${id}-hint">${hint}</span>`}
    ${
      units &&
      html`<span class="units" role="radiogroup" aria-label="${voice.say('record.unit')}">${units.map(
        (unit, i) =>
          html`<label><input type="radio" name="unit" value="${unit}"${(i === 0) === us && html` checked`}>${unit}</label>`,
      )}</span>`
    }
    <button type="submit">${voice.say('record.save')}</button>
  </div>`;
}

/** What a value rests on that nobody recorded at this stage. */
export const restsOn = ({ voice }: RecordPage['view'], stage: Stage): string =>
  voice.say(stage === 'found' ? 'record.asReported' : 'record.found');

const saidValue = (said: Said): unknown => (said.change.kind === 'fact' ? said.change.value : null);

/** The taps or the field for a fact at one stage, with what was recorded of it so far. */
export function factControl(page: RecordPage, fact: Recordable, number: number, stage: Stage): Html {
  const { voice, record, review } = page.view;
  const id = factAnchor(number, stage);
  const known = factIn(review[stage].case, fact);
  const said = history(record.current, `fact ${stage} ${fact.path}`);
  const words = (one: Said) => factValueWords(fact, saidValue(one), voice);
  const last = said.at(-1);
  const holds = last !== undefined && saidValue(last) !== null;
  const choices = choicesOf(fact).map((choice) => ({
    code: choice.code,
    words: factValueWords(fact, choice.value, voice) ?? choice.code,
    chosen: holds && isChosen(choice, known),
    assumed: !holds && isChosen(choice, known) && restsOn(page.view, stage),
  }));
  return html`<div class="control" id="${id}" data-slot="${stage} ${fact.path}">
    <p class="stage" id="${id}-label"><span class="hidden-words">${factWords(fact.path, review.left.case, voice).label}, </span>${voice.say(`record.${stage}`)}</p>
    ${entryForm(
      page,
      'fact',
      { path: fact.path, stage },
      choices.length > 0 ? tapButtons(`${id}-label`, choices) : typedInput(page, fact, id),
    )}
    ${saidPart(page.view, said, words)}
    ${
      holds &&
      entryForm(
        page,
        'fact',
        { path: fact.path, stage, clear: 'yes', value: '' },
        html`<button type="submit" class="quiet small">${voice.say('record.takeBack')}</button>`,
      )
    }
  </div>`;
}

/** One fact with its reported value, which stays visible, and a control for each stage. */
export function factRow(
  page: RecordPage,
  fact: Recordable,
  number: number,
  stages: readonly Stage[],
  toVerify: boolean,
): Html {
  const { voice, reported, review } = page.view;
  const { label } = factWords(fact.path, review.left.case, voice);
  const told = factValueWords(fact, factIn(reported, fact), voice);
  return html`<div class="fact-row${toVerify && ' to-verify'}">
    <h4>${label}${toVerify && html` <span class="tag">${voice.say('record.verify')}</span>`}</h4>
    <p class="reported">${voice.say('record.reported')}: ${told ? typed(told) : voice.say('case.unknown')}</p>
    <div class="stages">${stages.map((stage) => factControl(page, fact, number, stage))}</div>
  </div>`;
}
