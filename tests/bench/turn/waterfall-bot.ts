import { ActivityHandler, ConversationState, MemoryStorage, MessageFactory } from 'botbuilder';
import {
  DialogSet,
  DialogTurnStatus,
  TextPrompt,
  WaterfallDialog,
  type WaterfallStepContext,
} from 'botbuilder-dialogs';
import { replyText } from '#src/channels/reply-text.ts';
import { serveBot } from './bot-server.ts';
import { scriptOf } from './conversation-names.ts';
import { intakes } from './script.ts';

const PROMPT = 'text';

const state = new ConversationState(new MemoryStorage());
const dialogs = new DialogSet(state.createProperty('dialog')).add(new TextPrompt(PROMPT));
for (const [script, { asked }] of intakes().entries()) {
  const steps = asked.map((reply) => (step: WaterfallStepContext) => {
    const labels = reply.choices.map(({ text }) => text);
    return step.prompt(PROMPT, { prompt: MessageFactory.suggestedActions(labels, replyText(reply)) });
  });
  const thanks = async (step: WaterfallStepContext) => {
    await step.context.sendActivity(MessageFactory.text('Thank you.'));
    return step.endDialog();
  };
  dialogs.add(new WaterfallDialog(`intake ${script}`, [...steps, thanks]));
}

const bot = new ActivityHandler();
bot.onTurn(async (context, next) => {
  const dialog = await dialogs.createContext(context);
  const { status } = await dialog.continueDialog();
  if (status === DialogTurnStatus.empty)
    await dialog.beginDialog(`intake ${scriptOf(context.activity.conversation.id)}`);
  await state.saveChanges(context);
  await next();
});

serveBot((context) => bot.run(context));
