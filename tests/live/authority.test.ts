import * as Y from 'yjs';
import { expect, onTestFinished, test } from 'vitest';
import {
  BOARD_ENTRIES,
  boardKey,
  SHEET_ROOT,
  type FirstLookAnswer,
  type PanelCommand,
} from '../../shared-types/src/index.ts';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import { askTicket, probeDocument, type Access, type Asker } from '../support/document-probe.ts';
import { livePanel } from '../support/live-panel.ts';
import { SPECIMEN } from '../support/specimen.ts';
import { liveServer } from '../support/live-server.ts';

/**
 * Who may do what with which document in which stage, by the rules of the house and by hand: w reads and writes,
 * r reads, - is told that there is no such document, . is not there yet. Ada, Ben and Cy are reviewers, Cy has declared nothing,
 * Late took a seat after the opening, Gone was shown out, Far sits in another panel, and nobody has no session.
 */
const RULES = `
stage      document               mod  ada  cy   late obs  rec  wall gone far  nobody
preparing  board                  w    w    w    .    r    w    r    -    -    -
preparing  board of another       w    -    -    .    -    -    -    -    w    -
preparing  no such document       -    -    -    .    -    -    -    -    -    -
sealed     board                  w    w    w    .    r    w    r    -    -    -
sealed     board, a sealed task   r    r    r    .    r    r    r    -    -    -
sealed     own sheet              .    w    r    .    .    .    .    .    .    .
sealed     Ben's sheet            -    -    -    .    -    -    -    -    -    -
sealed     board of another       w    -    -    .    -    -    -    -    w    -
sealed     no such document       -    -    -    .    -    -    -    -    -    -
opened     board                  w    w    w    -    r    w    r    -    -    -
opened     board, an open task    w    w    w    -    r    w    r    -    -    -
opened     own sheet              .    r    r    w    .    .    .    .    .    .
opened     Ben's sheet            -    -    -    -    -    -    -    -    -    -
opened     board of another       w    -    -    -    -    -    -    -    w    -
again      board                  w    w    w    -    r    w    r    -    -    -
again      board, a sealed task   r    r    r    -    r    r    r    -    -    -
again      own sheet              .    r    r    r    .    .    .    .    .    .
again      own second sheet       .    w    r    w    .    .    .    .    .    .
again      Ben's sheet            -    -    -    -    -    -    -    -    -    -
again      Ben's second sheet     -    -    -    -    -    -    -    -    -    -
locked     board                  r    r    r    r    r    r    r    -    -    -
locked     own sheet              .    r    r    r    .    .    .    .    .    .
locked     own second sheet       .    r    r    r    .    .    .    .    .    .
locked     Ben's sheet            -    -    -    -    -    -    -    -    -    -
locked     board of another       w    -    -    -    -    -    -    -    w    -
withdrawn  board                  r    r    r    r    r    r    r    -    -    -
withdrawn  own sheet              .    r    r    r    .    .    .    .    .    .
withdrawn  Ben's sheet            -    -    -    -    -    -    -    -    -    -
`;

const [head = '', ...lines] = RULES.trim().split('\n');
const WHO = head.slice(33).trim().split(/\s+/u);
const ROWS = lines.map((line) => ({
  stage: line.slice(0, 11).trim(),
  document: line.slice(11, 33).trim(),
  cells: new Map(WHO.map((who, i) => [who, line.slice(33).trim().split(/\s+/u)[i] ?? '?'])),
}));

interface Person extends Asker {
  seat: string;
  client: SeatClient | null;
}

const TASK = 'aed-pads';
const REASON = 'Talked through at the bench.';

/** Everybody of the table, and how to play an evaluation of their panel through its stages. */
const cast = async () => {
  const server = await liveServer();
  const p = await livePanel(server.url, server.signInLink);
  const people = new Map<string, Person>();
  const take = (name: string, seat: string, client: SeatClient | null, cookie = ''): void => {
    people.set(name, { url: server.url, cookie: client?.cookie ?? cookie, seat, client });
  };
  const join = async (name: string, role: Parameters<typeof p.join>[0]): Promise<void> => {
    const { client, seat } = await p.join(role, name);
    take(name, seat, client);
  };
  take('mod', p.moderator.view.me?.seat ?? '', p.moderator);
  for (const name of ['ada', 'ben', 'gone']) await join(name, 'reviewer');
  await join('obs', 'observer');
  await join('rec', 'recorder');
  await join('wall', 'wall');
  const { secret, seat: undeclared } = await p.invite('reviewer');
  const cy = await SeatClient.join(server.url, secret, 'cy');
  onTestFinished(() => cy.close());
  take('cy', undeclared, cy);
  const other = await otherPanel(p.moderator);
  const far = await SeatClient.join(server.url, other.secret, 'far');
  onTestFinished(() => far.close());
  take('far', other.seat, far);
  take('nobody', 'st_AAAAAAAAAAAAAAAAAAAAAA', null);
  const gone = people.get('gone')?.seat ?? '';
  await p.moderator.onPanel(p.panel, { type: 'revoke-seat', seat: gone, reason: 'Shown out.' });
  return { p, people, join, other };
};

