import { once } from 'node:events';
import { connect, createServer, type Socket } from 'node:net';

/** A way to a database that can be cut: the service's connections break and new ones are refused. */
export async function cuttable(databaseUrl: string) {
  const target = new URL(databaseUrl);
  const open = new Set<Socket>();
  let whole = true;
  const proxy = createServer((inner) => {
    if (!whole) {
      inner.destroy();
      return;
    }
    const outer = connect(Number(target.port), target.hostname);
    for (const socket of [inner, outer]) {
      open.add(socket);
      socket.on('error', () => {});
      socket.on('close', () => {
        open.delete(socket);
        inner.destroy();
        outer.destroy();
      });
    }
    inner.pipe(outer).pipe(inner);
  }).listen(0, '127.0.0.1');
  await once(proxy, 'listening');
  const { port } = proxy.address() as { port: number };
  return {
    url: Object.assign(new URL(databaseUrl), { port: String(port) }).href,
    cut() {
      whole = false;
      for (const socket of open) socket.destroy();
    },
    mend() {
      whole = true;
    },
    close: () => proxy.close(),
  };
}
