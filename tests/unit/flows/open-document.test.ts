import { expect, test } from 'vitest';
import { openDocument } from '../../../server/src/flows/open-document.ts';
import { accepted, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

test('SE-1: a sheet opens for its owner alone, whatever the role of who asks', async () => {
  const { app, homes } = testApp();
  const p = await seatedPanel(app, 2);
  const observer = await p.sit('observer', 'Olu');
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const live = await p.live();
  const [ada, ben] = p.reviewers;
  const document = live.state.rounds[0]?.sheets.get(ada!.seat) ?? '';
  const open = (seat: string) => openDocument(app, live, document, seat, homes);
  expect((await open(ada!.seat))?.mode(ada!.seat)).toBe('write');
  for (const who of [ben!, p.moderator, observer]) expect(await open(who.seat)).toBeUndefined();
  accepted(await p.act(p.moderator, { type: 'withdraw', reason: 'The wrong piece was brought.' }));
  expect((await open(ada!.seat))?.mode(ada!.seat)).toBe('read');
});

test('on a store that is read-only a sheet can be read and not written', async () => {
  const { app, homes } = testApp();
  const p = await seatedPanel(app, 1);
  accepted(await p.act(p.moderator, { type: 'start-round' }));
  const live = await p.live();
  const [ada] = p.reviewers;
  const document = live.state.rounds[0]?.sheets.get(ada!.seat) ?? '';
  app.readOnly = 'Not trusted.';
  const opened = await openDocument(app, live, document, ada!.seat, homes);
  expect(opened?.mode(ada!.seat)).toBe('read');
});

test('a document of another evaluation, or of none, does not open', async () => {
  const { app, homes } = testApp();
  const one = await seatedPanel(app, 1);
  const two = await seatedPanel(app, 1);
  const board = (await two.live()).state.created?.board ?? '';
  const live = await one.live();
  expect(await openDocument(app, live, board, one.moderator.seat, homes)).toBeUndefined();
  const nothing = 'dc_0000000000000000000000';
  expect(await openDocument(app, live, nothing, one.moderator.seat, homes)).toBeUndefined();
  expect(homes.size).toBe(0);
});
