import type { Proactive } from '#src/channels/bot-framework/write-to.ts';
import type { Clock } from '#src/clock.ts';
import type { Config } from '#src/config.ts';
import { paths } from '#src/desk/paths.ts';
import type { NoticeDestination } from '#src/store/outbox.ts';
import type { Words } from '#src/words/words.ts';
import type { Send } from './destination.ts';
import { mail } from './mail.ts';
import { teams } from './teams.ts';
import { webhook } from './webhook.ts';

interface Around {
  readonly words: Words;
  readonly clock: Clock;
  /** The address people see the service at. */
  readonly base: string;
  readonly proactive: Proactive;
}

/** The destinations that are set. */
export function createDestinations(
  config: Pick<Config, 'webhook' | 'mail' | 'team' | 'app' | 'deskLanguage'>,
  { words, clock, base, proactive }: Around,
): Readonly<Partial<Record<NoticeDestination, Send>>> {
  const say = words.say(config.deskLanguage, 'mail');
  const deskAddress = (reference: string) => `${base}${paths.case(reference)}`;
  return {
    ...(config.webhook && { webhook: webhook({ ...config.webhook, clock }) }),
    ...(config.team &&
      config.app && {
        teams: teams({
          team: config.team,
          appId: config.app.appId,
          tenantId: config.app.tenantId,
          proactive,
          words,
          language: config.deskLanguage,
          deskAddress,
        }),
      }),
    ...(config.mail && { mail: mail({ ...config.mail, say, deskAddress }) }),
  };
}
