import { io } from 'socket.io-client';
import { expect, onTestFinished, test } from 'vitest';
import { inventedFitCommand } from '../../server/src/rehearse/invented-fit.ts';
import { WebSocket } from 'ws';
import { SeatClient } from '../../server/src/rehearse/seat-client.ts';
import type {
  EvaluationCommand,
  EvaluationCommandType,
  PanelCommand,
  PanelCommandType,
  Rating,
} from '../../shared-types/src/index.ts';
import { DETAILS } from '../support/specimen.ts';
import { livePanel } from '../support/live-panel.ts';
import { liveServer } from '../support/live-server.ts';
import { runProgram } from '../support/program.ts';

const BLANK = 'AAAAAAAAAAAAAAAAAAAAAA';
const REASON = 'Tried from another organisation on the same server.';
const AT = '2026-03-02T09:00:00.000Z';
const RATING: Rating = {
  answer: 'step',
  step: 1,
  easier: false,
  reason: null,
  critical: null,
  note: null,
  at: null,
};

/** One of every command on an evaluation. */
const evaluationCommands: { [T in EvaluationCommandType]: EvaluationCommand & { type: T } } = {
  'start-round': { type: 'start-round' },
  'finish-sheet': { type: 'finish-sheet' },
  'resume-sheet': { type: 'resume-sheet' },
  'open-round': { type: 'open-round', withMissing: true },
  'correct-rating': {
    type: 'correct-rating',
    task: 'aed-pads',
    rating: RATING,
    reason: REASON,
  },
  'offer-late': {
    type: 'offer-late',
    round: 1,
    ratings: [
      {
        task: 'aed-pads',
        rating: RATING,
      },
    ],
  },
  'import-ratings': {
    type: 'import-ratings',
    file: 'paper.csv',
    sha256: '0'.repeat(64),
    withoutFaulty: false,
    seats: [{ reviewer: 'Foreign', seat: null }],
  },
  'decide-late': { type: 'decide-late', late: `lt_${BLANK}`, admit: true, reason: REASON },
  'call-round': { type: 'call-round', tasks: ['aed-pads'], reason: null },
  'settle-task': { type: 'settle-task', task: 'aed-pads', how: 'adopt', value: null, reason: null },
  'adopt-undisputed': { type: 'adopt-undisputed' },
  'reopen-task': { type: 'reopen-task', task: 'aed-pads', reason: REASON },
  'decide-gate': { type: 'decide-gate', task: 'aed-pads', confirm: true, reason: REASON },
  'present-task': { type: 'present-task', task: 'aed-pads' },
  lock: { type: 'lock', meaning: REASON },
  withdraw: { type: 'withdraw', reason: REASON },
  supersede: { type: 'supersede', by: `ev_${BLANK}`, reason: REASON },
  'check-fit': inventedFitCommand(`st_${BLANK}`),
  'override-fit': { type: 'override-fit', reason: REASON },
  endorse: { type: 'endorse', content: true, reason: REASON },
  'attach-media': {
    type: 'attach-media',
    media: `md_${BLANK}`,
    place: { of: 'task', task: 'aed-pads' },
    description: REASON,
    withoutFaces: true,
  },
  'remove-media': { type: 'remove-media', media: `md_${BLANK}`, reason: REASON },
  'mark-moment': { type: 'mark-moment', media: `md_${BLANK}`, ms: 0, label: REASON },
  'watch-clip': { type: 'watch-clip', media: `md_${BLANK}` },
  'state-observation': { type: 'state-observation', how: 'recorded' },
  'decide-model-trials': { type: 'decide-model-trials', model: 'M1', count: false, reason: REASON },
  'note-incident': {
    type: 'note-incident',
    note: {
      what: REASON,
      happenedAt: AT,
      task: null,
      trial: null,
      done: REASON,
      direction: 'informed',
    },
  },
};

