import {
  STOPS_EVERYONE,
  TAKES_PART,
  type EvaluationCommandType,
  type PanelCommandType,
  type Role,
} from '@unhindered/shared-types';

const moderator: readonly Role[] = ['moderator'];
/** Who handles the specimens. */
const handlers: readonly Role[] = ['moderator', 'recorder'];
const reviewer: readonly Role[] = ['reviewer'];
/** Everybody in the room: who sees it says it. */
const people: readonly Role[] = ['moderator', 'reviewer', 'observer', 'recorder', 'operator'];

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
  'watch-clip': reviewer,
  'state-observation': reviewer,
  'mark-moment': people,
  'decide-model-trials': moderator,
  'note-incident': people,
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
  'add-device': people,
  'move-device': people,
  'publish-link': moderator,
  'end-link': moderator,
  'erase-name': moderator,
  'register-specimen': handlers,
  'correct-specimen': handlers,
  'retire-specimen': handlers,
  'add-specimen-photo': handlers,
  'caption-specimen-photo': handlers,
  'remove-specimen-photo': handlers,
  'stop-everyone': STOPS_EVERYONE,
  'resume-everyone': moderator,
  'acknowledge-briefing': TAKES_PART,
  'record-consent': handlers,
  'withdraw-consent': people,
};
