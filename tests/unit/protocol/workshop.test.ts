import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  applyWorkshop,
  decideWorkshop,
  emptyWorkshop,
  type WorkshopContext,
  type WorkshopState,
} from '../../../server/src/protocol/workshop.ts';
import type { Outcome, WorkshopCommand } from '../../../shared-types/src/index.ts';
import { changedText, COPY, STANDARD } from '../../support/workshop.ts';

const AT = '2026-03-02T09:00:00.000Z';
const DRAFT = `pd_${'d'.repeat(22)}`;
const context: WorkshopContext = {
  draft: DRAFT,
  published: [STANDARD],
  nameOf: (actor) => `name of ${actor}`,
};

const step = (
  state: WorkshopState,
  command: WorkshopCommand,
  actor = 'st_1',
): { state: WorkshopState; outcome: Outcome<unknown> } => {
  const outcome = decideWorkshop(state, command, context);
  const events = outcome.ok ? outcome.value.events : [];
  return {
    outcome,
    state: events.reduce((s, e) => applyWorkshop(s, { ...e, at: AT, actor }), state),
  };
};
const begun = (text?: string): WorkshopState =>
  step(
    emptyWorkshop,
    text === undefined ? COPY : { type: 'begin-draft', from: { of: 'file', name: 'x' }, text },
  ).state;

const textOf = (state: WorkshopState): string | undefined => state.drafts.get(DRAFT)?.text;

test('PR-7: the text follows from its changes, whatever is typed, signs of two units included', () => {
  const unit = fc.constantFrom('a', 'b', '\n', '"', '{', '🏈', '👩', 'é');
  const text = fc.string({ unit, maxLength: 12 });
  fc.assert(
    fc.property(text, fc.array(text, { maxLength: 8 }), (first, more) => {
      let state = begun(first);
      for (const next of more) {
        const revision = state.drafts.get(DRAFT)?.revision ?? 0;
        const outcome = decideWorkshop(
          state,
          { type: 'save-draft', draft: DRAFT, revision, text: next },
          context,
        );
        if (!outcome.ok) throw new Error(outcome.rejection.message);
        for (const event of outcome.value.events) {
          if (event.type === 'draft-saved') {
            expect(event.data.inserted).not.toMatch(/\p{Surrogate}/u);
          }
          state = applyWorkshop(state, { ...event, at: AT, actor: 'st_1' });
        }
        expect(textOf(state)).toBe(next);
      }
    }),
    { numRuns: 500 },
  );
});

test('PR-7: a copy has the next free number and is otherwise the version itself', () => {
  const copy = JSON.parse(textOf(begun()) ?? '') as typeof STANDARD;
  expect(copy).toEqual({ ...STANDARD, version: '1.1.0' });
  expect(
    step(emptyWorkshop, { type: 'begin-draft', from: { of: 'file', name: 'x' } }),
  ).toMatchObject({ outcome: { rejection: { code: 'bad-input' } } });
  const unknown = { of: 'version', id: 'none', version: '1.0.0' } as const;
  expect(step(emptyWorkshop, { type: 'begin-draft', from: unknown })).toMatchObject({
    outcome: { rejection: { code: 'unknown-thing' } },
  });
});

test('PR-8: who saves over a change they have not seen is told whose it is, and nothing is kept', () => {
  const first = step(
    begun(),
    { type: 'save-draft', draft: DRAFT, revision: 1, text: 'theirs' },
    'st_2',
  );
  const mine = { type: 'save-draft', draft: DRAFT, revision: 1, text: 'mine' } as const;
  for (const command of [
    mine,
    { type: 'discard-draft', draft: DRAFT, revision: 1 } as const,
    { type: 'publish-draft', draft: DRAFT, revision: 1, note: 'New.' } as const,
  ]) {
    const second = step(first.state, command);
    expect(second.outcome).toMatchObject({
      rejection: {
        code: 'draft-changed',
        message: expect.stringMatching(/name of st_2 saved this draft on 2026-03-02 09:00 UTC/u),
        detail: { by: 'name of st_2', at: AT, revision: 2 },
      },
    });
    expect(second.state).toBe(first.state);
  }
  expect(textOf(step(first.state, { ...mine, revision: 2 }).state)).toBe('mine');
});

test('PR-9: faults, and a version that does not come after the former, are not published', () => {
  const publish = (text: string) =>
    step(begun(text), { type: 'publish-draft', draft: DRAFT, revision: 1, note: 'New weights.' });
  const faulty = changedText((p) => {
    p.version = '1.1.0';
    p.gate.minValidTrials = 0;
  });
  expect(publish(faulty).outcome).toMatchObject({
    rejection: {
      code: 'protocol-faulty',
      message: expect.stringContaining('/gate/minValidTrials'),
    },
  });
  for (const version of ['1.0.0', '0.9.9']) {
    expect(publish(changedText((p) => (p.version = version))).outcome).toMatchObject({
      rejection: { code: 'version-order', message: expect.stringContaining('1.1.0 or higher') },
    });
  }
  const good = publish(changedText((p) => (p.version = '1.0.1')));
  expect(good.outcome.ok).toBe(true);
  expect(good.state.drafts.size).toBe(0);
  expect(good.state.published).toMatchObject([
    { id: STANDARD.id, version: '1.0.1', former: '1.0.0', note: 'New weights.', by: 'st_1' },
  ]);
  const own = publish(changedText((p) => (p.id = 'own-protocol')));
  expect(own.state.published).toMatchObject([{ version: '1.0.0', former: null }]);
});

test('PR-7: a draft that is gone takes nothing more, and there are not too many at once', () => {
  const gone = step(begun(), { type: 'discard-draft', draft: DRAFT, revision: 1 }).state;
  expect(
    step(gone, { type: 'save-draft', draft: DRAFT, revision: 1, text: 'x' }).outcome,
  ).toMatchObject({ rejection: { code: 'unknown-thing' } });
  const draft = begun().drafts.get(DRAFT);
  if (!draft) throw new Error('no draft');
  const drafts = new Map(Array.from({ length: 50 }, (_, i) => [String(i), draft]));
  expect(step({ ...emptyWorkshop, drafts }, COPY).outcome).toMatchObject({
    rejection: { code: 'bad-input', message: expect.stringContaining('Publish or discard') },
  });
});
