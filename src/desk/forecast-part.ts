import type { Forecast } from '#shared/assessment.ts';
import { addMonths } from '#shared/dates.ts';
import type { CaseView, Judged } from './case-view.ts';
import { type Html, html } from './html.ts';

const SOON_MONTHS = 24;

/** When a limit is reached, always as a range; beyond two years only that it is not soon. */
function forecastLine({ voice, summary }: CaseView, forecast: Forecast): string {
  const { earliest, likely, latest } = forecast;
  const what = {
    limit: voice.say(`limit.${forecast.limit}`),
    mode: voice.name('mode', forecast.mode),
  };
  const horizon = addMonths(summary.case.asOf, SOON_MONTHS).slice(0, 7);
  if (earliest === null || earliest > horizon) return voice.say('child.forecastNotSoon', what);
  const date = (month: string) => voice.measures.date(month);
  if (likely === null) return voice.say('child.forecastLate', { ...what, earliest: date(earliest) });
  const range = { ...what, earliest: date(earliest), likely: date(likely) };
  if (latest === null) return voice.say('child.forecastOpen', range);
  return voice.say('child.forecastRange', { ...range, latest: date(latest) });
}

export function forecastPart(view: CaseView, { forecast, growth }: Judged): Html | false {
  if (forecast.length === 0) return false;
  const { voice } = view;
  return html`<h4>${voice.say('child.forecast')}</h4>
    <ul>${forecast.map((one) => html`<li>${forecastLine(view, one)}</li>`)}</ul>
    <p class="quietly">${voice.say('child.forecastHow', { reference: growth.reference ?? voice.say('case.unknown') })}</p>`;
}
