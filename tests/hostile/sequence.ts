import { connect } from 'node:net';
import { setTimeout as pause } from 'node:timers/promises';
import type { CommandAnswer, EvaluationCommand } from '../../shared-types/src/index.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { sendRaw } from './door.ts';
import { earlier, ahead, slowReader } from './sequence-sheets.ts';
import { SheetWriter } from './document-door.ts';
import type { Change, Family, Play } from './family.ts';
import { freshId } from './payload.ts';
import { guess, join, oldDevice, revoked } from './sequence-access.ts';
import { openPanelDoor } from './socketio.ts';
import { TASK, type Person, type World } from './world.ts';

const CLIENT_AT = '2026-03-02T09:00:00.000Z';

/** A correction of the hostile task as a whole command message, with an id of the test's choice. */
const correction = (world: World, step: number, id = freshId('cm')) => ({
  id,
  clientAt: CLIENT_AT,
  on: 'evaluation' as const,
  evaluation: world.opened,
  command: {
    type: 'correct-rating' as const,
    task: TASK,
    rating: {
      answer: 'step' as const,
      step,
      easier: false,
      reason: null,
      critical: null,
      note: null,
      at: null,
    },
    reason: 'A slip of the finger.',
  },
});

/** Sends a command with its own id and reads the answer. */
const sendAs = async (who: Person | SeatClient, message: unknown): Promise<CommandAnswer> => {
  const door = await openPanelDoor(who instanceof SeatClient ? who : who.client);
  door.send(`421["command",${JSON.stringify(message)}]`);
  const text =
    (await door.answer(1)) ??
    '[{"ok":false,"rejection":{"code":"cut","message":"the socket closed"}}]';
  door.close();
  return (
    (JSON.parse(text.slice(text.indexOf('['))) as CommandAnswer[])[0] ?? {
      ok: false,
      rejection: { code: 'try-again', message: '' },
    }
  );
};

export const order = (evaluation: string, command: EvaluationCommand) => ({
  id: freshId('cm'),
  clientAt: CLIENT_AT,
  on: 'evaluation' as const,
  evaluation,
  command,
});

const told = (play: Play, ...answers: CommandAnswer[]): void => {
  play.judged.answers.push(...answers.map((a) => JSON.stringify(a)));
};

const refusedOf = (answer: CommandAnswer): string => (answer.ok ? '' : answer.rejection.code);

/** An evaluation of its own with a sealed round and the sheets of Ada and Ben. */
export const sealedRound = async (
  world: World,
): Promise<{
  evaluation: string;
  ada: SeatClient;
  ben: SeatClient;
  sheets: Record<'ada' | 'ben', string>;
}> => {
  const evaluation = await world.newEvaluation(freshId('Race'));
  const started = await sendAs(world.lead, order(evaluation, { type: 'start-round' }));
  if (!started.ok) throw new Error(started.rejection.message);
  const seat = async (person: Person): Promise<{ client: SeatClient; sheet: string }> => {
    const client = new SeatClient(world.url, person.client.cookie);
    await client.watch(evaluation);
    await client.until('a sheet', (v) => v.me?.sheets.length === 1);
    return { client, sheet: client.view.me?.sheets[0]?.document ?? '' };
  };
  const [a, b] = [await seat(world.people.ada), await seat(world.people.ben)];
  return { evaluation, ada: a.client, ben: b.client, sheets: { ada: a.sheet, ben: b.sheet } };
};

type Act = (play: Play) => Promise<void>;
const accepted = 'accepted-unchanged' as const;
const rejected = 'rejected-with-clear-error' as const;

const replayed: Act = async (play) => {
  const { world, judged, hostile } = play;
  const id = freshId('cm');
  const other = hostile.title.includes('different payload');
  const elsewhere = hostile.title.includes('another reviewer');
  let first: CommandAnswer | undefined;
  if (hostile.title.includes('cut before ack')) {
    const door = await openPanelDoor(world.people.ada.client);
    door.send(`421["command",${JSON.stringify(correction(world, 4, id))}]`);
    door.close();
    await door.closed;
  } else first = await sendAs(world.people.ada, correction(world, 4, id));
  const who = elsewhere ? world.people.ben : world.people.ada;
  const second = await sendAs(who, correction(world, other || elsewhere ? 1 : 4, id));
  told(play, ...(first ? [first] : []), second);
  judged.outcome = second.ok ? accepted : rejected;
  judged.observe(
    'second-answer-equals-first',
    JSON.stringify(first) === JSON.stringify(second),
    JSON.stringify(second),
  );
  const scoped = second.ok || refusedOf(second) === 'duplicate-command';
  judged.observe('ids-scoped-per-actor-or-refused', scoped, JSON.stringify(second));
};