/** One of every command on a panel, naming a seat and a device where it can. */
const panelCommands = (
  seat: string,
  device: string,
): { [T in PanelCommandType]: PanelCommand & { type: T } } => ({
  invite: { type: 'invite', role: 'observer', label: '', by: 'code', until: null, seat },
  'cancel-invitation': { type: 'cancel-invitation', seat },
  'revoke-seat': { type: 'revoke-seat', seat, reason: REASON },
  'declare-interest': {
    type: 'declare-interest',
    declaration: { ties: [], familiarity: 'none' },
  },
  'register-specimen': { type: 'register-specimen', details: DETAILS },
  'correct-specimen': {
    type: 'correct-specimen',
    specimen: `sp_${BLANK}`,
    details: DETAILS,
    reason: REASON,
  },
  'retire-specimen': { type: 'retire-specimen', specimen: `sp_${BLANK}`, reason: REASON },
  'add-specimen-photo': {
    type: 'add-specimen-photo',
    specimen: `sp_${BLANK}`,
    photo: `md_${BLANK}`,
    caption: REASON,
    withoutFaces: true,
  },
  'caption-specimen-photo': {
    type: 'caption-specimen-photo',
    specimen: `sp_${BLANK}`,
    photo: `md_${BLANK}`,
    caption: REASON,
  },
  'remove-specimen-photo': {
    type: 'remove-specimen-photo',
    specimen: `sp_${BLANK}`,
    photo: `md_${BLANK}`,
    reason: REASON,
  },
  'create-evaluation': {
    type: 'create-evaluation',
    title: 'Foreign',
    specimen: {
      kind: 'helmet',
      sport: '',
      maker: '',
      model: '',
      year: '',
      size: '',
      serial: '',
      condition: '',
      fastening: '',
      suppliedBy: '',
    },
    protocol: { id: 'emergency-access', version: '1.0.0' },
  },
  'add-device': { type: 'add-device' },
  'move-device': { type: 'move-device' },
  'erase-name': { type: 'erase-name', seat },
  'admit-arrival': { type: 'admit-arrival', seat, device },
  'refuse-arrival': { type: 'refuse-arrival', seat, device },
  'reopen-codes': { type: 'reopen-codes' },
  'publish-link': { type: 'publish-link', evaluation: `ev_${BLANK}`, what: 'record', names: false },
  'end-link': { type: 'end-link', link: `lk_${BLANK}` },
  'stop-everyone': { type: 'stop-everyone', reason: REASON },
  'resume-everyone': { type: 'resume-everyone', measures: REASON },
  'acknowledge-briefing': { type: 'acknowledge-briefing', text: 'a'.repeat(64) },
  'record-consent': { type: 'record-consent', model: 'M1', written: true },
  'withdraw-consent': { type: 'withdraw-consent', model: 'M1' },
});

/** Commands that work on the panel itself whatever seat is named: tried on the other panel, not in one's own. */
const NAME_NO_SEAT = new Set([
  'declare-interest',
  'create-evaluation',
  'add-device',
  'move-device',
  'reopen-codes',
  'register-specimen',
  'correct-specimen',
  'retire-specimen',
  'add-specimen-photo',
  'caption-specimen-photo',
  'remove-specimen-photo',
  'stop-everyone',
  'resume-everyone',
  'acknowledge-briefing',
  'record-consent',
  'withdraw-consent',
]);

/** Two organisations on one server, both with a panel in a sealed round. */
const twoOrganisations = async () => {
  const server = await liveServer();
  const added = await runProgram(['workspace', 'add', 'Second', '--data-dir', server.directory]);
  expect(added).toMatchObject({ code: 0, err: '' });
  const link = /(http\S+)/u.exec(added.out)?.[1] ?? '';
  const panel = async (signIn: string, name: string) => {
    const p = await livePanel(server.url, signIn);
    const reviewer = await p.join('reviewer', name);
    await p.moderator.onEvaluation({ type: 'start-round' });
    await reviewer.client.until('the round', (v) => v.me?.sheets.length === 1);
    return { ...p, reviewer };
  };
  const ours = await panel(server.signInLink, 'Ada');
  const theirs = await panel(link, 'Zebulon');
  return { server, ours, theirs };
};

const socketOf = (url: string, cookie: string, heard: string[]) => {
  const socket = io(url, {
    path: '/live',
    transports: ['websocket'],
    extraHeaders: { cookie },
    forceNew: true,
  });
  onTestFinished(() => void socket.close());
  socket.onAny((...args: unknown[]) => heard.push(JSON.stringify(args)));
  return socket;
};

