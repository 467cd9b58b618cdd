import { describe, expect, test } from 'vitest';
import { Catalogue, rowOf } from '../../../server/src/flows/catalogue.ts';
import { compareEvaluations, findInCatalogue } from '../../../server/src/flows/compare.ts';
import { careCardOf, catalogueRefusal } from '../../../server/src/flows/publication.ts';
import { endorsementSlice } from '../../../server/src/evaluation/view/endorsements.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted, resultOf, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import { lockPlain, REASON, twoRecords } from '../../support/two-records.ts';

describe('the catalogue', () => {
  test('CA-1: followed, started again from its copy, or made anew from the events, it says the same', async () => {
    const test = testApp();
    const { app } = test;
    const panel = await seatedPanel(app, 3);
    expect((await findInCatalogue(app, {})).total).toBe(0);
    await lockPlain(panel);
    const followed = (await app.catalogue.all(app)).map((e) => e.row);
    expect(followed).toHaveLength(1);
    const [kept] = await app.store.catalogue();
    expect(kept?.size).toBe((await panel.live()).size);
    const restarted = await new Catalogue().all(app);
    expect(restarted.map((e) => e.row)).toEqual(followed);
    const stale = { log: panel.evaluation, size: 1, text: kept?.text ?? '' };
    await app.store.commit({ catalogue: [stale] });
    expect((await new Catalogue().all(app)).map((e) => e.row)).toEqual(followed);
    accepted(await panel.act(panel.moderator, { type: 'withdraw', reason: REASON }));
    const [withdrawn] = (await findInCatalogue(app, {})).rows;
    expect(withdrawn?.state).toMatchObject({ kind: 'withdrawn', reason: REASON });
  });

  test('CA-1: a copy that was kept by another program version is made again, not believed', async () => {
    const { app, panel } = await lockedBundle();
    const size = (await panel.live()).size;
    const text = JSON.stringify({ format: 0, entry: { evaluation: panel.evaluation } });
    await app.store.commit({ catalogue: [{ log: panel.evaluation, size, text }] });
    const [entry] = await new Catalogue().all(app);
    expect(entry?.row.title).toBe('Heron 3');
  });

  test('CA-2: no seat, name or rating leaves with an answer', async () => {
    const { app, panel, later } = await twoRecords();
    const answers = JSON.stringify([
      await findInCatalogue(app, {}),
      await compareEvaluations(app, [panel.evaluation, later.evaluation]),
      await careCardOf(app, panel.evaluation),
    ]);
    expect(answers).not.toContain('"st_');
    expect(answers).not.toContain('Reviewer 1');
    expect(answers).not.toContain('ratings"');
    const entry = await app.catalogue.one(app, panel.evaluation);
    expect(JSON.stringify(entry)).toContain('st_');
    expect(JSON.stringify(entry && rowOf(entry))).not.toContain('st_');
  });

  test('CA-7: every seat but the wall reads it, and a reviewer not while their own sheet is sealed', async () => {
    const { app } = testApp();
    const panel = await seatedPanel(app, 3);
    const { moderator, reviewers, act } = panel;
    const refusal = async (seat: string): Promise<string | undefined> => {
      const [session] = await app.store.sessionsOf(seat);
      return session && (await catalogueRefusal(app, session))?.code;
    };
    const reviewer = reviewers[0]?.seat ?? '';
    const observer = (await panel.sit('observer', 'Olga')).seat;
    const wall = (await panel.sit('wall', 'Wall')).seat;
    expect(await catalogueRefusal(app, panel.lead)).toBeUndefined();
    expect([await refusal(reviewer), await refusal(wall)]).toEqual([undefined, 'role-may-not']);
    accepted(await act(moderator, { type: 'start-round' }));
    expect([await refusal(reviewer), await refusal(observer)]).toEqual(['round-sealed', undefined]);
    for (const who of reviewers) await panel.rate(who, { 'pulse-check': 1 });
    accepted(await act(moderator, { type: 'open-round', withMissing: true }));
    expect(await refusal(reviewer)).toBeUndefined();
  });

  test('a comparison of what is not locked is refused and names it; so are none and thirteen', async () => {
    const { app, panel } = await lockedBundle();
    const codes = await Promise.all(
      [
        ['ev_none', panel.evaluation],
        [],
        Array.from({ length: 13 }, (_, i) => `ev_${String(i)}`),
      ].map(async (ids) => {
        const answer = await compareEvaluations(app, ids);
        return answer.ok ? 'ok' : [answer.rejection.code, answer.rejection.detail];
      }),
    );
    expect(codes).toEqual([
      ['unknown-thing', { evaluation: 'ev_none' }],
      ['bad-input', undefined],
      ['bad-input', undefined],
    ]);
  });
});

