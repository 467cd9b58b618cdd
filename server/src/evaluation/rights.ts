import type { EvaluationCommandType, PanelCommandType, Role } from '@unhindered/shared-types';

const moderator: readonly Role[] = ['moderator'];
/** Who handles the specimens. */
const handlers: readonly Role[] = ['moderator', 'recorder'];
const reviewer: readonly Role[] = ['reviewer'];

/** EV-3: who may try what. A moderator never rates and a reviewer never moderates. */
export const EVALUATION_RIGHTS: Record<EvaluationCommandType, readonly Role[]> = {
  'start-round': moderator,
  'finish-sheet': reviewer,
  'resume-sheet': reviewer,
  'open-round': moderator,
  'correct-rating': reviewer,
  'offer-late': reviewer,
  'decide-late': moderator,
  'import-ratings': moderator,
  'call-round': moderator,
  'settle-task': moderator,
  'adopt-undisputed': moderator,
  'reopen-task': moderator,
  'decide-gate': moderator,
  'present-task': moderator,
  lock: moderator,
  withdraw: moderator,
  supersede: moderator,
  endorse: reviewer,
  'check-fit': handlers,
  'override-fit': moderator,
  'attach-media': ['moderator', 'reviewer', 'recorder', 'operator'],
  'remove-media': moderator,
  'mark-moment': ['moderator', 'reviewer', 'observer', 'recorder', 'operator'],
  'watch-clip': reviewer,
  'state-observation': reviewer,
};

/** Who may try what on a panel. */
export const PANEL_RIGHTS: Record<PanelCommandType, readonly Role[]> = {
  invite: moderator,
  'cancel-invitation': moderator,
  'revoke-seat': moderator,
  'declare-interest': ['moderator', 'reviewer'],
  'admit-arrival': moderator,
  'refuse-arrival': moderator,
  'reopen-codes': moderator,
  'create-evaluation': moderator,
  'add-device': ['moderator', 'reviewer', 'observer', 'recorder', 'operator'],
  'move-device': ['moderator', 'reviewer', 'observer', 'recorder', 'operator'],
  'publish-link': moderator,
  'end-link': moderator,
  'erase-name': moderator,
  'register-specimen': handlers,
  'correct-specimen': handlers,
  'retire-specimen': handlers,
};
