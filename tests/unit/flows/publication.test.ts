import { describe, expect, test } from 'vitest';
import { PublicLinks } from '../../../server/src/flows/public-links.ts';
import { lookPublic, publicationOf } from '../../../server/src/flows/publication.ts';
import { lockedBundle, type Locked } from '../../support/locked-bundle.ts';
import { accepted, resultOf, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';
import { lockPlain, REASON, twoRecords } from '../../support/two-records.ts';

const link = async (panel: SeatedPanel, what: 'record' | 'card', names: boolean) => {
  const { evaluation, moderator } = panel;
  const made = resultOf(
    await panel.onPanel(moderator, { type: 'publish-link', evaluation, what, names }),
  );
  if (made.kind !== 'link') throw new Error('no link came');
  return made;
};

const look = async ({ app }: Pick<Locked, 'app'>, secret: string) => {
  const found = await lookPublic(app, secret);
  if (!found.ok) throw new Error(found.rejection.message);
  return found.value;
};

describe('public links', () => {
  test('PU-1: only of a locked evaluation of the panel; the secret is given once and not kept', async () => {
    const { app } = testApp();
    const panel = await seatedPanel(app, 3);
    const ask = (evaluation: string) =>
      panel.onPanel(panel.moderator, {
        type: 'publish-link',
        evaluation,
        what: 'record',
        names: false,
      });
    expect(await ask(panel.evaluation)).toMatchObject({ rejection: { code: 'not-locked' } });
    await lockPlain(panel);
    const other = await seatedPanel(app, 3);
    await lockPlain(other);
    expect(await ask(other.evaluation)).toMatchObject({ rejection: { code: 'unknown-thing' } });
    const { secret } = await link(panel, 'record', false);
    expect((await app.store.events(panel.panel)).join('')).not.toContain(secret);
    expect(await look({ app }, secret)).toMatchObject({ kind: 'record', title: 'Heron 3' });
    const found = await new PublicLinks().find(app, secret);
    expect(found?.link.evaluation).toBe(panel.evaluation);
  });

  test('PU-2: no name and no particulars of a tie, unless the panel chose names; never a note or a remark', async () => {
    const { app, panel } = await lockedBundle();
    const plain = JSON.stringify(await look({ app }, (await link(panel, 'record', false)).secret));
    expect(plain).not.toMatch(/Reviewer [123]|Advice to a cutter seller|"st_|"Mo"/u);
    expect(plain).toContain('"to":"tool"');
    const named = JSON.stringify(await look({ app }, (await link(panel, 'record', true)).secret));
    expect(named).toContain('Reviewer 1');
    expect(named).toContain('Advice to a cutter seller');
    expect(named).not.toContain('"st_');
  });

  test('PU-3: a link goes on answering when the record is superseded, then withdrawn, and says so; ended, it says that', async () => {
    const { app, panel, later } = await twoRecords();
    const record = await link(panel, 'record', false);
    const card = await link(panel, 'card', false);
    expect(await look({ app }, record.secret)).toMatchObject({ state: { kind: 'current' } });
    const { moderator } = panel;
    accepted(
      await panel.act(moderator, { type: 'supersede', by: later.evaluation, reason: REASON }),
    );
    expect(await look({ app }, record.secret)).toMatchObject({
      state: { kind: 'superseded', reason: REASON },
      successor: { title: 'Heron 3', withdrawn: false },
    });
    accepted(await panel.act(moderator, { type: 'withdraw', reason: REASON }));
    const withdrawn = await look({ app }, record.secret);
    expect(withdrawn).toMatchObject({ kind: 'record', state: { kind: 'withdrawn' } });
    expect(withdrawn.kind === 'record' && withdrawn.tasks.length).toBeGreaterThan(0);
    accepted(await panel.onPanel(moderator, { type: 'end-link', link: record.link }));
    expect(await lookPublic(app, record.secret)).toMatchObject({
      ok: false,
      rejection: { code: 'link-ended' },
    });
    expect(await lookPublic(app, 'never made')).toMatchObject({
      ok: false,
      rejection: { code: 'unknown-thing' },
    });
    // CC-2: nothing of what was found is on the card of a withdrawn record.
    const empty = await look({ app }, card.secret);
    expect(empty).toMatchObject({ kind: 'withdrawn-card', state: { reason: REASON } });
    expect(Object.keys(empty)).not.toContain('delayed');
  });

  test('only its moderators see how a record is published', async () => {
    const { app, panel, later } = await twoRecords();
    await link(panel, 'card', true);
    const seen = await publicationOf(app, panel.lead, panel.evaluation);
    if (!seen.ok) throw new Error(seen.rejection.message);
    expect(seen.value.links).toMatchObject([{ what: 'card', names: true, ended: false }]);
    expect(JSON.stringify(seen.value)).not.toContain('secret');
    expect(seen.value.successors).toMatchObject([
      { evaluation: later.evaluation, sameModel: true },
    ]);
    const [own] = await app.store.sessionsOf(panel.reviewers[0]?.seat ?? '');
    if (!own) throw new Error('no session');
    expect((await publicationOf(app, own, panel.evaluation)).ok).toBe(false);
    expect((await publicationOf(app, own, later.evaluation)).ok).toBe(false);
  });
});
