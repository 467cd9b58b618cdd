import { describe, expect, test } from 'vitest';
import type { CommandAnswer, FitCheck } from '../../../shared-types/src/index.ts';
import { fitSlice, fitStanding } from '../../../server/src/evaluation/fit.ts';
import { inventedFit } from '../../../server/src/rehearse/invented-fit.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { DETAILS } from '../../support/specimen.ts';
import { testApp } from '../../support/test-app.ts';

const REASON = 'The maker gives no instructions for this size.';
const codeOf = (answer: CommandAnswer): string => (answer.ok ? 'ok' : answer.rejection.code);

const rated = async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 2, { fitted: false, registered: true });
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  for (const who of p.reviewers) await p.rate(who, { 'airway-open': 1 });
  return { app, p };
};
const check = (
  p: SeatedPanel,
  change: Partial<FitCheck> = {},
  replaces: string | null = null,
  reason: string | null = null,
): Promise<CommandAnswer> =>
  p.act(p.moderator, {
    type: 'check-fit',
    check: { ...inventedFit(p.moderator.seat), ...change },
    replaces,
    reason,
  });
const open = (p: SeatedPanel) => p.act(p.moderator, { type: 'open-round', withMissing: true });
const standing = async (p: SeatedPanel) => fitStanding((await p.live()).state);

describe('the fit check and the first opening', () => {
  test('FI-4: the first round stays sealed without a check and after a failed one, and opens after one that passed', async () => {
    const { p } = await rated();
    expect(codeOf(await open(p))).toBe('fit-check-missing');
    accepted(await check(p, { outcome: 'failed', problems: 'The strap does not reach.' }));
    expect(await standing(p)).toBe('failed');
    expect(codeOf(await open(p))).toBe('fit-check-missing');
    accepted(await check(p));
    expect(codeOf(await open(p))).toBe('ok');
  });

  test('FI-4: the refused opening leaves the sheets as they were, to be written on', async () => {
    const { p } = await rated();
    expect(codeOf(await open(p))).toBe('fit-check-missing');
    const [a] = p.reviewers;
    if (a) await p.rate(a, { 'airway-open': 3 });
    accepted(await check(p));
    accepted(await open(p));
    const { state } = await p.live();
    expect(state.ratings.get('airway-open')?.get(a?.seat ?? '')?.rating.step).toBe(3);
  });

  test('FI-1: an override opens the round with its reason on record, and a later check ends it', async () => {
    const { p } = await rated();
    const override = () => p.act(p.moderator, { type: 'override-fit', reason: REASON });
    accepted(await override());
    expect(await standing(p)).toBe('overridden');
    expect(codeOf(await override())).toBe('nothing-to-decide');
    accepted(await check(p, { outcome: 'failed' }));
    expect(codeOf(await open(p))).toBe('fit-check-missing');
    accepted(await override());
    expect(codeOf(await open(p))).toBe('ok');
    const { overrides } = fitSlice((await p.live()).state);
    expect(overrides.map((o) => o.reason)).toEqual([REASON, REASON]);
  });

  test('FI-2: a check does not pass with a step that is not met, nor with none that is', async () => {
    const { p } = await rated();
    const step = { what: 'Straps', remark: '' };
    for (const result of ['not-met', 'not-applicable'] as const) {
      expect(codeOf(await check(p, { steps: [{ ...step, result }] }))).toBe('bad-input');
    }
    expect(await standing(p)).toBe('missing');
  });

  test('FI-3: a correction names the check it replaces and says why; both are kept', async () => {
    const { p } = await rated();
    accepted(await check(p));
    const [first = ''] = (await p.live()).state.fitChecks.keys();
    expect(codeOf(await check(p, { outcome: 'failed' }, first))).toBe('reason-required');
    accepted(await check(p, { outcome: 'failed' }, first, 'The wrong size was on the model.'));
    expect(codeOf(await check(p, {}, first, 'again'))).toBe('already-decided');
    expect(codeOf(await check(p, {}, `ft_${'x'.repeat(22)}`, 'none'))).toBe('unknown-thing');
    const { checks } = fitSlice((await p.live()).state);
    expect(checks.map((c) => [c.outcome, c.replacedBy !== null])).toEqual([
      ['passed', true],
      ['failed', false],
    ]);
    expect(codeOf(await open(p))).toBe('fit-check-missing');
  });

  test('a recorder checks and registers; reviewer and observer do neither; a recorder overrides nothing', async () => {
    const { p } = await rated();
    const recorder = await p.sit('recorder', 'Rita (invented)');
    const observer = await p.sit('observer', 'Olle (invented)');
    const command = (checker: string) =>
      ({ type: 'check-fit', check: inventedFit(checker), replaces: null, reason: null }) as const;
    const register = { type: 'register-specimen', details: DETAILS } as const;
    for (const who of [...p.reviewers, observer]) {
      expect(codeOf(await p.act(who, command(who.seat)))).toBe('role-may-not');
      expect(codeOf(await p.onPanel(who, register))).toBe('role-may-not');
    }
    const override = { type: 'override-fit', reason: REASON } as const;
    expect(codeOf(await p.act(recorder, override))).toBe('role-may-not');
    accepted(await p.act(recorder, command(recorder.seat)));
    accepted(await p.onPanel(recorder, register));
  });

  test('FI-5: a bundle with a check, a correction of its specimen and an opening verifies', async () => {
    const { bytes } = await lockedBundle(undefined, undefined, true);
    expect(verifyBundle(bytes).ok).toBe(true);
  });
});