const stages: Act = async (play) => {
  const { world, judged, hostile } = play;
  const { evaluation, ada, ben, sheets } = await sealedRound(world);
  const tell = (command: EvaluationCommand): Promise<CommandAnswer> =>
    sendAs(world.lead, order(evaluation, command));
  const writer = new SheetWriter(ada, evaluation, sheets.ada, 77_001);
  let answer: CommandAnswer | 'saved' | number;
  await writer.write({ [`${TASK}/answer`]: 2 });
  if (hostile.title.startsWith('rating after lock')) {
    const locked = await lockable(world);
    const lock = await sendAs(world.lead, order(locked, LOCK));
    told(play, lock);
    if (!lock.ok) throw new Error(lock.rejection.message);
    answer = await sendAs(world.people.ada, { ...correction(world, 4), evaluation: locked });
  } else if (hostile.title.startsWith('lock before'))
    answer = await tell({ type: 'lock', meaning: 'I stand by it.' });
  else {
    const opened = await tell({ type: 'open-round', withMissing: true });
    told(play, opened);
    if (hostile.title.startsWith('settle')) {
      const command = {
        type: 'settle-task' as const,
        task: TASK,
        how: 'decide' as const,
        value: '3',
        reason: '',
      };
      answer = await tell(command);
    } else {
      answer = await writer.write({ [`${TASK}/answer`]: 5 });
    }
  }
  ada.close();
  ben.close();
  judged.answers.push(JSON.stringify(answer));
  const refused = typeof answer === 'object' ? !answer.ok : answer !== 'saved';
  judged.outcome = refused ? rejected : accepted;
  const value = JSON.stringify(answer);
  judged.observe('no-write', refused, value);
  judged.observe('no-write-after-reveal-or-flagged-as-revision-with-reason', refused, value);
  judged.observe('lock-unchanged', refused, value);
};

/** An evaluation that nothing holds back from its lock. */
export const lockable = async (world: World): Promise<string> => {
  const { evaluation, ada, ben, sheets } = await sealedRound(world);
  await new SheetWriter(ada, evaluation, sheets.ada, 77_005).write({ [`${TASK}/answer`]: 2 });
  await new SheetWriter(ben, evaluation, sheets.ben, 77_006).write({ [`${TASK}/answer`]: 2 });
  ada.close();
  ben.close();
  const steps: EvaluationCommand[] = [
    { type: 'open-round', withMissing: true },
    { type: 'adopt-undisputed' },
  ];
  for (const step of steps) {
    const answer = await sendAs(world.lead, order(evaluation, step));
    if (!answer.ok) throw new Error(answer.rejection.message);
  }
  return evaluation;
};

export const LOCK: EvaluationCommand = { type: 'lock', meaning: 'I stand by this record.' };

const twice: Act = async (play) => {
  const { world, judged } = play;
  const evaluation = await lockable(world);
  const open = (): Promise<CommandAnswer> => sendAs(world.lead, order(evaluation, LOCK));
  const answers = await Promise.all([open(), open()]);
  told(play, ...answers);
  judged.outcome = answers.filter((a) => a.ok).length === 1 ? rejected : undefined;
  judged.observe(
    'one-lock-event',
    answers.filter((a) => a.ok).length === 1,
    JSON.stringify(answers),
  );
};

const raced = new WeakMap<
  Play,
  {
    evaluation: string;
    saved: Record<'ada' | 'ben', boolean>;
    sheets: Record<'ada' | 'ben', string>;
  }
>();

const race: Act = async (play) => {
  const { world, judged } = play;
  const { evaluation, ada, ben, sheets } = await sealedRound(world);
  const writers = {
    ada: new SheetWriter(ada, evaluation, sheets.ada, 77_003),
    ben: new SheetWriter(ben, evaluation, sheets.ben, 77_004),
  };
  // Something to open, whoever comes first.
  await writers.ada.write({ 'airway-open/answer': 1 });
  const [opened, a, b] = await Promise.all([
    sendAs(world.lead, order(evaluation, { type: 'open-round', withMissing: true })),
    writers.ada.write({ [`${TASK}/answer`]: 4 }),
    writers.ben.write({ [`${TASK}/answer`]: 4 }),
  ]);
  told(play, opened);
  raced.set(play, { evaluation, sheets, saved: { ada: a === 'saved', ben: b === 'saved' } });
  ada.close();
  ben.close();
  judged.outcome = opened.ok ? accepted : rejected;
};

