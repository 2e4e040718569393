/** The languages of an Accept-Language header (RFC 9110), most wanted first. */
export function acceptedLanguages(header: string | undefined): string[] {
  return (header ?? '')
    .split(',')
    .map((part) => {
      const [tag = '', ...parameters] = part.split(';').map((text) => text.trim());
      const quality = parameters.find((text) => text.startsWith('q='));
      return { tag, quality: quality ? Number(quality.slice(2)) : 1 };
    })
    .filter(({ tag, quality }) => /^[a-z]{2,3}(-[a-z0-9]+)*$/i.test(tag) && quality > 0)
    .sort((a, b) => b.quality - a.quality)
    .map(({ tag }) => tag);
}
