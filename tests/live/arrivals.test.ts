import { io } from 'socket.io-client';
import { expect, onTestFinished, test } from 'vitest';
import { WebSocket } from 'ws';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type { MeAnswer, PanelView, WatchAnswer } from '../../shared-types/src/index.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';

const socketOf = (url: string, cookie: string) => {
  const socket = io(url, {
    path: '/live',
    transports: ['websocket'],
    extraHeaders: { cookie },
    reconnection: false,
    forceNew: true,
  });
  onTestFinished(() => void socket.close());
  return socket;
};

const connects = (url: string, cookie: string): Promise<boolean> =>
  new Promise((resolve) => {
    const socket = socketOf(url, cookie);
    socket.once('connect', () => resolve(true));
    socket.once('connect_error', () => resolve(false));
  });

const statusOf = async (url: string, path: string, cookie: string): Promise<number> =>
  (await fetch(`${url}/api${path}`, { headers: { cookie } })).status;

/** A live panel in a sealed round, with somebody who typed a code and waits. */
const withSomebodyWaiting = async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const ada = await p.join('reviewer', 'Ada');
  await p.moderator.onEvaluation({ type: 'start-round' });
  await ada.client.until('the round', (v) => v.me?.sheets.length === 1);
  const ask = { type: 'invite', role: 'reviewer', label: '', by: 'code', until: null } as const;
  const made = await p.moderator.onPanel(p.panel, { ...ask, seat: null });
  if (made?.kind !== 'invitation') throw new Error('no invitation');
  const key = { code: made.code ?? '' };
  const used = await SeatClient.post(server.url, '/invitations/use', { key, name: 'Noor' });
  const me = async (): Promise<MeAnswer> => {
    const response = await fetch(`${server.url}/api/me`, { headers: { cookie: used.cookie } });
    return (await response.json()) as MeAnswer;
  };
  const moderator = socketOf(server.url, p.moderator.cookie);
  const panel = async (): Promise<PanelView> => {
    const watched = (await moderator.emitWithAck('watch', {
      on: 'panel',
      panel: p.panel,
    })) as WatchAnswer;
    if (!watched.ok) throw new Error(watched.rejection.message);
    return watched.slices['view'] as PanelView;
  };
  const arrival = (await panel()).arrivals[0];
  if (!arrival) throw new Error('nobody waits');
  const { seat, device } = arrival;
  return { server, p, ada, me, cookie: used.cookie, body: used.body, arrival: { seat, device } };
};

test('AC-16: over every way in, a device that waits gets its own state and nothing else', async () => {
  const w = await withSomebodyWaiting();
  const { url } = w.server;
  expect(w.body).toMatchObject({ panel: w.p.panel, waits: true });
  expect(await w.me()).toMatchObject({ signedIn: true, seats: [], arrival: { state: 'waiting' } });
  expect(await connects(url, w.cookie)).toBe(false);
  expect(await statusOf(url, '/protocols/emergency-access/1.0.0', w.cookie)).toBe(401);
  expect(await statusOf(url, `/evaluations/${w.p.evaluation}/bundle`, w.cookie)).toBe(404);
  const board = w.ada.client.view.me?.board ?? '';
  const sheet = w.ada.client.view.me?.sheets[0]?.document ?? '';
  for (const document of [board, sheet]) {
    const body = { evaluation: w.p.evaluation, document };
    await expect(SeatClient.post(url, '/tickets', body, w.cookie)).rejects.toThrow('unknown-thing');
  }
  const ticket = await SeatClient.post(
    url,
    '/tickets',
    { evaluation: w.p.evaluation, document: board },
    w.ada.client.cookie,
  );
  const address = `${url.replace('http', 'ws')}/sync/${board}?ticket=${String(ticket.body['ticket'])}`;
  const ws = new WebSocket(address, { headers: { cookie: w.cookie } });
  expect(await new Promise((resolve) => ws.once('close', resolve))).toBe(4401);
});

test('AC-15: admitted, the same device works; the desk was told that somebody waits', async () => {
  const w = await withSomebodyWaiting();
  await w.p.moderator.until('one at the door', (v) => v.arrivals === 1);
  expect(w.ada.client.view.arrivals).toBe(0);
  await w.p.moderator.onPanel(w.p.panel, { type: 'admit-arrival', ...w.arrival });
  await w.p.moderator.until('nobody at the door', (v) => v.arrivals === 0);
  expect(await w.me()).toMatchObject({ arrival: null, seats: [{ panel: w.p.panel }] });
  const noor = new SeatClient(w.server.url, w.cookie);
  onTestFinished(() => noor.close());
  await noor.onPanel(w.p.panel, {
    type: 'declare-interest',
    declaration: { ties: [], familiarity: 'none' },
  });
  await noor.watch(w.p.evaluation);
  await noor.until('a sheet', (v) => v.me?.sheets.length === 1);
  const own = await noor.openSheet(1);
  own.set('aed-pads', { answer: 1 });
  await own.saved();
});

test('AC-15: turned away, the device learns that and no more', async () => {
  const w = await withSomebodyWaiting();
  await w.p.moderator.onPanel(w.p.panel, { type: 'refuse-arrival', ...w.arrival });
  expect(await w.me()).toMatchObject({ seats: [], arrival: { state: 'refused' } });
  expect(await connects(w.server.url, w.cookie)).toBe(false);
});
