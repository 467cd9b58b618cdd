import type { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { judgeHttp, sendHttp, sendRaw, type HttpAnswer } from './door.ts';
import type { SheetWriter } from './document-door.ts';
import type { Change, Family, Play } from './family.ts';
import { joinWithName, nameChecks } from './names.ts';
import { freshId, rawMembers, withTokens } from './payload.ts';
import { openSheetPage } from './render.ts';
import { adaWrites } from './sheets.ts';
import { TASK } from './world.ts';

/**
 * No HTTP route takes a rating: the body goes to a JSON route that exists, which must refuse it, and what it asks for
 * goes through the door that ratings do have, the reviewer's own sheet over the document socket.
 */
const NAMES = {
  'k.session': 'evaluation',
  'k.task': 'document',
  'k.cmd': 'id',
  'k.version': 'version',
  'k.score': 'step',
  'k.note': 'note',
  'k.clientTime': 'clientAt',
};

const tokensOf = ({ world }: Play): Record<string, string> => ({
  ...NAMES,
  'v.session': world.sealed,
  'v.task': TASK,
  'v.freshCmd': freshId('cm'),
  'v.version': '0',
  'v.otherReviewer': world.people.ben.seat,
  'v.foreignSession': world.foreign.evaluation,
  'v.foreignTask': TASK,
  'v.wrongCode': 'AAAA-AAAA',
});

const who = ({ world, hostile }: Play): SeatClient =>
  hostile.meta?.as === 'observer' ? world.people.observer.client : world.people.ada.client;

const headersOf = (play: Play): Record<string, string> => {
  const meta = play.hostile.meta ?? {};
  const extra = Array.from({ length: meta.extraHeaders ?? 0 }, (_, i) => [
    `x-flood-${String(i)}`,
    'x'.repeat(100),
  ]);
  const own = Object.entries(meta.headers ?? {}).filter(([name]) => name.startsWith('X-'));
  return {
    cookie: who(play).cookie,
    'content-type': meta.contentType ?? 'application/json',
    ...(meta.contentEncoding === undefined ? {} : { 'content-encoding': meta.contentEncoding }),
    ...(meta.origin === undefined ? {} : { origin: meta.origin }),
    ...Object.fromEntries(extra),
    ...Object.fromEntries(own.map(([name, value]) => [name, String(value)])),
  };
};

const post = async (play: Play, body: Buffer): Promise<HttpAnswer> => {
  const answer = await sendHttp(play.world.url, `/api/tickets${play.hostile.meta?.query ?? ''}`, {
    headers: headersOf(play),
    body,
  });
  judgeHttp(play.judged, answer);
  return answer;
};

/** What a flat rating asks for, as fields of a sheet; members that a rating does not have stay as they are. */
const fieldsOf = (body: Buffer): Record<string, unknown> | undefined => {
  const members = rawMembers(body.toString('utf8'));
  if (!members) return undefined;
  const values = new Map(members.map(([key, raw]) => [key, JSON.parse(raw) as unknown]));
  const task = String(values.get('document'));
  const fields: Record<string, unknown> = {};
  // Null is how a sheet takes an answer back: a form of its own, never what a missing or broken score turns into.
  const step = values.get('step');
  if (step !== undefined && step !== null) fields[`${task}/answer`] = step;
  if (values.has('note')) fields[`${task}/note`] = values.get('note');
  if (values.has('clientAt')) fields[`${task}/at`] = values.get('clientAt');
  const known = ['evaluation', 'document', 'id', 'version', 'step', 'note', 'clientAt'];
  for (const [key, value] of values) if (!known.includes(key)) fields[`${task}/${key}`] = value;
  return fields;
};

const throughTheSheet = async (play: Play, writer: SheetWriter, body: Buffer): Promise<void> => {
  const { judged, world } = play;
  const fields = fieldsOf(body);
  if (!fields || Object.keys(fields).length === 0 || play.hostile.meta) return;
  if (body.includes(world.foreign.evaluation)) return;
  const wrote = await writer.write(fields);
  judged.answers.push(String(wrote));
  if (wrote === 4403 || wrote === 1009) judged.outcome = 'rejected-with-clear-error';
  else judged.outcome = wrote === 'saved' ? 'accepted-unchanged' : undefined;
};

const ratingSet = async (play: Play): Promise<void> => {
  const body = withTokens(play.payload, tokensOf(play));
  await post(play, body);
  if (play.judged.outcome !== 'rejected-with-clear-error') return;
  await throughTheSheet(play, await adaWrites(play.world), body);
};

/** The same question about another panel's evaluation and about one that does not exist. */
const foreignAnswer = async (play: Play): Promise<void> => {
  const { world, judged } = play;
  const ask = (evaluation: string): Promise<HttpAnswer> =>
    sendHttp(world.url, '/api/tickets', {
      headers: { cookie: who(play).cookie, 'content-type': 'application/json' },
      body: Buffer.from(JSON.stringify({ evaluation, document: DOCUMENT })),
    });
  const DOCUMENT = freshId('dc');
  const [theirs, none] = [await ask(world.foreign.evaluation), await ask(freshId('ev'))];
  judgeHttp(judged, theirs);
  const same = theirs.status === none.status && theirs.body === none.body;
  judged.observe('same-answer-as-nonexistent', same, `${theirs.body} and ${none.body}`);
};

const lyingLength = async (play: Play): Promise<void> => {
  const { world, judged } = play;
  const body = withTokens(play.payload, tokensOf(play));
  const length = String(play.hostile.meta?.contentLength);
  const head =
    `POST /api/tickets HTTP/1.1\r\nHost: 127.0.0.1\r\nCookie: ${who(play).cookie}\r\n` +
    `Content-Type: application/json\r\nContent-Length: ${length}\r\n\r\n`;
  const { answer, closedAfterMs } = await sendRaw(
    world.url,
    Buffer.concat([Buffer.from(head), body]),
    15_000,
  );
  judged.answers.push(answer);
  judged.outcome = /HTTP\/1\.1 4\d\d/u.test(answer) ? 'rejected-with-clear-error' : undefined;
  const closed = closedAfterMs !== undefined;
  judged.observe(
    'connection-closed-in-10s',
    closed,
    closed ? `${String(Math.round(closedAfterMs))} ms` : 'open',
  );
};

/** Wrong codes with a new forwarding header each time. */
const guesses = async (play: Play): Promise<void> => {
  const { world, judged, hostile } = play;
  const times = Number(hostile.meta?.headers?.['repeat']);
  let limited: number | undefined;
  let last: HttpAnswer | undefined;
  for (let n = 1; n <= times && limited === undefined; n++) {
    last = await sendHttp(world.url, '/api/invitations/look', {
      headers: { 'content-type': 'application/json', 'x-forwarded-for': `10.0.0.${String(n)}` },
      body: Buffer.from(JSON.stringify({ key: { code: 'AAAA-AAAA' } })),
    });
    judged.answers.push(last.body);
    if (last.status === 429) limited = n;
  }
  if (last) judgeHttp(judged, last);
  judged.observe(
    'rate-limited-by-attempt-20',
    (limited ?? 999) <= 20,
    `attempt ${String(limited)}`,
  );
};

const download = async (play: Play): Promise<void> => {
  const { world, judged, payload } = play;
  const { path } = JSON.parse(payload.toString('utf8')) as { path: string };
  const address = `/api/evaluations/${path.replaceAll(' ', '%20')}/bundle`;
  const answer = await sendHttp(world.url, address, {
    method: 'GET',
    headers: { cookie: world.lead.cookie },
  });
  judgeHttp(judged, answer);
  // Bytes of files outside: accounts, a database, a Windows ini.
  const outside = /root:|SQLite format|\[fonts\]/u.test(answer.body);
  judged.observe('no-file-outside', !outside && answer.status >= 400, String(answer.status));
  const disposition = String(answer.headers['content-disposition'] ?? '');
  judged.observe(
    'no-header-injection',
    !/[\r\n]/u.test(disposition) && disposition === '',
    disposition,
  );
};

/** Names without a route of their own, and commands that do not exist: any JSON route has to refuse them. */
const elsewhere = async (play: Play): Promise<void> => {
  await post(play, withTokens(play.payload, tokensOf(play)));
};

/** What the role may not, asked through every door it has: HTTP as given, and the door that really does it. */
const beyondTheRole = async (play: Play): Promise<void> => {
  const { world, judged, hostile } = play;
  await post(play, withTokens(play.payload, tokensOf(play)));
  if (judged.outcome !== 'rejected-with-clear-error') return;
  const client = who(play);
  if (hostile.target === 'result.lock') {
    const command = { type: 'lock' as const, meaning: 'I stand by this record.' };
    const answer = await client.send({ on: 'evaluation', evaluation: world.opened, command });
    judged.answers.push(JSON.stringify(answer));
    const refused = !answer.ok && answer.rejection.code === 'role-may-not';
    judged.outcome = refused ? 'rejected-with-clear-error' : undefined;
    return;
  }
  const { document } = await adaWrites(world);
  const ticket = await sendHttp(world.url, '/api/tickets', {
    headers: { cookie: client.cookie, 'content-type': 'application/json' },
    body: Buffer.from(JSON.stringify({ evaluation: world.sealed, document })),
  });
  judgeHttp(judged, ticket);
};

const act = async (play: Play): Promise<void> => {
  const { target, meta, asserts } = play.hostile;
  if (target === 'member.rename') await joinWithName(play);
  else if (meta?.as !== undefined) await beyondTheRole(play);
  else if (target === 'export.get') await download(play);
  else if (asserts.includes('same-answer-as-nonexistent')) await foreignAnswer(play);
  else if (meta?.headers?.['wrongCode'] === true) await guesses(play);
  else if (meta?.contentLength !== undefined) await lyingLength(play);
  else if (target === 'rating.set') await ratingSet(play);
  else await elsewhere(play);
};

const check = async (play: Play, change: Change): Promise<void> => {
  const { judged, world } = play;
  const sheet = (await adaWrites(world)).document;
  const stored = change.after.sheet(sheet);
  const body =
    play.payload.length < 20_000 ? withTokens(play.payload, tokensOf(play)) : Buffer.alloc(0);
  const sent = judged.outcome === 'accepted-unchanged' ? (fieldsOf(body) ?? {}) : {};
  const changed = Object.entries(sent).filter(([key, value]) => stored[key] !== value);
  if (changed.length > 0) judged.outcome = 'accepted-sanitised';
  const n = (change.after.updates.get(sheet) ?? 0) - (change.before.updates.get(sheet) ?? 0);
  const one = change.documents.length === 1 && change.documents[0] === sheet && n === 1;
  judged.observe(
    'one-event',
    one && change.events.length === 0,
    `${String(n)} updates of the own sheet`,
  );
  const note = stored[`${TASK}/note`];
  const wanted = sent[`${TASK}/note`];
  judged.observe(
    'note-bytes-kept-after-NFC',
    note === String(wanted).normalize('NFC'),
    String(note),
  );
  const actors = change.events.filter((e) => e.actor !== world.people.ada.seat);
  const others = change.documents.filter((d) => d !== sheet);
  judged.observe(
    'actor-is-session-owner',
    actors.length === 0 && others.length === 0,
    others.join(),
  );
  const at = change.after.updatedAt.get(sheet) ?? '';
  const late = Math.abs(Date.now() - Date.parse(at));
  const unwritten = n === 0;
  judged.observe(
    'server-time-used',
    unwritten || late < 3600_000,
    unwritten ? 'nothing written' : at,
  );
  judged.observe(
    'no-delete',
    change.events.length === 0 && change.documents.length === 0,
    'nothing changed',
  );
  judged.observe('one-value-shown-equals-stored', n === 0, 'refused: nothing stored');
  nameChecks(play, change);
  if (judged.wants('inert-render')) await openSheetPage(play);
};

export const http: Family = { act, check };
