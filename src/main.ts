import { randomUUID } from 'node:crypto';
import type { AddressInfo } from 'node:net';
import { botFrameworkWriteTo, createProactive } from '#src/channels/bot-framework/write-to.ts';
import { conversationIds } from '#src/channels/sms/conversation-ids.ts';
import { smsWriteTo } from '#src/channels/sms/write-to.ts';
import { type Config, readConfig } from '#src/config.ts';
import { seedDemo } from '#src/demo/seed.ts';
import { firstRunLink } from '#src/desk/first-run.ts';
import { registerDesk } from '#src/desk/register-desk.ts';
import { calendarLinks } from '#src/events/calendar-links.ts';
import { registerCalendar } from '#src/events/calendar-routes.ts';
import { createReadTimes } from '#src/events/event-times.ts';
import { caregiver, type DeliverToCaregiver } from '#src/handoff/caregiver.ts';
import { createDestinations } from '#src/handoff/destinations.ts';
import { createDispatcher } from '#src/handoff/dispatcher.ts';
import { remindingByMail } from '#src/handoff/reminder-mail.ts';
import { photoReaderLater } from '#src/label-photo/photo-reader-later.ts';
import { createEars } from '#src/locales/ears.ts';
import { createLog } from '#src/log.ts';
import { bundlePage } from '#src/page/bundle.ts';
import { createGreeting } from '#src/page/greeting.ts';
import { createPictures } from '#src/pictures/attachments.ts';
import { loadPictureWords } from '#src/pictures/picture-words.ts';
import { createFieldCipher } from '#src/protection/field-cipher.ts';
import { createSweep } from '#src/protection/retention-sweep.ts';
import { loadMasterSecret } from '#src/secret-key.ts';
import { createServer, type LapwingServer } from '#src/server.ts';
import { openStore } from '#src/store/open-store.ts';
import type { Store } from '#src/store/store.ts';
import { inOrder } from '#src/turns/in-order.ts';
import { newReference } from '#src/turns/reference.ts';
import { createRemind } from '#src/turns/reminding.ts';
import { createTurns } from '#src/turns/turns.ts';
import { createVoice } from '#src/words/voice.ts';
import { createWords } from '#src/words/words.ts';

/** What is under way when the service is told to stop has this long to end. */
const DRAIN_MS = 10_000;

const clock = () => new Date();
const say = (line: string) => process.stdout.write(`${line}\n`);

function fail(status: 1 | 2, lines: readonly string[]): never {
  for (const line of lines) process.stderr.write(`${line}\n`);
  process.exit(status);
}

/** Listens and gives the address people can open. */
async function listen({ restify }: LapwingServer, { host, port, publicUrl }: Config): Promise<string> {
  await new Promise<void>((resolve, reject) => {
    restify.once('error', reject);
    restify.listen(port, host, () => resolve());
  });
  if (publicUrl) return publicUrl;
  const address = restify.server.address() as AddressInfo;
  const everywhere = host === '0.0.0.0' || host === '::';
  const name = everywhere ? 'localhost' : address.family === 'IPv6' ? `[${address.address}]` : address.address;
  return `http://${name}:${address.port}`;
}

async function announce(base: string, store: Store, demo: boolean): Promise<void> {
  say(`Caregiver page: ${base}/${demo ? '?event=demo' : ''}`);
  say(`Technician desk: ${base}/desk`);
  const link = await firstRunLink(store, base);
  if (link) say(`First sign-in at the desk (once, within a day): ${link}`);
  say('Ready.');
}

