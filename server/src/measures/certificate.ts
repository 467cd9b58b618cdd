import { figure, noFigure, type Figure } from '../consensus/figure.ts';

/** A limit of a published rule that a laboratory's certificate may state a value for. */
export interface CertificateLimit {
  bound: 'at-least' | 'at-most';
  limit: number;
  source: string;
}

/** Limits of one rule, for bicycle helmets; other sports have their own. */
export const CERTIFICATE_LIMITS: Readonly<Record<string, CertificateLimit>> = {
  field_of_view_deg: {
    bound: 'at-least',
    limit: 105,
    source: '16 CFR 1203.12(a), bicycle helmets',
  },
  rolloff: { bound: 'at-most', limit: 0, source: '16 CFR 1203.12(b), bicycle helmets' },
  retention_elongation_mm: {
    bound: 'at-most',
    limit: 30,
    source: '16 CFR 1203.12(c), bicycle helmets',
  },
};

/**
 * Whether a value read off a certificate lies within the rule's limit, the limit included. It compares two numbers:
 * it does not say that a piece conforms to anything. No figure for a measure without such a limit.
 */
export const withinCertificateLimit = (
  measure: string,
  value: number,
): Figure<{ within: boolean; source: string }> => {
  const found = Object.hasOwn(CERTIFICATE_LIMITS, measure)
    ? CERTIFICATE_LIMITS[measure]
    : undefined;
  if (!found) return noFigure('no rule here states a limit for this measure');
  const within = found.bound === 'at-least' ? value >= found.limit : value <= found.limit;
  return figure({ within, source: found.source });
};
