import { io } from 'socket.io-client';
import { expect, onTestFinished, test } from 'vitest';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type { PanelView, SlicesMessage, WatchAnswer } from '../../shared-types/src/index.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';

test('AC-17: guessing is pushed to the moderator alone, who opens the codes again', async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada');
  const watching = async (cookie: string): Promise<() => PanelView> => {
    const socket = io(server.url, {
      path: '/live',
      transports: ['websocket'],
      extraHeaders: { cookie },
      forceNew: true,
    });
    onTestFinished(() => void socket.close());
    let view: unknown;
    socket.on('slices', ({ slices }: SlicesMessage) => (view = slices['view']));
    const watched = (await socket.emitWithAck('watch', {
      on: 'panel',
      panel: p.panel,
    })) as WatchAnswer;
    if (!watched.ok) throw new Error(watched.rejection.message);
    view ??= watched.slices['view'];
    return () => view as PanelView;
  };
  const moderator = await watching(p.moderator.cookie);
  const reviewer = await watching(ada.client.cookie);
  const invited = await p.invite('observer');
  const use = (code: string) =>
    SeatClient.post(server.url, '/invitations/use', { key: { code }, name: 'Olu' });
  for (let i = 0; i < 5; i++) await expect(use('AAAA-AAAA')).rejects.toThrow('code-unknown');
  await expect(use(invited.code ?? '')).rejects.toThrow('too-many-tries');
  await expect.poll(() => moderator().guessing?.sources).toBe(1);
  expect(reviewer().guessing).toBeNull();
  expect(
    await ada.client.send({ on: 'panel', panel: p.panel, command: { type: 'reopen-codes' } }),
  ).toMatchObject({ ok: false, rejection: { code: 'role-may-not' } });
  await p.moderator.onPanel(p.panel, { type: 'reopen-codes' });
  await expect.poll(() => moderator().guessing).toBeNull();
  expect((await use(invited.code ?? '')).body).toMatchObject({ panel: p.panel });
});
