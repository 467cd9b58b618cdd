import { sha256Hex } from '../../server/src/audit/sha256.ts';
import type { Incident } from '../../shared-types/src/index.ts';
import type { TestApp } from './test-app.ts';
import { accepted, type SeatedPanel } from './seated-panel.ts';
import { protocol } from './trials.ts';

/** What an acknowledgement of the shipped protocol's briefing names. */
export const BRIEFING = sha256Hex(protocol.cautions.session);

export const INCIDENT: Incident = {
  what: 'A bit slipped off a screw and scratched the shell.',
  happenedAt: '2026-03-02T09:10:00.000Z',
  task: 'fm-tool-first',
  trial: null,
  done: 'Stopped, changed the bit, eye protection checked.',
  direction: 'not-informed',
};

export const MEASURES = 'The strap was freed and the model asked; all agreed to go on.';
export const LEFT_OUT = 'The model asked that what was measured on them is not used.';

/** A day with everything in it: a briefing, a stop with a second call, a model who leaves, an incident. */
export const eventfulDay = async (_: TestApp, p: SeatedPanel): Promise<void> => {
  const { moderator, reviewers, onPanel, act } = p;
  const [a, b] = reviewers;
  if (!a || !b) throw new Error('two reviewers are needed');
  for (const who of [moderator, a]) {
    accepted(await onPanel(who, { type: 'acknowledge-briefing', text: BRIEFING }));
  }
  for (const model of ['M1', 'M2']) {
    accepted(await onPanel(moderator, { type: 'record-consent', model, written: true }));
  }
  accepted(await onPanel(a, { type: 'stop-everyone', reason: 'The strap caught the ear.' }));
  accepted(await onPanel(b, { type: 'stop-everyone', reason: 'I saw it too.' }));
  accepted(await onPanel(moderator, { type: 'resume-everyone', measures: MEASURES }));
  accepted(await onPanel(b, { type: 'withdraw-consent', model: 'M2' }));
  const decision = { type: 'decide-model-trials', model: 'M2', count: false } as const;
  accepted(await act(moderator, { ...decision, reason: LEFT_OUT }));
  accepted(await act(a, { type: 'note-incident', note: INCIDENT }));
};
