import { type Html, html } from './html.ts';
import { type PageParts, tokenField, type Viewer } from './page.ts';
import { MAX_PASSWORD_LENGTH, MIN_PASSWORD_LENGTH } from './password.ts';
import { paths } from './paths.ts';
import { type FirstProblem, MAX_NAME_LENGTH } from './sign-in.ts';
import type { Voice } from './voice.ts';

const alert = (text: string): Html => html`<p class="notice bad" role="alert">${text}</p>`;

const waitWords = (voice: Voice, waitMs: number): string =>
  waitMs <= 60_000
    ? voice.say('signIn.waitSeconds', { count: Math.ceil(waitMs / 1000) })
    : voice.say('signIn.waitMinutes', { count: Math.ceil(waitMs / 60_000) });

export interface SignInState {
  readonly name: string;
  /** Where to go afterwards. */
  readonly next: string;
  readonly problem?: 'refused' | 'expired' | 'providerAway';
  /** Whether the organisation's identity provider is offered. */
  readonly provider?: boolean;
  readonly signedOut?: boolean;
  /** After too many wrong tries: how long nobody is let in. */
  readonly waitMs?: number;
}

export function signInPage(
  voice: Voice,
  viewer: Viewer,
  { name, next, problem, signedOut, waitMs = 0, provider }: SignInState,
): PageParts {
  return {
    title: voice.say('signIn.title'),
    main: html`<section class="narrow">
      <h1>${voice.say('signIn.title')}</h1>
      ${problem && alert(voice.say(`signIn.${problem}`))}
      ${waitMs > 0 && html`<p class="notice bad">${waitWords(voice, waitMs)}</p>`}
      ${next === paths.kept && html`<p class="notice">${voice.say('kept.signIn')}</p>`}
      ${signedOut && html`<p class="notice" role="status">${voice.say('signIn.signedOut')}</p>`}
      ${
        provider &&
        html`<p><a class="button" href="${paths.oidcStart({ next })}">${voice.say('oidc.go')}</a></p>
        <h2>${voice.say('oidc.orLocal')}</h2>`
      }
      <form method="post" action="${paths.signIn}" class="fields">
        ${tokenField(viewer)}
        <input type="hidden" name="next" value="${next}">
        <label for="name">${voice.say('signIn.name')}</label>
        <input id="name" name="name" type="text" autocomplete="username" autocapitalize="none" spellcheck="false"
          maxlength="${MAX_NAME_LENGTH}" required value="${name}">
        <label for="password">${voice.say('signIn.password')}</label>
        <input id="password" name="password" type="password" autocomplete="current-password"
          maxlength="${MAX_PASSWORD_LENGTH}" required>
        <button type="submit">${voice.say('signIn.submit')}</button>
      </form>
    </section>`,
  };
}

export interface FirstState {
  readonly linkToken: string;
  readonly name: string;
  readonly problem?: FirstProblem;
}

const FIELD_OF: Readonly<Record<FirstProblem, string>> = {
  nameMissing: 'name',
  passwordShort: 'password',
  passwordLong: 'password',
  passwordIsName: 'password',
  passwordCommon: 'password',
  passwordsDiffer: 'again',
};

export function firstPage(voice: Voice, viewer: Viewer, { linkToken, name, problem }: FirstState): PageParts {
  const count = problem === 'passwordLong' ? MAX_PASSWORD_LENGTH : MIN_PASSWORD_LENGTH;
  const text = problem && voice.say(`first.${problem}`, { count });
  const wrong = (field: string) =>
    problem && FIELD_OF[problem] === field && html` aria-invalid="true" aria-describedby="problem"`;
  return {
    title: voice.say('first.title'),
    main: html`<section class="narrow">
      <h1>${voice.say('first.title')}</h1>
      <p>${voice.say('first.intro')}</p>
      ${text && html`<p class="notice bad" role="alert" id="problem"><strong>${voice.say('first.problem')}:</strong> ${text}</p>`}
      <form method="post" action="${paths.first}" class="fields">
        ${tokenField(viewer)}
        <input type="hidden" name="link" value="${linkToken}">
        <label for="name">${voice.say('first.name')}</label>
        <p class="hint">${voice.say('first.nameHint')}</p>
        <input id="name" name="name" type="text" autocomplete="username" maxlength="${MAX_NAME_LENGTH}" required
          value="${name}"${wrong('name')}>
        <label for="password">${voice.say('first.password')}</label>
        <p class="hint">${voice.say('first.passwordHint', { count: MIN_PASSWORD_LENGTH })}</p>
        <input id="password" name="password" type="password" autocomplete="new-password"
          minlength="${MIN_PASSWORD_LENGTH}" maxlength="${MAX_PASSWORD_LENGTH}" required${wrong('password')}>
        <label for="again">${voice.say('first.again')}</label>
        <input id="again" name="again" type="password" autocomplete="new-password"
          maxlength="${MAX_PASSWORD_LENGTH}" required${wrong('again')}>
        <button type="submit">${voice.say('first.submit')}</button>
      </form>
    </section>`,
  };
}

/** A page that says what went wrong and what to do. */
export const messagePage = (title: string, text: string, link?: { href: string; text: string }): PageParts => ({
  title,
  main: html`<section class="narrow">
    <h1>${title}</h1>
    <p>${text}</p>
    ${link && html`<p><a href="${link.href}">${link.text}</a></p>`}
  </section>`,
});
