import { BUNDLE_FORMAT, type Bundle } from '@unhindered/shared-types';
import { canonicalText } from '../audit/canonical-json.ts';

/**
 * The bytes of a bundle file: RFC 8785 text in UTF-8, no line feed at the end, one right file per content. AU-9: FORMAT.md
 * beside this file says everything that a second verifier needs; one written from it agrees with ours.
 */
export const buildBundle = (content: Omit<Bundle, 'format'>): Uint8Array =>
  new TextEncoder().encode(canonicalText({ format: BUNDLE_FORMAT, ...content }));
