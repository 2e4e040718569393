import { z } from 'zod';
import { cloudForm, isWebhookUrl } from './config-forms.ts';

/** The registration of the bot with the Bot Framework; absent: no channel of it can reach us. */
export interface AppRegistration {
  readonly appId: string;
  readonly appPassword: string;
  readonly tenantId: string;
  /** Another cloud than the public one. */
  readonly cloud?: AppCloud;
}

/** Who signs the tokens of requests to us, where its keys are listed, and where ours are asked for. */
export interface AppCloud {
  readonly issuer: string;
  readonly keysUrl: string;
  readonly loginUrl: string;
}

/** A conversation of a team, into which the bot may post. */
export interface TeamConfig {
  readonly serviceUrl: string;
  readonly conversationId: string;
}

/** The account of a text message vendor. */
export interface SmsConfig {
  readonly account: string;
  /** Signs what the vendor posts, and lets us send. */
  readonly token: string;
  /** Where messages are sent to, up to the part before `/Accounts`. */
  readonly apiUrl: string;
}

/** The settings of channels other than the page. */
export const channelSettings = {
  LAPWING_APP_ID: z.string().optional(),
  LAPWING_APP_PASSWORD: z.string().optional(),
  LAPWING_APP_TENANT_ID: z.string().optional(),
  LAPWING_APP_ISSUER: z.string().refine(isWebhookUrl, { error: cloudForm }).optional(),
  LAPWING_APP_KEYS_URL: z.string().refine(isWebhookUrl, { error: cloudForm }).optional(),
  LAPWING_APP_LOGIN_URL: z.string().refine(isWebhookUrl, { error: cloudForm }).optional(),
  LAPWING_TEAM_SERVICE_URL: z
    .string()
    .refine(isWebhookUrl, { error: "must be the https address of the team's service" })
    .optional(),
  LAPWING_TEAM_CONVERSATION: z.string().max(512).optional(),
  LAPWING_SMS_ACCOUNT: z
    .string()
    .regex(/^[\w-]{1,64}$/, { error: 'must be the account id of the text message vendor' })
    .optional(),
  LAPWING_SMS_TOKEN: z.string().min(16, { error: 'must be the token of the account' }).optional(),
  LAPWING_SMS_API_URL: z
    .string()
    .refine(isWebhookUrl, { error: 'must be an https address, up to the part before /Accounts' })
    .transform((url) => url.replace(/\/+$/, ''))
    .optional(),
  LAPWING_MEDIA_ORIGINS: z
    .string()
    .transform((list) => list.split(',').map((one) => one.trim()))
    .pipe(
      z.array(
        z
          .string()
          .refine((url) => isWebhookUrl(url) && /^[^/?#]*\/\/[^/?#]+\/?$/.test(url), {
            error: 'must be https addresses without a path, with commas between, such as https://media.example.org',
          })
          .transform((url) => new URL(url).origin),
      ),
    )
    .default([]),
} as const;

type Environment = z.output<z.ZodObject<typeof channelSettings>>;

/** Settings that make sense only together. */
export const CHANNEL_GROUPS = [
  // Half a registration would silently accept unsigned messages.
  ['LAPWING_APP_ID', 'LAPWING_APP_PASSWORD', 'LAPWING_APP_TENANT_ID'],
  ['LAPWING_APP_ISSUER', 'LAPWING_APP_KEYS_URL', 'LAPWING_APP_LOGIN_URL'],
  ['LAPWING_TEAM_SERVICE_URL', 'LAPWING_TEAM_CONVERSATION'],
  ['LAPWING_SMS_ACCOUNT', 'LAPWING_SMS_TOKEN', 'LAPWING_SMS_API_URL'],
] as const;

/** What one channel's settings want of others. */
export function checkChannels(
  env: Environment & { readonly LAPWING_PUBLIC_URL?: string | undefined },
  problem: (name: string, message: string) => void,
): void {
  if (env.LAPWING_TEAM_CONVERSATION && !env.LAPWING_APP_ID)
    problem('LAPWING_APP_ID', 'must be set with LAPWING_TEAM_CONVERSATION, since only a registered bot may post there');
  if (env.LAPWING_SMS_ACCOUNT && !env.LAPWING_PUBLIC_URL)
    problem('LAPWING_PUBLIC_URL', 'must be set with LAPWING_SMS_ACCOUNT, since the address is part of what is signed');
}

export interface Channels {
  readonly app: AppRegistration | null;
  /** Only with `app`. */
  readonly team: TeamConfig | null;
  readonly sms: SmsConfig | null;
  /** From where photos are fetched that messages of other channels name by address. */
  readonly mediaOrigins: readonly string[];
}

/** The channels that are set. */
export function readChannels(env: Environment): Channels {
  return {
    mediaOrigins: env.LAPWING_MEDIA_ORIGINS,
    app:
      env.LAPWING_APP_ID && env.LAPWING_APP_PASSWORD && env.LAPWING_APP_TENANT_ID
        ? {
            appId: env.LAPWING_APP_ID,
            appPassword: env.LAPWING_APP_PASSWORD,
            tenantId: env.LAPWING_APP_TENANT_ID,
            ...(env.LAPWING_APP_ISSUER &&
              env.LAPWING_APP_KEYS_URL &&
              env.LAPWING_APP_LOGIN_URL && {
                cloud: {
                  issuer: env.LAPWING_APP_ISSUER,
                  keysUrl: env.LAPWING_APP_KEYS_URL,
                  loginUrl: env.LAPWING_APP_LOGIN_URL,
                },
              }),
          }
        : null,
    team:
      env.LAPWING_TEAM_SERVICE_URL && env.LAPWING_TEAM_CONVERSATION
        ? { serviceUrl: env.LAPWING_TEAM_SERVICE_URL, conversationId: env.LAPWING_TEAM_CONVERSATION }
        : null,
    sms:
      env.LAPWING_SMS_ACCOUNT && env.LAPWING_SMS_TOKEN && env.LAPWING_SMS_API_URL
        ? {
            account: env.LAPWING_SMS_ACCOUNT,
            token: env.LAPWING_SMS_TOKEN,
            apiUrl: env.LAPWING_SMS_API_URL,
          }
        : null,
  };
}
