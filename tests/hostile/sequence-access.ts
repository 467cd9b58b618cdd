import type { PanelView, WatchAnswer } from '../../shared-types/src/index.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { judgeHttp, sendHttp } from './door.ts';
import type { Play } from './family.ts';
import { freshId } from './payload.ts';
import { openPanelDoor } from './socketio.ts';
import type { World } from './world.ts';

type Act = (play: Play) => Promise<void>;

export const revoked: Act = async (play) => {
  const { world, judged } = play;
  const gone = await world.join('reviewer', freshId('Gone'));
  const door = await openPanelDoor(gone.client);
  const reason = 'Left the panel.';
  await world.lead.onPanel(world.panel, { type: 'revoke-seat', seat: gone.seat, reason });
  const started = performance.now();
  await door.closed;
  const ms = performance.now() - started;
  judged.observe('socket-closed-in-2s', door.code() !== undefined, `${ms.toFixed(0)} ms`);
  const again = await sendHttp(world.url, '/api/tickets', {
    headers: { cookie: gone.client.cookie, 'content-type': 'application/json' },
    body: Buffer.from(JSON.stringify({ evaluation: world.sealed, document: freshId('dc') })),
  });
  gone.client.close();
  judgeHttp(judged, again);
};

export const oldDevice: Act = async (play) => {
  const { world, judged } = play;
  const moving = await world.join('reviewer', freshId('Moving'));
  const made = await moving.client.onPanel(world.panel, { type: 'move-device' });
  const door = await openPanelDoor(moving.client);
  const secret = made?.kind === 'invitation' ? made.secret : '';
  const taken = await SeatClient.post(world.url, '/invitations/use', { key: { secret }, name: '' });
  await door.closed;
  judged.observe(
    'old-device-told-why',
    door.texts.some((t) => t.includes('"why":"moved"')),
    door.texts.join().slice(-200),
  );
  judged.observe('no-write', taken.cookie !== '', 'the new device has the seat');
  const old = await sendHttp(world.url, '/api/tickets', {
    headers: { cookie: moving.client.cookie, 'content-type': 'application/json' },
    body: Buffer.from(JSON.stringify({ evaluation: world.sealed, document: freshId('dc') })),
  });
  moving.client.close();
  judgeHttp(judged, old);
};

export const join: Act = async (play) => {
  const { world, judged, hostile } = play;
  const asks = hostile.title.includes('observer');
  // Cases before this one may have guessed codes until they were closed.
  await world.lead.send({ on: 'panel', panel: world.panel, command: { type: 'reopen-codes' } });
  // Let in at once: who types another code waits, and has no seat before a moderator says so.
  const { secret, code } = await world.invite('observer', 'code', world.panel, true);
  const use = (body: unknown) =>
    sendHttp(world.url, '/api/invitations/use', {
      headers: { 'content-type': 'application/json' },
      body: Buffer.from(JSON.stringify(body)),
    });
  if (asks) {
    judgeHttp(judged, await use({ key: { secret }, name: freshId('Obs'), role: 'reviewer' }));
    return;
  }
  await use({ key: { code }, name: freshId('First') });
  judgeHttp(judged, await use({ key: { code }, name: freshId('Second') }));
};

/** What the panel's screen says of guessed codes to one of its people. */
const guessingShown =
  (world: World) =>
  async (client: SeatClient): Promise<PanelView['guessing']> => {
    const door = await openPanelDoor(client);
    door.send(`421["watch",${JSON.stringify({ on: 'panel', panel: world.panel })}]`);
    const text = (await door.answer(1)) ?? '[]';
    door.close();
    const [answer] = JSON.parse(text.slice(text.indexOf('['))) as WatchAnswer[];
    if (!answer?.ok) throw new Error(`the panel is not shown: ${text}`);
    return (answer.slices['view'] as PanelView).guessing;
  };

export const guess: Act = async (play) => {
  const { world, judged } = play;
  const { code } = await world.invite('observer', 'code');
  const link = await world.invite('observer', 'link');
  const look = (key: unknown) =>
    sendHttp(world.url, '/api/invitations/look', {
      headers: { 'content-type': 'application/json' },
      body: Buffer.from(JSON.stringify({ key })),
    });
  let blocked: number | undefined;
  for (let i = 1; i <= 2000 && blocked === undefined; i++) {
    const answer = await look({ code: `AAAA-A${String(2000 + i).slice(1)}` });
    judgeHttp(judged, answer);
    if (answer.status === 429) blocked = i;
  }
  judged.observe('blocked-before-50-guesses', (blocked ?? 999) < 50, `guess ${String(blocked)}`);
  const legit = await look({ secret: link.secret });
  judged.observe(
    'legit-join-still-works',
    legit.status === 200 && code !== null,
    `a link: ${String(legit.status)}`,
  );
  const told = await Promise.all([world.lead, world.people.ada.client].map(guessingShown(world)));
  const [moderator = null, reviewer = null] = told;
  judged.observe(
    'moderator-told',
    moderator !== null && reviewer === null,
    `moderator: ${JSON.stringify(moderator)}, reviewer: ${JSON.stringify(reviewer)}`,
  );
  // For those who type a code in the cases after this one.
  await world.lead.onPanel(world.panel, { type: 'reopen-codes' });
};
