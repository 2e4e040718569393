import type { Request } from 'restify';
import { cleanText } from '#src/channels/clean-text.ts';
import { readBytes } from '#src/http/read-body.ts';
import { type ReadActivity, readActivity } from './activities.ts';

/** As large as a phone's photograph is; what is larger is refused. */
const MAX_UPLOAD_BYTES = 12_000_000;
const MAX_NAME_LENGTH = 120;
/** A photo from the page is below a megabyte; slower than this, nobody waits for the answer. */
const LONGEST_UPLOAD_MS = 90_000;

type Refused = Extract<ReadActivity, { kind: 'refused' }>;

export type Upload =
  | Refused
  | {
      readonly kind: 'files';
      readonly activity: Exclude<ReadActivity, Refused>;
      /** What the files are called where they come from. */
      readonly names: readonly string[];
      readonly contents: readonly Buffer[];
    };

const malformed = (message: string): Refused => ({ kind: 'refused', status: 400, code: 'BadSyntax', message });

/** Reads an upload in either form of the reference: one bare file, or multipart with an activity and files. */
export async function readUpload(req: Request): Promise<Upload> {
  const body = await readBytes(req, MAX_UPLOAD_BYTES, LONGEST_UPLOAD_MS);
  if (!body.ok) return { kind: 'refused', status: body.status, code: body.code, message: body.message };
  const type = req.headers['content-type'] ?? '';
  if (!/^multipart\/form-data\b/i.test(type)) {
    return files({ type: 'event' }, [bareName(req.headers['content-disposition'])], [body.value]);
  }
  const form = await new Response(new Uint8Array(body.value), { headers: { 'Content-Type': type } })
    .formData()
    .catch(() => null);
  if (!form) return malformed('The upload is not valid multipart/form-data.');
  const parts = [...form.entries()].flatMap(([part, value]) =>
    part !== 'activity' && typeof value !== 'string' ? [value as File] : [],
  );
  const names = parts.map(({ name }) => name);
  const contents = await Promise.all(parts.map(async (file) => Buffer.from(await file.arrayBuffer())));
  const part = form.get('activity');
  if (part === null) return files({ type: 'event' }, names, contents);
  return files(parseJson(typeof part === 'string' ? part : await part.text()), names, contents);
}

function files(json: unknown, names: readonly string[], contents: readonly Buffer[]): Upload {
  const activity = readActivity(json);
  if (activity.kind === 'refused') return activity;
  const clean = names.map((name) => cleanText(name).replace(/\s+/g, ' ').trim().slice(0, MAX_NAME_LENGTH));
  return { kind: 'files', activity, names: clean, contents };
}

/** The name in a Content-Disposition header (RFC 6266), in either of its two forms. */
function bareName(header: string | undefined): string {
  const extended = /filename\*=UTF-8''([^;\s]+)/i.exec(header ?? '')?.[1];
  if (extended) return decoded(extended);
  const plain = /filename="([^"]*)"|filename=([^;\s]+)/i.exec(header ?? '');
  return plain?.[1] ?? plain?.[2] ?? '';
}

function decoded(text: string): string {
  try {
    return decodeURIComponent(text);
  } catch {
    return '';
  }
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
