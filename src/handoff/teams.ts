import type { Proactive } from '#src/channels/bot-framework/write-to.ts';
import type { TeamConfig } from '#src/config-channels.ts';
import type { Send } from './destination.ts';
import { type CardOptions, teamsCard } from './teams-card.ts';

const CARD = 'application/vnd.microsoft.card.adaptive';

export interface TeamsOptions extends Omit<CardOptions, 'kind'> {
  readonly team: TeamConfig;
  readonly appId: string;
  readonly tenantId: string;
  readonly proactive: Proactive;
}

/** Posts each summary as a card into the team's conversation. */
export function teams({ team, appId, tenantId, proactive, ...card }: TeamsOptions): Send {
  const reference = {
    channelId: 'msteams',
    serviceUrl: team.serviceUrl,
    conversation: { id: team.conversationId, isGroup: true, conversationType: 'channel', tenantId, name: '' },
    bot: { id: `28:${appId}`, name: '' },
  };
  return ({ kind, summary }) => {
    const content = teamsCard(summary, { ...card, kind });
    return proactive.post(reference, {
      type: 'message',
      summary: content.fallbackText,
      attachments: [{ contentType: CARD, content }],
    });
  };
}
