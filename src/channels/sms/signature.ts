import { createHmac, timingSafeEqual } from 'node:crypto';

/** The header that carries the signature of a request. */
export const SIGNATURE_HEADER = 'x-twilio-signature';

/** A form's values by name; a name that comes twice counts each of its values once, in their order. */
function signedText(url: string, form: URLSearchParams): string {
  const names = [...new Set(form.keys())].sort();
  return (
    url +
    names
      .map((name) =>
        [...new Set(form.getAll(name))]
          .sort()
          .map((value) => name + value)
          .join(''),
      )
      .join('')
  );
}

/** The address with and without its scheme's own port: senders differ in which they sign. */
function forms(address: string): readonly string[] {
  const match = /^(https?):\/\/([^/?#]+?)(:\d+)?(?=[/?#]|$)/i.exec(address);
  if (!match) return [address];
  const [start, scheme = '', host = '', port] = match;
  const rest = address.slice(start.length);
  const usual = scheme.toLowerCase() === 'https' ? ':443' : ':80';
  return [address, `${scheme}://${host}${port ? '' : usual}${rest}`];
}

/** HMAC-SHA-1 over the whole address and the form's names and values in the order of the names, in base64. */
export const signatureOf = (token: string, url: string, form: URLSearchParams): string =>
  createHmac('sha1', token).update(signedText(url, form), 'utf8').digest('base64');

/** Whether a request to this address with this form was signed with the account's token; constant in time. */
export function signatureIsRight(token: string, given: string, url: string, form: URLSearchParams): boolean {
  const bytes = Buffer.from(given);
  return forms(url)
    .map((address) => Buffer.from(signatureOf(token, address, form)))
    .map((right) => right.length === bytes.length && timingSafeEqual(right, bytes))
    .includes(true);
}
