/**
 * Whether every text in a JSON value is Unicode NFC, as the writer leaves it: a re-signed log could otherwise say the
 * same to the eye in other bytes. Looked at text by text: across the quotes and escapes of JSON signs may combine.
 */
export const isComposed = (value: unknown): boolean => {
  if (typeof value === 'string') return value.normalize('NFC') === value;
  if (typeof value !== 'object' || value === null) return true;
  return Object.values(value).every(isComposed);
};