/** A second panel of the same lead, with one evaluation and a free reviewer's seat. */
const otherPanel = async (moderator: SeatClient) => {
  const made = await moderator.must({
    on: 'workspace',
    command: { type: 'create-panel', title: 'Other', occasion: '', moderatorName: 'Mo' },
  });
  const panel = made?.kind === 'panel' ? made.panel : '';
  const evaluation = await newEvaluation(moderator, panel);
  const invite: PanelCommand = {
    type: 'invite',
    role: 'reviewer',
    label: '',
    by: 'link',
    until: null,
    seat: null,
  };
  const invited = await moderator.onPanel(panel, invite);
  if (invited?.kind !== 'invitation') throw new Error('no invitation');
  const watcher = new SeatClient(moderator.url, moderator.cookie);
  onTestFinished(() => watcher.close());
  await watcher.watch(evaluation);
  const { board = '', seat: leads = '' } = watcher.view.me ?? {};
  return { evaluation, board, leads, secret: invited.secret, seat: invited.seat };
};

const newEvaluation = async (moderator: SeatClient, panel: string): Promise<string> => {
  const made = await moderator.onPanel(panel, {
    type: 'create-evaluation',
    title: 'Heron 4 (invented)',
    specimen: SPECIMEN,
    protocol: { id: 'emergency-access', version: '1.0.0' },
  });
  return made?.kind === 'evaluation' ? made.evaluation : '';
};

/** Puts one thing into a sheet. */
const intoSheet = (doc: Y.Doc): void => {
  doc.getMap(SHEET_ROOT).set(`${TASK}/note`, `note ${String(doc.store.clients.size)}`);
};

let entries = 0;

/** Puts a remark on the board. */
const intoBoard =
  (seat: string, task: string | null) =>
  (doc: Y.Doc): void => {
    const entry = {
      kind: 'remark',
      task,
      text: 'hm',
      at: '2026-03-02T09:00:00.000Z',
      replaces: null,
    };
    const key = boardKey(seat, String(++entries).padStart(22, '0'));
    doc.getMap(BOARD_ENTRIES).set(key, JSON.stringify(entry));
  };

type Cast = Awaited<ReturnType<typeof cast>>;

/** The document of a row for a person: its evaluation and id, and who may surely open it. */
const documentOf = async (
  { p, people, other }: Cast,
  evaluation: string,
  row: string,
  who: Person,
) => {
  const sheetOf = async (client: SeatClient | null | undefined, round: number): Promise<string> => {
    await client?.watch(evaluation);
    return client?.view.me?.sheets.find((s) => s.round === round)?.document ?? '';
  };
  const ben = people.get('ben');
  const round = row.includes('second') ? 2 : 1;
  if (row === 'no such document') return { evaluation, id: `dc_${'A'.repeat(22)}`, owner: who };
  if (row === 'board of another') {
    return { evaluation: other.evaluation, id: other.board, owner: people.get('mod') };
  }
  if (row.startsWith('own'))
    return { evaluation, id: await sheetOf(who.client, round), owner: who };
  if (row.startsWith('Ben'))
    return { evaluation, id: await sheetOf(ben?.client, round), owner: ben };
  await p.moderator.watch(evaluation);
  return { evaluation, id: p.moderator.view.me?.board ?? '', owner: people.get('mod') };
};

/** One replica for each person and document: a refused edit is not kept in it. */
const replicas = new Map<string, Y.Doc>();

