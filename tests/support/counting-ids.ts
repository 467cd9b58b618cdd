import type { Ids } from '../../server/src/ports/ids.ts';

/** Ids, secrets and codes that count up: the same in every run. */
export const countingIds = (): Ids => {
  let n = 0;
  const next = (length: number): string => String(++n).padStart(length, '0');
  return {
    id: (prefix) => `${prefix}_${next(22)}`,
    secret: (bytes) => `secret-${next(Math.ceil((bytes * 4) / 3) - 7)}`,
    code: () => `2222-${next(4).replaceAll('0', 'Z').replaceAll('1', 'Y')}`,
    nonce: () => next(64),
  };
};
