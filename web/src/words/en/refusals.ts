import type { Rejection, RejectionCode } from '@unhindered/shared-types';

/**
 * Words of ours for what the server does not do, by its code; where there are none, its own sentence is shown. `instead`
 * is false where both are: the server's sentence then names the particulars.
 */
export const refusals: { instead: boolean; of: Partial<Record<RejectionCode, string>> } = {
  instead: true,
  of: {
    'ratings-missing': 'Some have not finished.',
    'fit-check-missing': 'Check the fit first.',
    'already-settled': 'Somebody settled this task first. Reopen it to settle it anew.',
    'already-decided': 'Somebody decided this first. Reopen the task to decide anew.',
    'median-changed': 'The median changed meanwhile. Look at it, then decide.',
    'not-ready-to-lock': 'Something is still open; see the list.',
    'interest-bars': 'Your declared interest touches this task. Another moderator decides it.',
  },
};

/** What is shown of a refusal: our words, and the server's own sentence where it has to stand beside them, or alone. */
export const told = ({
  code,
  message,
}: Rejection): Promise<readonly [own: string, theirs: string]> => {
  const own = refusals.of[code] ?? '';
  return Promise.resolve([own, own !== '' && refusals.instead ? '' : message]);
};
