/** `prefix_` and 128 random bits in base64url; works without a secure context too. */
export const randomId = (prefix: string): string => {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const text = btoa(String.fromCharCode(...bytes));
  return `${prefix}${text.replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '')}`;
};