/** `workers` are told to stop together with the server, before the database is closed. */
function stopOnSignal(workers: readonly { stop(): Promise<void> }[], store: Store): void {
  let stopping = false;
  const stop = async () => {
    if (stopping) process.exit(1);
    stopping = true;
    const late = setTimeout(() => process.exit(1), DRAIN_MS);
    await Promise.all(workers.map((worker) => worker.stop()));
    await store.close();
    clearTimeout(late);
    process.exit(0);
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
}

async function start(config: Config): Promise<void> {
  const log = createLog(config.logLevel);
  const masterSecret = loadMasterSecret(config.secretKey, config.dataDir);
  const cipher = createFieldCipher(masterSecret, config.secretKeysOld);
  const [bundle, store] = await Promise.all([
    bundlePage(),
    openStore({ dataDir: config.dataDir, databaseUrl: config.databaseUrl, clock, cipher }),
  ]);
  // Of instances that start together one seeds, and the others find it done.
  if (config.demo) await store.alone('demo', () => seedDemo(store, { clock }));
  const words = createWords({ onMissing: (what) => log.error({ what }, 'words are missing') });
  const voice = createVoice(words);
  const ears = createEars();
  let base = '';
  const links = calendarLinks(masterSecret, () => base);
  const steps = createTurns({
    conversations: store.conversations,
    cases: store.cases,
    photos: store.photos,
    onDamaged: (what) => log.warn(what, 'a stored snapshot could not be used'),
    voice,
    ears,
    clock,
    newReference,
    newId: randomUUID,
    eventTimes: { read: createReadTimes({ store, clock, links }), linkHash: links.hashFor },
    remind: createRemind(words),
  });
  const turns = inOrder(steps, store.alone);
  const photos = photoReaderLater(() => clock().toISOString().slice(0, 10));
  const server = createServer({
    readPhoto: photos.read,
    config,
    masterSecret,
    clock,
    log,
    turns,
    conversations: store.conversations,
    outboxCounts: store.outbox.counts,
    ping: store.ping,
    bundle,
    sms: config.sms && {
      config: config.sms,
      outbox: store.outbox,
      optOuts: store.optOuts,
      words,
      emergency: ears.emergency,
    },
    greeting: createGreeting(voice, clock),
    claimWalkIn: store.board.claim,
    registerDesk: (restify) => {
      registerCalendar(restify, { store, clock, links });
      return registerDesk(restify, {
        store,
        words,
        clock,
        publicUrl: config.publicUrl,
        language: config.deskLanguage,
        secret: masterSecret,
        sessions: config.sessions,
        provider: config.provider,
        trustedProxies: config.trustedProxies,
      });
    },
  });
  base = await listen(server, config);
  const proactive = createProactive(config.app, log);
  const withMail = (deliver: DeliverToCaregiver): DeliverToCaregiver =>
    config.mail
      ? remindingByMail(deliver, { ...config.mail, words, conversations: store.conversations, base })
      : deliver;
  const dispatcher = createDispatcher({
    outbox: store.outbox,
    destinations: createDestinations(config, { words, clock, base, proactive }),
    caregiver: withMail(
      caregiver({
        conversations: store.conversations,
        clock,
        channels: {
          'bot-framework': botFrameworkWriteTo(
            proactive,
            createPictures({ words: loadPictureWords(), base: () => base }),
          ),
          ...(config.sms && {
            sms: smsWriteTo({
              config: config.sms,
              ids: conversationIds(masterSecret, config.secretKeysOld),
              optOuts: store.optOuts,
            }),
          }),
        },
      }),
    ),
    clock,
    random: Math.random,
    log,
  });
  const sweep = createSweep({ purge: store.purge, days: config.retentionDays, clock, log });
  stopOnSignal([server, dispatcher, sweep, photos], store);
  dispatcher.start();
  sweep.start();
  await announce(base, store, config.demo);
}

const settings = readConfig(process.env);
if (!settings.ok) fail(2, ['These settings cannot be used:', ...settings.problems]);
start(settings.config).catch((error: unknown) => {
  const { code, message } = error as NodeJS.ErrnoException;
  const taken = `LAPWING_PORT: port ${settings.config.port} is in use; set another one`;
  fail(1, [code === 'EADDRINUSE' ? taken : `Lapwing could not start: ${message}`]);
});
