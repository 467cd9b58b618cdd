import { WebSocket } from 'ws';
import type { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type { Change, Family, Play } from './family.ts';
import { joinWithName, nameChecks } from './names.ts';
import { freshId, rawMembers, withTokens } from './payload.ts';
import { openDesk } from './render.ts';
import { TASK } from './world.ts';

/** The panel socket without a client library: text frames go out as they are given. */
export interface PanelDoor {
  send: (frame: string | Buffer) => void;
  texts: string[];
  closed: Promise<number>;
  code: () => number | undefined;
  /** The answer to acknowledgement number n, or undefined when the socket closed first. */
  answer: (n: number) => Promise<string | undefined>;
  /** Resolves once the server has answered a question of its own: everything before has been read. */
  read: () => Promise<void>;
  close: () => void;
}

/** Connects as a seat does: engine.io over WebSocket, then the socket.io greeting. */
export const openPanelDoor = async (client: SeatClient): Promise<PanelDoor> => {
  const address = `${client.url.replace('http', 'ws')}/live/?EIO=4&transport=websocket`;
  const ws = new WebSocket(address, {
    headers: { cookie: client.cookie },
    perMessageDeflate: false,
  });
  const texts: string[] = [];
  let code: number | undefined;
  const waiting: (() => void)[] = [];
  const ring = (): void => {
    for (const wake of waiting.splice(0)) wake();
  };
  const until = async <T>(find: () => T | undefined): Promise<T | undefined> => {
    for (;;) {
      const found = find();
      if (found !== undefined || code !== undefined) return found;
      await new Promise<void>((resolve) => waiting.push(resolve));
    }
  };
  ws.on('error', () => undefined);
  const closed = new Promise<number>((resolve) => {
    ws.once('close', (number) => {
      code = number;
      resolve(number);
      ring();
    });
  });
  ws.on('message', (data: Buffer) => {
    const text = data.toString();
    if (text === '2') ws.send('3');
    texts.push(text);
    ring();
  });
  ws.once('open', () => ws.send('40'));
  await until(() => texts.find((t) => t.startsWith('40')));
  const answer = (n: number): Promise<string | undefined> =>
    until(() => texts.find((t) => t.startsWith(`43${String(n)}[`)));
  const send = (frame: string | Buffer): void => {
    if (ws.readyState === ws.OPEN) ws.send(frame, { binary: false });
  };
  let asked = 900_000;
  return {
    send,
    texts,
    closed,
    code: () => code,
    answer,
    read: async () => {
      asked++;
      send(`42${String(asked)}["watch",{"on":"nothing"}]`);
      await answer(asked);
    },
    close: () => ws.close(),
  };
};

const NAMES = {
  'k.session': 'evaluation',
  'k.task': 'task',
  'k.cmd': 'id',
  'k.version': 'version',
  'k.score': 'step',
  'k.note': 'note',
  'k.clientTime': 'at',
};

const tokensOf = ({ world }: Play): Record<string, string> => ({
  ...NAMES,
  'v.session': world.opened,
  'v.task': TASK,
  'v.freshCmd': freshId('cm'),
  'v.version': '0',
  'v.otherReviewer': world.people.ben.seat,
  'v.foreignSession': world.foreign.evaluation,
  'v.foreignTask': TASK,
});

/** A moment in the spelling that the wire has; the corpus leaves the milliseconds out. */
const spelled = (raw: string): string => raw.replace(/:(\d\d)Z"$/u, ':$1.000Z"');

/**
 * A rating over this socket is the correction of one after the opening. The raw values of the corpus go where this
 * command has them, and members it does not have stand beside them.
 */
const correction = (text: string): string => {
  const members = rawMembers(text);
  // What is no object at all goes out as it is.
  if (!members) return text;
  const of = (key: string): string | undefined => members.find(([k]) => k === key)?.[1];
  const known = ['evaluation', 'task', 'id', 'version', 'step', 'note', 'at'];
  const extra = members.filter(([k]) => !known.includes(k)).map(([k, raw]) => `,"${k}":${raw}`);
  const step = of('step');
  const rating =
    `{"answer":"step"${step === undefined ? '' : `,"step":${step}`},"easier":false,"reason":null,` +
    `"critical":null,"note":${of('note') ?? 'null'},"at":${spelled(of('at') ?? 'null')}}`;
  return (
    `{"id":${of('id') ?? '""'},"clientAt":"2026-03-02T09:00:00.000Z","on":"evaluation",` +
    `"evaluation":${of('evaluation') ?? '""'},"command":{"type":"correct-rating","task":${of('task') ?? '""'},` +
    `"rating":${rating},"reason":"A slip of the finger."${extra.join('')}}}`
  );
};

const lockCommand = (play: Play): string =>
  `{"id":"${freshId('cm')}","clientAt":"2026-03-02T09:00:00.000Z","on":"evaluation","evaluation":` +
  `"${play.world.opened}","command":{"type":"lock","meaning":"I stand by this record."}}`;

/** Words of a refusal: a code and a sentence. */
const isClear = (answer: string): boolean =>
  /"code":"[\w-]+","message":"[^]*?\w+ \w+/u.test(answer);

const send = async (
  play: Play,
  payload: string,
  event = 'command',
): Promise<string | undefined> => {
  const { world, judged, hostile } = play;
  const client =
    hostile.meta?.as === 'observer' ? world.people.observer.client : world.people.ada.client;
  const door = await openPanelDoor(client);
  door.send(`421["${event}",${payload}]`);
  if (event === 'command') await door.answer(1);
  else await door.read();
  const answer = door.texts.find((t) => t.startsWith('431['));
  const code = door.code();
  judged.answers.push(...door.texts.filter((t) => t.startsWith('43')));
  door.close();
  if (answer?.includes('"ok":true')) judged.outcome = 'accepted-unchanged';
  else if (answer !== undefined && isClear(answer)) judged.outcome = 'rejected-with-clear-error';
  else if (code !== undefined) judged.outcome = 'rejected-with-clear-error';
  else if (event !== 'command') judged.outcome = 'ignored';
  return answer;
};

const act = async (play: Play): Promise<void> => {
  const { target, asserts } = play.hostile;
  const payload = withTokens(play.payload, tokensOf(play)).toString('utf8');
  if (target === 'member.rename') {
    await send(play, payload, 'member.rename');
    await joinWithName(play);
  } else if (target === 'result.lock') await send(play, lockCommand(play));
  else if (target === 'timer.start') {
    const command = rawMembers(payload)?.map(([k, raw]) => `"${k === 'cmd' ? 'type' : k}":${raw}`);
    await send(
      play,
      lockCommand(play).replace(/"command":\{.*\}\}$/u, `"command":{${String(command)}}}`),
    );
  } else if (target !== 'rating.set') await send(play, payload, String(target));
  else {
    const answer = await send(play, correction(payload));
    if (!asserts.includes('same-answer-as-nonexistent')) return;
    const nobodys = correction(payload).replace(play.world.foreign.evaluation, freshId('ev'));
    const none = await send(play, nobodys);
    const same = answer === none;
    play.judged.observe(
      'same-answer-as-nonexistent',
      same,
      `${String(answer)} and ${String(none)}`,
    );
  }
};

const check = async (play: Play, change: Change): Promise<void> => {
  const { judged, world, hostile } = play;
  const [event] = change.events;
  const own = change.events.filter((e) => e.type === 'rating-corrected');
  judged.observe('one-event', change.events.length === 1 && own.length === 1, String(event?.type));
  const actors = change.events.filter((e) => e.actor !== world.people.ada.seat);
  judged.observe('actor-is-session-owner', actors.length === 0, actors.map((e) => e.actor).join());
  const late = event ? Math.abs(Date.now() - Date.parse(event.at)) : 0;
  judged.observe('server-time-used', late < 3600_000, event?.at ?? 'nothing written');
  nameChecks(play, change);
  const sent = /"note":("(?:[^"\\]|\\.)*")/u.exec(
    play.payload.toString('utf8').replaceAll(/\{\{k\.(\w+)\}\}/gu, '$1'),
  );
  const stored = JSON.stringify(event?.data ?? {});
  if (
    judged.outcome === 'accepted-unchanged' &&
    sent?.[1] !== undefined &&
    !stored.includes(sent[1])
  ) {
    judged.outcome = 'accepted-sanitised';
  }
  // The rating's own time is kept as told, beside the server's.
  if (hostile.class === 'timestamp' && judged.outcome === 'accepted-unchanged') {
    judged.outcome = 'accepted-sanitised';
  }
  if (judged.wants('inert-render')) await openDesk(play);
};

export const socketio: Family = { act, check };
