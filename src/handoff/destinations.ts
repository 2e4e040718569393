import type { Clock } from '#src/clock.ts';
import type { Config } from '#src/config.ts';
import { paths } from '#src/desk/paths.ts';
import type { Destination } from '#src/store/outbox.ts';
import type { Words } from '#src/words/words.ts';
import type { Send } from './destination.ts';
import { mail } from './mail.ts';
import { webhook } from './webhook.ts';

interface Around {
  readonly words: Words;
  readonly clock: Clock;
  /** The address people see the service at. */
  readonly base: string;
}

/** The destinations that are set. */
export function createDestinations(
  config: Pick<Config, 'webhook' | 'mail' | 'deskLanguage'>,
  { words, clock, base }: Around,
): Readonly<Partial<Record<Destination, Send>>> {
  const say = words.say(config.deskLanguage, 'mail');
  const deskAddress = (reference: string) => `${base}${paths.case(reference)}`;
  return {
    ...(config.webhook && { webhook: webhook({ ...config.webhook, clock }) }),
    ...(config.mail && { mail: mail({ ...config.mail, say, deskAddress }) }),
  };
}
