/** A path into JSON as text, such as `$.children[0].weightKg`. */
export const jsonPath = (path: readonly PropertyKey[]): string =>
  path.reduce<string>(
    (done, part) =>
      typeof part === 'number'
        ? `${done}[${part}]`
        : /^\w+$/.test(String(part))
          ? `${done}.${String(part)}`
          : `${done}['${String(part)}']`,
    '$',
  );
