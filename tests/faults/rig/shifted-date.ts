import { openSync, readSync } from 'node:fs';

// Loaded before a service: its clock is this machine's and what a file says, in milliseconds, which may change any time.
const file = openSync(process.env.CLOCK_FILE ?? '', 'r');
const bytes = Buffer.alloc(20);
const RealDate = Date;

function now(): number {
  readSync(file, bytes, 0, bytes.length, 0);
  return RealDate.now() + (Number(bytes.toString('latin1')) || 0);
}

globalThis.Date = new Proxy(RealDate, {
  get: (target, name) => (name === 'now' ? now : Reflect.get(target, name)),
  construct: (target, args, made) =>
    Reflect.construct(target, args.length > 0 ? args : [now()], made === globalThis.Date ? target : made) as Date,
  apply: (target) => new target(now()).toString(),
});