describe('after the lock', () => {
  test('CR-1: withdrawn, a record keeps its result, its bundle verifies and says so, and the log only grew', async () => {
    const { app, panel, bytes, key } = await lockedBundle();
    const before = await app.store.events(panel.evaluation);
    const { result } = (await panel.live()).state.locked ?? {};
    accepted(await panel.act(panel.moderator, { type: 'withdraw', reason: REASON }));
    const after = await app.store.events(panel.evaluation);
    expect(after.slice(0, before.length)).toEqual(before);
    expect(after).toHaveLength(before.length + 1);
    const live = await panel.live();
    expect(live.state.stage).toBe('withdrawn');
    expect(live.state.locked?.result).toEqual(result);
    const bundle = await exportBundle(app, live);
    if (!bundle.ok) throw new Error(bundle.rejection.message);
    expect(verifyBundle(bytes, { key }).facts?.since).toEqual({
      superseded: null,
      withdrawn: null,
    });
    const now = verifyBundle(bundle.value, { key });
    expect(now.findings).toEqual([]);
    expect(now.facts?.since).toEqual({ superseded: null, withdrawn: REASON });
  });

  test('CR-2: only a later record that stands takes the place of another, and once', async () => {
    const { app, panel, later, key } = await twoRecords();
    const supersede = async (who: SeatedPanel, by: string) => {
      const answer = await who.act(who.moderator, { type: 'supersede', by, reason: REASON });
      return answer.ok ? 'ok' : answer.rejection.code;
    };
    expect(await supersede(panel, panel.evaluation)).toBe('bad-input');
    expect(await supersede(panel, `ev_${'x'.repeat(22)}`)).toBe('unknown-thing');
    expect(await supersede(later, panel.evaluation)).toBe('bad-input');
    expect(await supersede(panel, later.evaluation)).toBe('ok');
    expect(await supersede(panel, later.evaluation)).toBe('already-decided');
    const live = await panel.live();
    expect(live.state.supersededBy).toMatchObject({ evaluation: later.evaluation });
    const bundle = await exportBundle(app, live);
    if (!bundle.ok) throw new Error(bundle.rejection.message);
    expect(verifyBundle(bundle.value, { key }).facts?.since.superseded).toBe(later.evaluation);
  });

  test('CR-2: a withdrawn record, or one that is not locked, takes no place', async () => {
    const { app, panel, later } = await twoRecords();
    const open = await seatedPanel(app, 3);
    accepted(await later.act(later.moderator, { type: 'withdraw', reason: REASON }));
    for (const by of [later.evaluation, open.evaluation]) {
      const answer = await panel.act(panel.moderator, { type: 'supersede', by, reason: REASON });
      expect(answer).toMatchObject({ ok: false, rejection: { code: 'unknown-thing' } });
    }
  });

  test('a re-evaluation names the record that it does again, and only a locked one', async () => {
    const { app, panel } = await lockedBundle();
    const open = await seatedPanel(app, 3);
    const make = (reevaluates: string) =>
      panel.onPanel(panel.moderator, {
        type: 'create-evaluation',
        title: 'Heron 3, again',
        specimen: {
          kind: 'helmet',
          sport: 'gridiron',
          maker: 'Larkmoor (invented)',
          model: 'Heron 3',
          year: '',
          size: '',
          serial: '',
          condition: '',
          fastening: '',
          suppliedBy: '',
        },
        protocol: { id: 'emergency-access', version: '1.0.0' },
        reevaluates,
      });
    expect(await make(open.evaluation)).toMatchObject({
      ok: false,
      rejection: { code: 'unknown-thing' },
    });
    const made = resultOf(await make(panel.evaluation));
    if (made.kind !== 'evaluation') throw new Error('no evaluation came');
    const live = await app.logs.evaluation(made.evaluation);
    expect(live?.state.created?.reevaluates).toBe(panel.evaluation);
  });
});

describe('endorsements', () => {
  test('EN-1 EN-2: stated after the opening, changed until the lock, shown only after it, and in no figure', async () => {
    const { app } = testApp();
    const panel = await seatedPanel(app, 3);
    const { moderator, reviewers, act } = panel;
    const [a, b] = reviewers;
    if (!a || !b) throw new Error('nobody is seated');
    const endorse = (content: boolean) =>
      ({ type: 'endorse', content, reason: 'Sits well and cleans well.' }) as const;
    const refusal = async (who: typeof a) => {
      const answer = await act(who, endorse(true));
      return answer.ok ? 'ok' : answer.rejection.code;
    };
    expect(await refusal(a)).toBe('not-started');
    accepted(await act(moderator, { type: 'start-round' }));
    expect(await refusal(a)).toBe('round-sealed');
    for (const who of reviewers) await panel.rate(who, { 'pulse-check': 1 });
    accepted(await act(moderator, { type: 'open-round', withMissing: true }));
    expect(await refusal(moderator)).toBe('role-may-not');
    accepted(await act(a, endorse(true)));
    accepted(await act(a, endorse(false)));
    accepted(await act(b, endorse(true)));
    expect(endorsementSlice((await panel.live()).state)).toEqual({ stated: 2, list: null });
    accepted(await act(moderator, { type: 'adopt-undisputed' }));
    accepted(await act(moderator, { type: 'lock', meaning: 'I stand by this record.' }));
    expect(await refusal(a)).toBe('locked');
    const { state } = await panel.live();
    expect(endorsementSlice(state).list?.map((e) => e.content)).toEqual([false, true]);
    expect(JSON.stringify(state.locked?.result)).not.toContain('content');
    const bundle = await exportBundle(app, await panel.live());
    if (!bundle.ok) throw new Error(bundle.rejection.message);
    expect(verifyBundle(bundle.value).findings).toEqual([]);
  });
});
