import type { Envelope } from '@unhindered/shared-types';
import { canonicalText } from './canonical-json.ts';

/**
 * AU-1: the exact text of an event: RFC 8785 JSON, stored as written and never serialised again. Figures are
 * decimal strings and every number is an integer, so that no reader can differ in how it formats one.
 */
export const eventText = (event: Envelope): string => {
  assertIntegers(event);
  return canonicalText(event);
};

const assertIntegers = (value: unknown): void => {
  if (typeof value === 'number' && !Number.isSafeInteger(value)) {
    throw new TypeError('numbers in an event are safe integers');
  }
  if (typeof value === 'object' && value !== null) Object.values(value).forEach(assertIntegers);
};