test('AC-19: another organisation’s things answer, to the byte, like things that do not exist', async () => {
  const { server, ours, theirs } = await twoOrganisations();
  const { url } = server;
  const board = theirs.reviewer.client.view.me?.board ?? '';
  const sheet = theirs.reviewer.client.view.me?.sheets[0]?.document ?? '';
  const device = `dv_${BLANK}`;
  let tried = 0;
  const heard: string[] = [];
  for (const { cookie } of [ours.moderator, ours.reviewer.client]) {
    let socket = socketOf(url, cookie, heard);
    let asked = 0;
    const ask = async (event: string, message: object): Promise<string> => {
      // Below the budget of one socket.
      if (++asked % 20 === 0) {
        socket.close();
        socket = socketOf(url, cookie, heard);
      }
      const answer = JSON.stringify(await socket.emitWithAck(event, message));
      heard.push(answer);
      return answer;
    };
    let n = 0;
    const command = (more: object): object => ({
      id: `cm_${String(++n).padStart(22, '0')}`,
      clientAt: AT,
      ...more,
    });
    /** Both asked alike; the answers must not differ, and must be refusals. */
    const same = async (event: string, make: (foreign: boolean) => object): Promise<void> => {
      const foreign = await ask(event, make(true));
      const nothing = await ask(event, make(false));
      expect(foreign, JSON.stringify(make(true))).toBe(nothing);
      expect(JSON.parse(foreign)).toMatchObject({ ok: false });
      tried++;
    };
    for (const c of Object.values(evaluationCommands)) {
      await same('command', (f) => {
        const evaluation = f ? theirs.evaluation : `ev_${BLANK}`;
        return command({ on: 'evaluation', evaluation, command: c });
      });
    }
    const seat = theirs.reviewer.seat;
    for (const c of Object.values(panelCommands(seat, device))) {
      await same('command', (f) =>
        command({ on: 'panel', panel: f ? theirs.panel : `pn_${BLANK}`, command: c }),
      );
      if (NAME_NO_SEAT.has(c.type)) continue;
      await same('command', (f) => {
        const own = panelCommands(f ? seat : `st_${BLANK}`, device)[c.type];
        return command({ on: 'panel', panel: ours.panel, command: own });
      });
    }
    await same('watch', (f) => ({ on: 'panel', panel: f ? theirs.panel : `pn_${BLANK}` }));
    await same('watch', (f) => ({
      on: 'evaluation',
      evaluation: f ? theirs.evaluation : `ev_${BLANK}`,
    }));
    await same('witness', (f) => ({
      evaluation: f ? theirs.evaluation : `ev_${BLANK}`,
      fault: 'fork',
      kept: 'x',
      got: 'x',
    }));

    const get = async (path: string): Promise<string> => {
      const response = await fetch(`${url}/api${path}`, { headers: { cookie } });
      return `${String(response.status)} ${await response.text()}`;
    };
    const addresses = [
      (id: string) => `/evaluations/${id}/bundle`,
      (id: string) => `/evaluations/${id}/record`,
      (id: string) => `/evaluations/${id}/report`,
      (id: string) => `/evaluations/${id}/data/ratings.csv`,
      (id: string) => `/evaluations/${id}/publication`,
      (id: string) => `/cards/${id}`,
      (id: string) => `/compare?ids=${id}`,
    ];
    for (const address of addresses) {
      const nothing = await get(address(`ev_${BLANK}`));
      // An answer may name what was asked for, and nothing else of it.
      const foreign = (await get(address(theirs.evaluation))).replaceAll(
        theirs.evaluation,
        `ev_${BLANK}`,
      );
      expect(foreign, address('')).toBe(nothing);
      tried++;
    }
    heard.push(await get('/catalogue'));
    const ticket = (evaluation: string, document: string): Promise<string> =>
      SeatClient.post(url, '/tickets', { evaluation, document }, cookie).then(
        () => 'a ticket',
        (error: unknown) => String(error),
      );
    for (const document of [board, sheet]) {
      const nothing = await ticket(`ev_${BLANK}`, `dc_${BLANK}`);
      expect(nothing).toContain('unknown-thing');
      expect(await ticket(theirs.evaluation, document)).toBe(nothing);
      expect(await ticket(ours.evaluation, document)).toBe(nothing);
      // A ticket of theirs, with our cookie; and a ticket of ours for their document.
      const stolen = await SeatClient.post(
        url,
        '/tickets',
        { evaluation: theirs.evaluation, document },
        theirs.reviewer.client.cookie,
      );
      const address = `${url.replace('http', 'ws')}/sync/${document}?ticket=${String(stolen.body['ticket'])}`;
      const ws = new WebSocket(address, { headers: { cookie } });
      expect(await new Promise((resolve) => ws.once('close', resolve))).toBe(4401);
      tried += 3;
    }
    heard.push(await get('/me'));
    heard.push(JSON.stringify(await socket.emitWithAck('watch', { on: 'home' })));
  }
  const secrets = [theirs.panel, theirs.evaluation, board, sheet, theirs.reviewer.seat, 'Zebulon'];
  for (const secret of secrets) expect(heard.join('\n')).not.toContain(secret);
  process.stderr.write(`across organisations: ${String(tried)} ways tried, 0 leaks\n`);
  expect(tried).toBeGreaterThan(60);
  // The other organisation noticed nothing and works.
  await theirs.moderator.onEvaluation({ type: 'present-task', task: 'aed-pads' });
});

test('AC-19: the name of an organisation is there once, and its lead can get another link', async () => {
  const { server, theirs } = await twoOrganisations();
  const at = ['--data-dir', server.directory];
  expect((await runProgram(['workspace', 'list', ...at])).out).toBe('(the first one)\nSecond\n');
  const again = await runProgram(['workspace', 'add', 'SECOND', ...at]);
  expect(again).toMatchObject({ code: 1 });
  expect(again.err).toContain('there is a workspace of that name');
  const link = await runProgram(['workspace', 'link', 'Second', ...at]);
  const lead = await SeatClient.signIn(server.url, /(http\S+)/u.exec(link.out)?.[1] ?? '');
  onTestFinished(() => lead.close());
  await lead.watch(theirs.evaluation);
  expect(lead.view.head?.stage).toBe('sealed');
  expect((await runProgram(['workspace', 'add', ...at])).code).toBe(2);
  expect((await runProgram(['workspace', 'list', '--data-dir', '/nowhere'])).code).toBe(2);
});
