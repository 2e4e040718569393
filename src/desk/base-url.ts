import type { AddressInfo } from 'node:net';
import type { Server } from 'restify';
import type { DeskDeps } from './deps.ts';

/** Where people reach the service, without a slash at its end; asked for once it listens. */
export const baseUrl = (server: Server, { publicUrl }: Pick<DeskDeps, 'publicUrl'>): string =>
  publicUrl?.replace(/\/+$/, '') ?? `http://localhost:${(server.address() as AddressInfo).port}`;
