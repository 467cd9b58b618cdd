import { createHash } from 'node:crypto';
import { createServer, request } from 'node:http';
import type { AddressInfo } from 'node:net';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { EvaluationCommand } from '../../../shared-types/src/index.ts';
import { MemoryTickets } from '../../../server/src/adapters/memory-tickets.ts';
import type { Identity } from '../../../server/src/flows/app.ts';
import { sweepMedia } from '../../../server/src/flows/media.ts';
import { newSession } from '../../../server/src/flows/sessions.ts';
import { Tickets } from '../../../server/src/flows/tickets.ts';
import { httpApp } from '../../../server/src/http/app.ts';
import { COOKIE } from '../../../server/src/http/origin.ts';
import { sharedSlices } from '../../../server/src/evaluation/view/slices.ts';
import {
  jpegByHand,
  exifSegment,
  movieByHand,
  PLACE,
  pngByHand,
} from '../../support/media-by-hand.ts';
import { accepted, commandId, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { testApp, type TestApp } from '../../support/test-app.ts';

let made: TestApp;
let panel: SeatedPanel;
let port: number;
let server: ReturnType<typeof createServer>;
const cookies = new Map<string, string>();

const cookieOf = async ({ seat }: Identity, of = panel.panel): Promise<string> => {
  const { token, session } = newSession(made.app, { seat, panel: of });
  await made.app.store.commit({ sessions: [session] });
  return `${COOKIE}=${token}`;
};

beforeAll(async () => {
  made = testApp();
  panel = await seatedPanel(made.app);
  const log = { info: () => undefined, error: () => undefined };
  const tickets = new Tickets(made.app, new MemoryTickets());
  server = createServer(httpApp(made.app, tickets, { names: [] }, 'nowhere', log));
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  ({ port } = server.address() as AddressInfo);
  for (const who of [panel.moderator, ...panel.reviewers]) {
    cookies.set(who.seat, await cookieOf(who));
  }
});
afterAll(() => void server.close());

const TUS = { 'tus-resumable': '1.0.0' };
const PIECE = { 'content-type': 'application/offset+octet-stream' };
const base = () => `http://127.0.0.1:${String(port)}`;

const ask = (
  method: string,
  path: string,
  cookie: string,
  headers: Record<string, string> = {},
  body?: Buffer,
): Promise<Response> =>
  fetch(
    path.startsWith('/api')
      ? `${base()}${path}`
      : `${base()}/api/evaluations/${panel.evaluation}${path}`,
    {
      method,
      headers: { cookie, connection: 'close', ...headers },
      ...(body ? { body: new Uint8Array(body) } : {}),
    },
  );

const [reviewer, another] = [() => panel.reviewers[0]!, () => panel.reviewers[1]!];
const as = (who: Identity): string => cookies.get(who.seat) ?? '';

const begin = async (who: Identity, length: number): Promise<string> => {
  const response = await ask('POST', '/uploads', as(who), {
    ...TUS,
    'upload-length': String(length),
  });
  expect(response.status).toBe(201);
  return response.headers.get('location') ?? '';
};
const send = (who: Identity, at: string, offset: number, body: Buffer): Promise<Response> =>
  ask('PATCH', at, as(who), { ...TUS, ...PIECE, 'upload-offset': String(offset) }, body);

const idOf = (location: string): string => location.slice(location.lastIndexOf('/') + 1);
const attach = (media: string): EvaluationCommand => ({
  type: 'attach-media',
  media,
  place: { of: 'task', task: 'aed-pads' },
  description: 'the strap from the left',
  withoutFaces: true,
});

const upload = async (who: Identity, file: Buffer): Promise<string> => {
  const at = await begin(who, file.length);
  expect((await send(who, at, 0, file)).status).toBe(204);
  return idOf(at);
};
const kept = async (media: string) => (await panel.live()).state.media.get(media);

describe('uploading by tus 1.0.0', () => {
  test('creation, offset, pieces and termination answer as the protocol says', async () => {
    const file = jpegByHand([exifSegment(6)]);
    const at = await begin(reviewer(), file.length);
    const head = await ask('HEAD', at, as(reviewer()), TUS);
    expect(head.status).toBe(200);
    expect(head.headers.get('upload-offset')).toBe('0');
    expect(head.headers.get('upload-length')).toBe(String(file.length));
    expect(head.headers.get('cache-control')).toBe('no-store');
    const first = await send(reviewer(), at, 0, file.subarray(0, 50));
    expect(first.headers.get('upload-offset')).toBe('50');
    expect(first.headers.get('tus-resumable')).toBe('1.0.0');
    expect((await send(reviewer(), at, 0, file)).status).toBe(409);
    expect((await send(reviewer(), at, 50, Buffer.alloc(file.length))).status).toBe(413);
    const wrong = { ...TUS, 'content-type': 'application/json', 'upload-offset': '50' };
    expect((await ask('PATCH', at, as(reviewer()), wrong, file)).status).toBe(415);
    const other = await ask('HEAD', at, as(reviewer()), { 'tus-resumable': '0.2.2' });
    expect(other.status).toBe(412);
    expect(other.headers.get('tus-version')).toBe('1.0.0');
    expect((await ask('DELETE', at, as(reviewer()), TUS)).status).toBe(204);
    expect((await ask('HEAD', at, as(reviewer()), TUS)).status).toBe(404);
  });

  test('ME-18: what came before a cut is there; the upload goes on from it', async () => {
    const file = jpegByHand([exifSegment(6)], { width: 9 });
    const at = await begin(reviewer(), file.length);
    await new Promise<void>((resolve) => {
      const headers = {
        cookie: as(reviewer()),
        ...TUS,
        ...PIECE,
        'upload-offset': '0',
        'content-length': file.length,
      };
      const cut = request({ port, host: '127.0.0.1', method: 'PATCH', path: at, headers });
      cut.on('error', () => resolve());
      cut.write(file.subarray(0, 60));
      setTimeout(() => cut.destroy(new Error('cut')), 100);
    });
    await expect
      .poll(async () => (await ask('HEAD', at, as(reviewer()), TUS)).headers.get('upload-offset'))
      .toBe('60');
    await expect
      .poll(async () => (await send(reviewer(), at, 60, file.subarray(60))).status)
      .toBe(204);
    accepted(await panel.act(reviewer(), attach(idOf(at))));
    expect((await kept(idOf(at)))?.type).toBe('image/jpeg');
  });

  test('a length over the limit is refused at once, with the limits', async () => {
    const headers = { ...TUS, 'upload-length': '2000001' };
    const response = await ask('POST', '/uploads', as(reviewer()), headers);
    expect(response.status).toBe(413);
    expect(await response.json()).toMatchObject({
      error: { message: expect.stringContaining('clip 2 MB') as string },
    });
  });

  test('an upload is its sender’s alone, and nothing outside it can be named', async () => {
    const at = await begin(reviewer(), 10);
    expect((await ask('HEAD', at, as(another()), TUS)).status).toBe(404);
    expect((await send(another(), at, 0, Buffer.alloc(10))).status).toBe(404);
    for (const name of ['..%2f..%2fevaluation', '%2e%2e', 'md_x', '..%5c..%5cx']) {
      expect((await ask('HEAD', `/uploads/${name}`, as(reviewer()), TUS)).status).toBe(404);
    }
    expect((await ask('HEAD', at, '', TUS)).status).toBe(404);
    const foreign = { ...TUS, 'upload-length': '5', origin: 'https://elsewhere.example' };
    expect((await ask('POST', '/uploads', as(reviewer()), foreign)).status).toBe(403);
    expect((await ask('DELETE', at, as(reviewer()), TUS)).status).toBe(204);
  });
});

describe('attaching', () => {
  test('ME-16: the event holds the hash of the clean file, the file is there, and a resend has one effect', async () => {
    const media = await upload(reviewer(), jpegByHand([exifSegment(3)], { height: 7 }));
    const id = commandId();
    accepted(await panel.act(reviewer(), attach(media), id));
    accepted(await panel.act(reviewer(), attach(media), id));
    const state = await kept(media);
    const got = await ask('GET', `/media/${media}`, as(another()));
    const bytes = Buffer.from(await got.arrayBuffer());
    expect(createHash('sha256').update(bytes).digest('hex')).toBe(state?.sha256);
    expect(bytes.length).toBe(state?.size);
    expect(bytes.includes(PLACE)).toBe(false);
    expect(await made.app.media.find(media)).toBeUndefined();
    expect(got.headers.get('x-content-type-options')).toBe('nosniff');
    expect(got.headers.get('content-security-policy')).toContain("default-src 'none'; sandbox");
    expect(got.headers.get('content-disposition')).toBe('inline; filename="photo.jpg"');
    expect(got.headers.get('cache-control')).toBe('no-store');
  });

  test('ME-16: the same file again, an unfinished one, and one that is no picture are refused', async () => {
    const file = pngByHand([], { shade: 33 });
    const first = await upload(reviewer(), file);
    accepted(await panel.act(reviewer(), attach(first)));
    const again = await panel.act(another(), attach(await upload(another(), file)));
    expect(again).toMatchObject({ ok: false, rejection: { code: 'bad-input' } });
    expect((await ask('GET', `/media/${first}`, as(reviewer()))).status).toBe(200);
    const half = await begin(reviewer(), 100);
    const early = await panel.act(reviewer(), attach(idOf(half)));
    expect(early).toMatchObject({ ok: false, rejection: { code: 'unknown-thing' } });
    const page = await panel.act(
      reviewer(),
      attach(await upload(reviewer(), Buffer.from('<html>'.repeat(9)))),
    );
    expect(page).toMatchObject({ ok: false, rejection: { code: 'bad-input' } });
  });

  test('a clip is sent in ranges, as players ask for it', async () => {
    const media = await upload(reviewer(), movieByHand());
    accepted(await panel.act(reviewer(), attach(media)));
    const size = (await kept(media))?.size ?? 0;
    const range = (r: string) => ask('GET', `/media/${media}`, as(reviewer()), { range: r });
    const part = await range('bytes=4-7');
    expect(part.status).toBe(206);
    expect(part.headers.get('content-range')).toBe(`bytes 4-7/${String(size)}`);
    expect(await part.text()).toBe('ftyp');
    expect((await range('bytes=-4')).headers.get('content-range')).toBe(
      `bytes ${String(size - 4)}-${String(size - 1)}/${String(size)}`,
    );
    expect((await range(`bytes=${String(size)}-`)).status).toBe(416);
    const mark = { type: 'mark-moment', media, ms: 1200, label: 'Strap is free' } as const;
    accepted(await panel.act(reviewer(), mark));
    expect((await kept(media))?.moments).toEqual([
      { seat: reviewer().seat, ms: 1200, label: 'Strap is free' },
    ]);
  });

  test('ME-19: a removed photo is gone from the disk; its hash, its reason and who removed it stay', async () => {
    const media = await upload(reviewer(), pngByHand([], { shade: 77 }));
    accepted(await panel.act(reviewer(), attach(media)));
    const remove = { type: 'remove-media', media, reason: 'A face is in it.' } as const;
    const denied = await panel.act(reviewer(), remove);
    expect(denied).toMatchObject({ ok: false, rejection: { code: 'role-may-not' } });
    accepted(await panel.act(panel.moderator, remove));
    const state = await kept(media);
    expect(state?.removed).toMatchObject({ by: panel.moderator.seat, reason: 'A face is in it.' });
    expect(await made.app.media.open(panel.evaluation, state?.sha256 ?? '')).toBeUndefined();
    expect((await ask('GET', `/media/${media}`, as(reviewer()))).status).toBe(404);
  });

  test('ME-19: what a kill left of a removed photo goes at the next start, and nothing else', async () => {
    const media = await upload(reviewer(), pngByHand([], { shade: 78 }));
    accepted(await panel.act(reviewer(), attach(media)));
    const file = await made.app.media.open(panel.evaluation, (await kept(media))?.sha256 ?? '');
    const chunks: Buffer[] = [];
    for await (const piece of file?.stream(0, file.size - 1) ?? []) chunks.push(piece as Buffer);
    const removal = { type: 'remove-media', media, reason: 'A face is in it.' } as const;
    accepted(await panel.act(panel.moderator, removal));
    // As if the server had been killed before the file went.
    const left = await made.app.media.keep(panel.evaluation, Buffer.concat(chunks));
    expect(left).toBe((await kept(media))?.sha256);
    const unknown = await made.app.media.keep(panel.evaluation, pngByHand([], { shade: 5 }));
    const before = await made.app.media.kept();
    await sweepMedia(made.app);
    const after = await made.app.media.kept();
    expect(before.length - after.length).toBe(1);
    expect(after.some((k) => k.sha256 === left)).toBe(false);
    expect(after.some((k) => k.sha256 === unknown)).toBe(true);
  });
});

test('ME-15: nobody of another panel, and nobody before the phase allows it, gets a file or hears of it', async () => {
  const media = await upload(panel.moderator, pngByHand([], { shade: 200 }));
  accepted(await panel.act(panel.moderator, attach(media)));
  const other = await seatedPanel(made.app);
  const stranger = await cookieOf(other.moderator, other.panel);
  expect((await ask('GET', `/media/${media}`, stranger)).status).toBe(404);
  const [[key, published] = ['', undefined]] = [...made.app.protocols];
  if (!published) throw new Error('no protocol');
  const protocol = { ...published.protocol, evidenceBeforeRating: false };
  const protocols = new Map([[key, { ...published, protocol }]]);
  const before = made.app.protocols;
  made.app.protocols = protocols;
  try {
    expect((await ask('GET', `/media/${media}`, as(reviewer()))).status).toBe(404);
    expect((await ask('GET', `/media/${media}`, as(panel.moderator))).status).toBe(200);
    const { state } = await panel.live();
    const around = {
      protocol,
      panelTitle: '',
      briefing: '',
      people: { name: () => '', online: () => false },
      checkpoint: { root: '', size: 0 },
      insight: () => null,
      doubts: [],
      arrivals: 0,
    };
    for (const audience of ['reviewer', 'onlooker', 'wall', 'catching-up'] as const) {
      expect(JSON.stringify(sharedSlices(state, around, audience))).not.toContain(media);
    }
    expect(JSON.stringify(sharedSlices(state, around, 'moderator'))).toContain(media);
  } finally {
    made.app.protocols = before;
  }
});

test('ME-17: who rates marks no moment while the round of the task is sealed', async () => {
  const media = await upload(panel.moderator, movieByHand({ brand: 'mp42' }));
  accepted(await panel.act(panel.moderator, attach(media)));
  accepted(await panel.act(panel.moderator, { type: 'start-round' }));
  const mark = { type: 'mark-moment', media, ms: 1, label: 'Blocked' } as const;
  const held = await panel.act(reviewer(), mark);
  expect(held).toMatchObject({ ok: false, rejection: { code: 'round-sealed' } });
  accepted(await panel.act(panel.moderator, mark));
});
