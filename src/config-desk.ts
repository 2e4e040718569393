import { z } from 'zod';
import type { SessionLimits } from '#src/desk/deps.ts';
import type { ProviderSettings } from '#src/desk/identity-provider.ts';
import { isWebhookUrl, upTo } from './config-forms.ts';

const SESSION_HOURS = 'must be a whole number from 1 to 24';

const values = z
  .string()
  .transform((list) => list.split(',').map((one) => one.trim()))
  .pipe(z.array(z.string().min(1, { error: 'must be values of the claim with commas between' })))
  .default([]);

/** The settings of the desk: sessions, and signing in through an identity provider. */
export const deskSettings = {
  LAPWING_SESSION_HOURS: z.coerce
    .number({ error: SESSION_HOURS })
    .pipe(z.int({ error: SESSION_HOURS }).min(1, { error: SESSION_HOURS }).max(24, { error: SESSION_HOURS }))
    .default(12),
  LAPWING_SESSION_IDLE_MINUTES: upTo(1440, 'no limit').default(120),
  LAPWING_OIDC_ISSUER: z
    .string()
    .refine(isWebhookUrl, { error: 'must be the https address of an OpenID provider, as its tokens name it' })
    .optional(),
  LAPWING_OIDC_CLIENT_ID: z.string().optional(),
  LAPWING_OIDC_CLIENT_SECRET: z.string().optional(),
  LAPWING_OIDC_SCOPES: z
    .string()
    .regex(/^openid(?: \S+)*$/, { error: 'must begin with openid, with spaces between' })
    .default('openid profile'),
  LAPWING_OIDC_ROLE_CLAIM: z.string().optional(),
  LAPWING_OIDC_COORDINATORS: values,
  LAPWING_OIDC_TECHNICIANS: values,
  LAPWING_OIDC_READERS: values,
} as const;

type Environment = z.output<z.ZodObject<typeof deskSettings>>;

export const DESK_GROUPS = [['LAPWING_OIDC_ISSUER', 'LAPWING_OIDC_CLIENT_ID', 'LAPWING_OIDC_CLIENT_SECRET']] as const;

/** What the settings of the desk want of others. */
export function checkDesk(
  env: Environment & { readonly LAPWING_PUBLIC_URL?: string | undefined },
  problem: (name: string, message: string) => void,
): void {
  if (env.LAPWING_OIDC_ISSUER && !env.LAPWING_PUBLIC_URL)
    problem('LAPWING_PUBLIC_URL', 'must be set with LAPWING_OIDC_ISSUER, since the provider sends people back to it');
  const mapped = [env.LAPWING_OIDC_COORDINATORS, env.LAPWING_OIDC_TECHNICIANS, env.LAPWING_OIDC_READERS].flat();
  if (mapped.length > 0 && !env.LAPWING_OIDC_ROLE_CLAIM)
    problem('LAPWING_OIDC_ROLE_CLAIM', 'must be set too, since values of it are');
}

export interface DeskConfig {
  /** How long sessions of the desk last, and how long without being used. */
  readonly sessions: SessionLimits;
  /** Null: local accounts only. */
  readonly provider: ProviderSettings | null;
}

export function readDesk(env: Environment): DeskConfig {
  const { LAPWING_OIDC_ISSUER: issuer, LAPWING_OIDC_CLIENT_ID: clientId } = env;
  const clientSecret = env.LAPWING_OIDC_CLIENT_SECRET;
  return {
    sessions: { hours: env.LAPWING_SESSION_HOURS, idleMinutes: env.LAPWING_SESSION_IDLE_MINUTES || null },
    provider:
      issuer && clientId && clientSecret
        ? {
            issuer,
            clientId,
            clientSecret,
            scopes: env.LAPWING_OIDC_SCOPES,
            roleClaim: env.LAPWING_OIDC_ROLE_CLAIM ?? null,
            roles: {
              coordinator: env.LAPWING_OIDC_COORDINATORS,
              technician: env.LAPWING_OIDC_TECHNICIANS,
              'read-only': env.LAPWING_OIDC_READERS,
            },
          }
        : null,
  };
}
