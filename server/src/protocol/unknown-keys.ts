import type * as v from 'valibot';
import { pointer } from './json-places.ts';

type Schema = v.GenericSchema & {
  type: string;
  entries?: Record<string, Schema>;
  item?: Schema;
  wrapped?: Schema;
};

/**
 * JSON pointers of every key that a schema of objects, lists and optional or nullable parts does not know. The schema's
 * own run names only the first one of each object.
 */
export const unknownKeys = (schema: v.GenericSchema, value: unknown, place = ''): string[] => {
  const { type, entries, item, wrapped } = schema as Schema;
  if (wrapped) return unknownKeys(wrapped, value, place);
  if (item && Array.isArray(value)) {
    return value.flatMap((one, i) => unknownKeys(item, one, pointer(place, i)));
  }
  if (!entries || typeof value !== 'object' || value === null || Array.isArray(value)) return [];
  return Object.entries(value).flatMap(([key, inner]) => {
    const known = Object.hasOwn(entries, key) ? entries[key] : undefined;
    if (known) return unknownKeys(known, inner, pointer(place, key));
    return type === 'strict_object' ? [pointer(place, key)] : [];
  });
};
