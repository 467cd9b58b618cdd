import type { Protocol, PublicRecord } from '@unhindered/shared-types';
import { recordState } from './catalogue-entry.ts';
import type { EvaluationState } from './state.ts';

/** The record that took another one's place, as far as a reader needs it. */
export type SuccessorShown = PublicRecord['successor'];

type Published = Omit<
  PublicRecord,
  | 'kind'
  | 'scale'
  | 'meaning'
  | 'software'
  | 'result'
  | 'sections'
  | 'tasks'
  | 'panel'
  | 'endorsements'
  | 'head'
>;

/** What a public record and a care card both say of themselves. Undefined before the lock. */
export const published = (
  state: EvaluationState,
  protocol: Protocol,
  successor: SuccessorShown,
): Published | undefined => {
  const { created, locked } = state;
  if (!created || !locked) return undefined;
  const { scope, gate, removal, thresholds } = protocol.cautions;
  return {
    evaluation: created.evaluation,
    title: created.title,
    specimen: created.specimen,
    protocol: {
      id: protocol.id,
      version: protocol.version,
      title: protocol.title,
      invented: protocol.invented,
      ...(protocol.language === undefined ? {} : { language: protocol.language }),
    },
    state: recordState(state),
    successor,
    lockedAt: locked.at,
    reviewers: locked.result.counted.length,
    cautions: { scope, gate, removal, thresholds },
  };
};
