import type { AddressInfo } from 'node:net';
import { CloudAdapter, ConfigurationBotFrameworkAuthentication, type TurnContext } from 'botbuilder';
import restify from 'restify';

/** A bot served as the SDK's own samples do it: its adapter on restify, nothing else. Prints where it listens. */
export function serveBot(onTurn: (context: TurnContext) => Promise<void>): void {
  const adapter = new CloudAdapter(new ConfigurationBotFrameworkAuthentication({}));
  const server = restify.createServer();
  server.use(restify.plugins.bodyParser());
  server.post('/api/messages', async (req, res) => {
    await adapter.process(req as never, res as never, onTurn);
  });
  server.listen(0, '127.0.0.1', () => {
    const { port } = server.server.address() as AddressInfo;
    process.stdout.write(`http://127.0.0.1:${port}\n`);
  });
}
