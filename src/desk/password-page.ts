import { html, typed } from './html.ts';
import { type PageParts, tokenField, type Viewer } from './page.ts';
import { MAX_PASSWORD_LENGTH, MIN_PASSWORD_LENGTH } from './password.ts';
import { paths } from './paths.ts';
import type { FirstProblem } from './sign-in.ts';
import type { Voice } from './voice.ts';

export interface PasswordView {
  readonly linkToken: string;
  readonly name: string;
  readonly problem?: FirstProblem;
  /** Whether the organisation's identity provider is offered instead of a password. */
  readonly provider: boolean;
}

/** Where somebody who was invited, or whose password was reset, chooses one. */
export function passwordPage(
  voice: Voice,
  viewer: Viewer,
  { linkToken, name, problem, provider }: PasswordView,
): PageParts {
  const count = problem === 'passwordLong' ? MAX_PASSWORD_LENGTH : MIN_PASSWORD_LENGTH;
  const wrong = (field: string) =>
    problem &&
    (problem === 'passwordsDiffer') === (field === 'again') &&
    html` aria-invalid="true" aria-describedby="problem"`;
  const field = (id: 'password' | 'again', min: number) =>
    html`<input id="${id}" name="${id}" type="password" autocomplete="new-password" minlength="${min}"
      maxlength="${MAX_PASSWORD_LENGTH}" required${wrong(id)}>`;
  return {
    title: voice.say('password.title'),
    main: html`<section class="narrow">
      <h1>${voice.say('password.title')}</h1>
      <p>${voice.say('password.welcome')} <b>${typed(name)}</b></p>
      ${problem && html`<p class="notice bad" role="alert" id="problem">${voice.say(`first.${problem}`, { count })}</p>`}
      ${
        provider &&
        html`<p><a class="button" href="${paths.oidcStart({ invitation: linkToken })}">${voice.say('oidc.tie')}</a></p>
        <h2>${voice.say('oidc.orPassword')}</h2>`
      }
      <form method="post" action="${paths.password}" class="fields">
        ${tokenField(viewer)}
        <input type="hidden" name="link" value="${linkToken}">
        <input type="text" name="name" value="${name}" autocomplete="username" hidden>
        <label for="password">${voice.say('first.password')}</label>
        <p class="hint">${voice.say('first.passwordHint', { count: MIN_PASSWORD_LENGTH })}</p>
        ${field('password', MIN_PASSWORD_LENGTH)}
        <label for="again">${voice.say('first.again')}</label>
        ${field('again', 0)}
        <button type="submit">${voice.say('password.submit')}</button>
      </form>
    </section>`,
  };
}
