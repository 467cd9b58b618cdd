import { describe, expect, test } from 'vitest';
import type { CommandAnswer } from '../../../shared-types/src/index.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import {
  findInRegister,
  lookAtSpecimen,
  monthsSince,
} from '../../../server/src/flows/look-register.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { DETAILS } from '../../support/specimen.ts';
import { testApp } from '../../support/test-app.ts';

const codeOf = (answer: CommandAnswer): string => (answer.ok ? 'ok' : answer.rejection.code);
const seated = async () => {
  const { app } = testApp();
  return { app, p: await seatedPanel(app, 2, { fitted: false, registered: true }) };
};
const CREATE = {
  type: 'create-evaluation',
  title: 'Again',
  protocol: { id: 'emergency-access', version: '1.0.0' },
} as const;

describe('the register beside evaluations', () => {
  test('SP-5 SP-8: a correction stands in the evaluation under way, whose first description stays', async () => {
    const { bytes, panel } = await lockedBundle(undefined, undefined, true);
    const { state } = await panel.live();
    expect(state.created?.registered?.details.serial).toBe('HX-0417');
    expect(state.created?.specimen.serial).toBe('HX-0417');
    expect(state.specimenCorrections.map((c) => [c.old.serial, c.new.serial])).toEqual([
      ['HX-0417', 'HX-0471'],
    ]);
    expect(verifyBundle(bytes).ok).toBe(true);
  });

  test('SP-5: what is locked keeps what it was locked with', async () => {
    const { app, panel } = await lockedBundle(undefined, undefined, true);
    const before = await panel.live();
    const size = before.size;
    const specimen = before.state.created?.registered?.specimen ?? '';
    const details = { ...DETAILS, serial: 'HX-9' };
    const correct = { type: 'correct-specimen', specimen, details, reason: 'misread' } as const;
    accepted(await panel.onPanel(panel.moderator, correct));
    expect((await panel.live()).size).toBe(size);
    const bundle = await exportBundle(app, await panel.live());
    expect(bundle.ok && verifyBundle(bundle.value).ok).toBe(true);
  });

  test('SP-4 SP-6: one register for all panels, searched by every word', async () => {
    const { app, p } = await seated();
    const other = await seatedPanel(app, 0, { fitted: false, registered: true });
    expect((await findInRegister(app, { text: '', retired: 'no' })).rows).toHaveLength(2);
    expect((await app.store.logs()).filter(({ log }) => log.startsWith('rg_'))).toHaveLength(1);
    const found = await findInRegister(app, { text: ' heron  hx-0471', retired: 'no' });
    expect(found.rows).toHaveLength(2);
    expect((await findInRegister(app, { text: 'heron gull', retired: 'no' })).rows).toEqual([]);
    const specimen = found.rows[0]?.specimen ?? '';
    const retire = { type: 'retire-specimen', specimen, reason: 'worn out' } as const;
    accepted(await p.onPanel(p.moderator, retire));
    expect((await findInRegister(app, { text: '', retired: 'no' })).rows).toHaveLength(1);
    expect((await findInRegister(app, { text: '', retired: 'yes' })).rows).toHaveLength(2);
    const again = await other.onPanel(other.moderator, { ...CREATE, registered: specimen });
    expect(codeOf(again)).toBe('already-decided');
  });

  test('SP-6: a specimen shows its evaluations, its age and its history', async () => {
    const { app, p } = await seated();
    const [row] = (await findInRegister(app, { text: '', retired: 'no' })).rows;
    const look = await lookAtSpecimen(app, p.lead, row?.specimen ?? '');
    if (!look.ok) throw new Error(look.rejection.message);
    expect(look.value.used).toMatchObject([
      { evaluation: p.evaluation, fit: 'missing', checks: 0, stage: 'preparing' },
    ]);
    expect(look.value.history.map((h) => h.what)).toEqual(['registered', 'corrected']);
    expect(look.value.history[1]?.old?.serial).toBe('HX-0417');
    expect(look.value.ageMonths).toBe(monthsSince(DETAILS.made, app.timers.now()));
  });

  test('AC-10: a member of another panel is not told of an evaluation under way', async () => {
    const { app, p } = await seated();
    const other = await seatedPanel(app, 1, { fitted: false });
    const [row] = (await findInRegister(app, { text: '', retired: 'no' })).rows;
    const usedFor = async (id: string | undefined) => {
      const session = await app.store.session(id ?? '');
      if (!session) throw new Error('nobody to look');
      const look = await lookAtSpecimen(app, session, row?.specimen ?? '');
      return look.ok ? look.value.used.length : -1;
    };
    expect(await usedFor(other.reviewers[0]?.session)).toBe(0);
    expect(await usedFor(p.reviewers[0]?.session)).toBe(1);
  });

  test('SP-7: an evaluation needs a specimen, described or registered', async () => {
    const { p } = await seated();
    expect(codeOf(await p.onPanel(p.moderator, CREATE))).toBe('bad-input');
    const unknown = { ...CREATE, registered: `sp_${'x'.repeat(22)}` };
    expect(codeOf(await p.onPanel(p.moderator, unknown))).toBe('unknown-thing');
  });

  test.each([
    ['2025-03-10', '2026-03-09T23:59:59.000Z', 11],
    ['2025-03-10', '2026-03-10T00:00:00.000Z', 12],
    ['2026-03-10', '2026-03-09T00:00:00.000Z', null],
    [null, '2026-03-09T00:00:00.000Z', null],
  ])('a piece made %s is at %s %s whole months old', (made, now, months) => {
    expect(monthsSince(made, Date.parse(now))).toBe(months);
  });
});