/** What a person can do with the document of a row, at both doors: the ticket and the socket. */
const tryCell = async (
  all: Cast,
  evaluation: string,
  row: string,
  name: string,
): Promise<Access> => {
  const who = all.people.get(name);
  if (!who) throw new Error(`nobody is called ${name}`);
  const document = await documentOf(all, evaluation, row, who);
  expect(document.id, `${row} for ${name}`).toMatch(/^dc_/u);
  const own = await askTicket(who, document.evaluation, document.id);
  // Without a ticket of one's own, one that its owner gave away must not help.
  const lent =
    own ?? (document.owner && (await askTicket(document.owner, document.evaluation, document.id)));
  const key = `${name} ${document.id}`;
  const doc = replicas.get(key) ?? new Y.Doc();
  const task = row.includes('task') ? TASK : null;
  // The lead holds another seat in each panel.
  const seat = row === 'board of another' && name === 'mod' ? all.other.leads : who.seat;
  const edit = row.includes('sheet') ? intoSheet : intoBoard(seat, task);
  const { access, code } = await probeDocument(who, document.id, lent ?? 'none', doc, edit);
  if (access === 'w') replicas.set(key, doc);
  else replicas.delete(key);
  const codes = { w: [0], r: [4403, 4409], '-': [4401] }[access];
  expect(codes, `${row} for ${name} was closed with ${String(code)}`).toContain(code);
  expect(own === undefined, `a ticket for ${row} to ${name}`).toBe(access === '-');
  return access;
};

/** The third door, where Ben is as Ada: the first look holds nobody's document but one's own of now, and only while it may be written. */
const tryFirstLook = async (all: Cast, evaluation: string, stage: string): Promise<string[]> => {
  const wrong: string[] = [];
  for (const [name, who] of all.people) {
    const row = stage === 'again' ? 'own second sheet' : 'own sheet';
    const cell = ROWS.find((r) => r.stage === stage && r.document === row)?.cells.get(
      name === 'ben' ? 'ada' : name,
    );
    // Who sees what was opened waits for the panel's socket: only Late rates again without having seen it.
    const may = cell === 'w' && (stage === 'sealed' || name === 'late');
    const own = may ? await documentOf(all, evaluation, row, who) : undefined;
    const answer = await fetch(`${who.url}/api/evaluations/${evaluation}/first-look`, {
      headers: { cookie: who.cookie },
    });
    const text = await answer.text();
    const { look } = (answer.ok ? JSON.parse(text) : { look: null }) as FirstLookAnswer;
    if (may ? look?.document !== own?.id : look !== null)
      wrong.push(`${stage}, first look, ${name}`);
    const inside = ['gone', 'far', 'nobody'].includes(name) ? 404 : 200;
    if (answer.status !== inside) wrong.push(`${stage}, ${name}: ${String(answer.status)}`);
  }
  return wrong;
};

test('FL-1, SE-1, SE-3, SE-6: every role in every stage opens and writes what the table says, and nothing else', async () => {
  const all = await cast();
  const { p, people, join } = all;
  const found: string[] = [];
  let cells = 0;
  const check = async (stage: string, evaluation = p.evaluation): Promise<void> => {
    found.push(...(await tryFirstLook(all, evaluation, stage)));
    for (const row of ROWS.filter((r) => r.stage === stage)) {
      for (const [name, expected] of row.cells) {
        if (expected === '.') continue;
        cells++;
        const got = await tryCell(all, evaluation, row.document, name);
        if (got !== expected)
          found.push(`${stage}, ${row.document}, ${name}: ${got}, not ${expected}`);
      }
    }
  };
  const rate = async (name: string, round: number): Promise<void> => {
    const client = people.get(name)?.client;
    await client?.watch(p.evaluation);
    const sheet = await client?.openSheet(round);
    await sheet?.saved();
    sheet?.set(TASK, { answer: 2 });
    await sheet?.saved();
    sheet?.close();
  };
  const ask = p.moderator;
  const open = { type: 'open-round', withMissing: true } as const;
  await check('preparing');
  await ask.onEvaluation({ type: 'start-round' });
  await rate('ben', 1);
  await check('sealed');
  await ask.onEvaluation(open);
  await join('late', 'reviewer');
  await check('opened');
  await ask.onEvaluation({ type: 'call-round', tasks: [TASK], reason: REASON });
  for (const name of ['ada', 'ben']) await rate(name, 2);
  await check('again');
  await ask.onEvaluation(open);
  await ask.onEvaluation({
    type: 'settle-task',
    task: TASK,
    how: 'adopt',
    value: null,
    reason: REASON,
  });
  await ask.onEvaluation({ type: 'lock', meaning: 'As rated.' });
  await check('locked');
  const withdrawn = await newEvaluation(ask, p.panel);
  await ask.watch(withdrawn);
  await ask.onEvaluation({ type: 'start-round' });
  await ask.onEvaluation({ type: 'withdraw', reason: REASON });
  await check('withdrawn', withdrawn);
  const rows = `${String(ROWS.length)} rows, ${String(WHO.length)} kinds of people`;
  process.stdout.write(
    `authority: ${rows}, ${String(cells)} cells tried at both doors, ${String(found.length)} differ\n`,
  );
  expect(found).toEqual([]);
  expect(cells).toBeGreaterThan(200);
});
