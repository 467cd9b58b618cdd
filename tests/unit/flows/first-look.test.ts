import * as Y from 'yjs';
import { expect, test } from 'vitest';
import { SHEET_ROOT, sheetKey } from '../../../shared-types/src/index.ts';
import { firstLook } from '../../../server/src/flows/first-look.ts';
import { evaluationSlices } from '../../../server/src/flows/look.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const TASK = 'aed-pads';
const REASON = 'Talked through at the bench.';

const sealedPanel = async () => {
  const { app } = testApp();
  const p = await seatedPanel(app, 3);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  return { app, p, look: async (seat: string) => firstLook(app, await p.live(), seat) };
};

const valuesOf = (sheet: string): Map<string, unknown> => {
  const doc = new Y.Doc();
  Y.applyUpdate(doc, Buffer.from(sheet, 'base64'));
  return new Map(doc.getMap(SHEET_ROOT).entries());
};

test('FL-1: who rates sealed is told their own sheet as it is on disk, and what the socket would tell them', async () => {
  const { app, p, look } = await sealedPanel();
  const [ada, ben] = p.reviewers;
  const document = await p.rate(ada!, { [TASK]: 4 });
  await p.rate(ben!, { [TASK]: 1 });
  const first = await look(ada!.seat);
  expect(first?.document).toBe(document);
  expect([...valuesOf(first?.sheet ?? '')]).toEqual([[sheetKey(TASK, 'answer'), 4]]);
  const told = await evaluationSlices(app, await p.live(), 'reviewer', () => false);
  const { me, ...view } = first?.view ?? {};
  expect(view).toEqual(told);
  expect(me?.sheets).toMatchObject([{ document, frozen: false }]);
});

test('FL-1: nobody else has a first look: not the moderator, an observer, who is undeclared or shown out, nor on a store that is not believed', async () => {
  const { app, p, look } = await sealedPanel();
  const observer = await p.sit('observer', 'Olu');
  const [ada, ben] = p.reviewers;
  for (const { seat } of [p.moderator, observer]) expect(await look(seat)).toBeNull();
  expect(await look('st_AAAAAAAAAAAAAAAAAAAAAA')).toBeNull();
  expect(await look(ben!.seat)).not.toBeNull();
  accepted(
    await p.onPanel(p.moderator, { type: 'revoke-seat', seat: ben!.seat, reason: 'Shown out.' }),
  );
  expect(await look(ben!.seat)).toBeNull();
  app.readOnly = 'Not trusted.';
  expect(await look(ada!.seat)).toBeNull();
});

test('FL-1: after an opening only who has not handed in yet has a first look, and it holds no rating', async () => {
  const { p, look } = await sealedPanel();
  const [ada, ben, cy] = p.reviewers;
  for (const who of [ada!, ben!, cy!]) await p.rate(who, { [TASK]: 3 });
  accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  expect(await look(ada!.seat)).toBeNull();
  const late = await p.sit('reviewer', 'Late');
  await p.declare(late);
  const first = await look(late.seat);
  expect(first?.view.me?.catchingUp).toBe(true);
  expect(JSON.stringify(first?.view)).not.toContain('"ratings":[{');
  accepted(await p.act(p.moderator, { type: 'call-round', tasks: [TASK], reason: REASON }));
  // They see what was opened, and wait for the panel's socket with it.
  expect(await look(ada!.seat)).toBeNull();
});
