import type { AccessAnswer, AccessComparison } from '@unhindered/shared-types';
import { call } from './api.ts';

/** Times to access: of one evaluation, and of locked ones side by side. */
export const accessApi = {
  of: (evaluation: string) => call<AccessAnswer>(`/evaluations/${evaluation}/access`),
  compare: (ids: readonly string[]) =>
    call<AccessComparison>(`/compare/access?ids=${encodeURIComponent(ids.join(','))}`),
};
