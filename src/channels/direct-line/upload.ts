import type { Request } from 'restify';
import { readBytes } from '#src/http/read-body.ts';
import { type ReadActivity, readActivity } from './activities.ts';

/** As large as a phone's photograph is; what is larger is refused. */
const MAX_UPLOAD_BYTES = 12_000_000;

/**
 * Takes an upload's activity, if it has one with words; the files themselves are dropped.
 * A body of one file alone has no activity: it reads as a noted one.
 */
export async function readUpload(req: Request): Promise<ReadActivity> {
  const body = await readBytes(req, MAX_UPLOAD_BYTES);
  if (!body.ok) return { kind: 'refused', status: body.status, code: body.code, message: body.message };
  const type = req.headers['content-type'] ?? '';
  const bare = readActivity({ type: 'event' });
  if (!type.startsWith('multipart/form-data')) return bare;
  const form = await new Response(new Uint8Array(body.value), { headers: { 'Content-Type': type } })
    .formData()
    .catch(() => null);
  if (!form) {
    return { kind: 'refused', status: 400, code: 'BadSyntax', message: 'The upload is not valid multipart/form-data.' };
  }
  const part = form.get('activity');
  if (part === null) return bare;
  const json = parseJson(typeof part === 'string' ? part : await part.text());
  const read = readActivity(json);
  // A photograph without words is nothing to answer.
  return read.kind === 'message' && read.message.text.trim() === ''
    ? { kind: 'noted', activityId: read.message.activityId }
    : read;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
