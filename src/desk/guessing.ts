import type { BlockList } from 'node:net';
import type { Request } from 'restify';
import { isLoopbackAddress } from '#src/channels/bot-framework/loopback.ts';
import { addressKey, clientAddress } from '#src/protection/client-address.ts';
import { nameKey } from '#src/store/accounts.ts';
import { tokenHash } from './secrets.ts';

const FREE_TRIES = 5;
/** A whole organisation may share an address. */
const FREE_TRIES_OF_ADDRESS = 20;
const FIRST_DELAY_MS = 30_000;
const LONGEST_DELAY_MS = 15 * 60_000;

/** The wait after so many wrong tries in a row: none for a few, then twice as long each time, up to 15 minutes. */
export const delayAfter = (failures: number, free = FREE_TRIES): number =>
  failures < free ? 0 : Math.min(FIRST_DELAY_MS * 2 ** (failures - free), LONGEST_DELAY_MS);

export const delayOfAddress = (failures: number): number => delayAfter(failures, FREE_TRIES_OF_ADDRESS);

/** What wrong tries are counted under: the name that was typed, whether or not anybody has it, and the address. */
export interface GuessKeys {
  readonly name: string;
  /** Null where the address says nothing: on this machine, a proxy that nobody named speaks for all. */
  readonly address: string | null;
}

export function guessKeys(req: Request, name: string, proxies: BlockList): GuessKeys {
  const address = clientAddress(req.socket.remoteAddress, req.headers['x-forwarded-for']?.toString(), proxies);
  return {
    name: tokenHash(`name ${nameKey(name)}`),
    address: address === null || isLoopbackAddress(address) ? null : tokenHash(`address ${addressKey(address)}`),
  };
}
