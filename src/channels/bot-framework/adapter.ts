import {
  type Activity,
  CloudAdapter,
  ConfigurationBotFrameworkAuthentication,
  type InvokeResponse,
  type TurnContext,
} from 'botbuilder';
import type { AppRegistration } from '#src/config-channels.ts';
import type { Logger } from '#src/log.ts';
import { TooManyRequestsError } from '#src/protection/rate-limits.ts';
import { StoreUnavailableError } from '#src/store/store-error.ts';
import { isTokenAtFault, UnauthorizedError } from './unauthorized.ts';

/** What went wrong in a turn: written to the log under `errorId`, and told to nobody else. */
export type Apology = (language: string | undefined) => string;

/** Where a turn carries the id of its request. */
const REQUEST_ID = Symbol('request id');

class LapwingAdapter extends CloudAdapter {
  /** Like `process`, which would print what is thrown and send its message out. Throws `UnauthorizedError`. */
  async answer(
    authorization: string,
    activity: Activity,
    logic: (context: TurnContext) => Promise<void>,
    requestId: string,
  ): Promise<InvokeResponse | undefined> {
    const caller = await this.botFrameworkAuthentication
      .authenticateRequest(activity, authorization)
      .catch((error: unknown) => {
        throw isTokenAtFault(error) ? new UnauthorizedError(error) : error;
      });
    return this.processActivity(caller, activity, (context) => {
      context.turnState.set(REQUEST_ID, requestId);
      return logic(context);
    });
  }
}

export type Adapter = Pick<LapwingAdapter, 'answer' | 'continueConversationAsync'>;

/** With an app registration every activity's token is checked; without one nothing is, so the route must be guarded. */
export function createAdapter(app: AppRegistration | null, log: Logger, apology: Apology): Adapter {
  const authentication = new ConfigurationBotFrameworkAuthentication(
    app
      ? {
          MicrosoftAppId: app.appId,
          MicrosoftAppPassword: app.appPassword,
          MicrosoftAppTenantId: app.tenantId,
          MicrosoftAppType: 'SingleTenant',
          ...(app.cloud && {
            ToBotFromChannelTokenIssuer: app.cloud.issuer,
            ToBotFromChannelOpenIdMetadataUrl: app.cloud.keysUrl,
            ToChannelFromBotLoginUrl: app.cloud.loginUrl,
            ToChannelFromBotOAuthScope: 'https://api.botframework.com',
            ToBotFromEmulatorOpenIdMetadataUrl: app.cloud.keysUrl,
            OAuthUrl: 'https://token.botframework.com',
            CallerId: 'urn:botframework:azure',
            ValidateAuthority: 'true',
          }),
        }
      : {},
  );
  const adapter = new LapwingAdapter(authentication);
  adapter.onTurnError = async (context, error) => {
    // The channel is told to send it again, and nobody hears an apology for it meanwhile.
    if (error instanceof StoreUnavailableError || error instanceof TooManyRequestsError) throw error;
    const requestId: unknown = context.turnState.get(REQUEST_ID);
    log.error({ requestId, activityType: context.activity.type, err: error }, 'bot turn failed');
    await context.sendActivity(apology(context.activity.locale));
  };
  return adapter;
}