const flood: Act = async (play) => {
  const { world, judged } = play;
  const door = await openPanelDoor(world.people.ada.client);
  const text = JSON.stringify({ on: 'home' });
  // 20,000 at 5,000 a second, as stated; for as long as that takes the others are watched, cut off or not.
  const until = Date.now() + 4000;
  for (let i = 1; i <= 20_000; i++) {
    door.send(`42${String(i)}["watch",${text}]`);
    if (i % 100 === 0) await pause(20);
  }
  await pause(Math.max(0, until - Date.now()));
  const slowed = door.texts.filter((t) => t.includes('too-many-tries')).length;
  judged.observe(
    'flooder-slowed-or-cut',
    slowed > 19_000 || door.code() !== undefined,
    `${String(slowed)} told to wait`,
  );
  judged.outcome = rejected;
  door.close();
};

const silent: Act = async (play) => {
  const { world, judged } = play;
  const port = Number(new URL(world.url).port);
  const closings = Array.from({ length: 500 }, () => {
    const socket = connect(port, '127.0.0.1');
    socket.on('error', () => undefined);
    socket.resume();
    return new Promise<boolean>((resolve) => {
      socket.once('close', () => resolve(true));
      setTimeout(() => resolve(false), 20_000).unref();
    });
  });
  // One that begins a request and never ends it.
  const { closedAfterMs } = await sendRaw(world.url, 'POST /api/sign-in HTTP/1.1\r\n', 20_000);
  const closed = (await Promise.all(closings)).filter(Boolean).length;
  const seen = `${String(closed)} of 500 closed, the half request after ${String(closedAfterMs)} ms`;
  judged.observe('handshake-timeout-10s', closed === 500 && closedAfterMs !== undefined, seen);
  judged.outcome = 'ignored';
};

const ACTS: Record<string, Act> = {
  replay: replayed,
  'state-order': stages,
  'stale-version': (play) => (play.hostile.title.startsWith('edit') ? earlier(play) : ahead(play)),
  flood: (play) =>
    play.hostile.title.startsWith('connection')
      ? silent(play)
      : play.hostile.title.startsWith('slow')
        ? slowReader(play)
        : flood(play),
  race: (play) => (play.hostile.title.startsWith('two') ? twice(play) : race(play)),
  revocation: (play) => (play.hostile.title.startsWith('old') ? oldDevice(play) : revoked(play)),
  join: (play) => (play.hostile.title.startsWith('join code') ? guess(play) : join(play)),
};

const check = (play: Play, change: Change): void => {
  const { judged, world } = play;
  const own = change.events.filter((e) => e.type === 'rating-corrected' && e.log === world.opened);
  judged.observe('one-event', own.length === 1, `${String(own.length)} corrections`);
  judged.observe(
    'first-value-stands',
    JSON.stringify(own[0]?.data ?? null).includes('"step":4'),
    JSON.stringify(own[0]?.data),
  );
  const seated = change.events.filter((e) => e.type === 'seat-taken' && e.log === world.panel);
  judged.observe('one-member', seated.length === 1, `${String(seated.length)} seats taken`);
  const roles = seated.map((e) => e.data['role']);
  judged.observe(
    'role-is-observer',
    roles.every((r) => r === 'observer'),
    roles.join(),
  );
  const raceOf = raced.get(play);
  if (!raceOf) return;
  const log = change.events.filter((e) => e.log === raceOf.evaluation);
  const at = log.findIndex((e) => e.type === 'round-opened');
  const recorded = log.filter((e) => e.type === 'sheet-recorded');
  const inLog = (name: 'ada' | 'ben'): boolean =>
    recorded.some(
      (e) =>
        e.data['seat'] === world.people[name].seat && JSON.stringify(e.data).includes('"step":4'),
    );
  const agree = (['ada', 'ben'] as const).every((name) => inLog(name) === raceOf.saved[name]);
  judged.observe('acked-iff-in-log', agree, JSON.stringify(raceOf.saved));
  const after = log.slice(at + 1).filter((e) => e.type === 'rating-corrected');
  judged.observe(
    'no-rating-event-after-reveal-event',
    at >= 0 && after.length === 0,
    `${String(after.length)}`,
  );
};

const act = async (play: Play): Promise<void> => {
  const { world, judged, hostile } = play;
  const own = ACTS[hostile.class];
  if (!own) throw new Error(`no act for ${hostile.class}`);
  await own(play);
  // Asserts about the whole: setting the stage writes; what must not be written is looked at by each act.
  if (!['revocation', 'state-order'].includes(hostile.class)) return;
  judged.observe('no-write', judged.outcome === rejected, String(judged.outcome));
  void world;
};

export const sequence: Family = { setsStage: true, act, check };
