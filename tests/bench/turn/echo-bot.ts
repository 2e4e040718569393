import { ActivityHandler, MessageFactory } from 'botbuilder';
import { serveBot } from './bot-server.ts';

const bot = new ActivityHandler();
bot.onMessage(async (context, next) => {
  await context.sendActivity(MessageFactory.text(`Echo: ${context.activity.text}`));
  await next();
});
bot.onMembersAdded(async (context, next) => {
  await context.sendActivity(MessageFactory.text('Hello.'));
  await next();
});

serveBot((context) => bot.run(context));
