import { expect, test } from 'vitest';
import { parse } from 'csv-parse/sync';
import { exportFiles } from '../../../server/src/report/open-data/export-files.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { readSource } from '../../../server/src/report/record-source.ts';
import { FROM_PAPER } from '../../../server/src/report/sections/paper.ts';
import { checkPaper } from '../../../server/src/flows/import-paper.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { bringIn, lockedFromPaper, PAPER_CSV, type Who } from '../../support/from-paper.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { accepted, commandId, seatedPanel } from '../../support/seated-panel.ts';
import { testApp } from '../../support/test-app.ts';

const WHO: Who = { Ana: null, Ben: null, 'Reviewer 1': null };
const bytes = (text: string) => new TextEncoder().encode(text);

test('PA-3: the trail says who brought in what, when, and who is who; the figures are computed as for others', async () => {
  const made = await lockedFromPaper();
  const { state } = await made.panel.live();
  expect(state.paper).toMatchObject({
    file: 'paper day.csv',
    rows: 7,
    empty: 0,
    leftOut: [],
    by: made.panel.moderator.seat,
    seats: [
      { how: 'paper' },
      { how: 'paper' },
      { how: 'matched', seat: made.panel.reviewers[0]?.seat },
    ],
  });
  expect(state.rounds.map((r) => [r.number, r.openedAt !== null, r.sheets.size])).toEqual([
    [1, true, 0],
    [2, true, 0],
  ]);
  // Ana's second round stands; her first does not.
  const values = [...(state.ratings.get('airway-open')?.values() ?? [])].map((r) => r.rating.step);
  expect(values).toEqual([3, 3]);
  const verified = verifyBundle(made.bytes, { key: made.key });
  expect(verified.findings).toEqual([]);
  expect(verified.remarks.filter((r) => r.step === 'paper')).toHaveLength(1);
});

test('PA-7: the record says “imported from paper” before every figure, and nowhere that ratings were hidden', async () => {
  const { bytes: bundle } = await lockedFromPaper();
  const record = buildRecord(bundle);
  for (const id of ['verdict', 'tasks', 'agreement', 'sensitivity', 'course', 'ratings']) {
    const section = record.sections.find((s) => s.id === id);
    expect(JSON.stringify(section?.blocks), id).toContain(FROM_PAPER);
  }
  const text = JSON.stringify(record);
  expect(text).not.toContain('hidden from everybody');
  expect(text).toContain('paper day.csv');
  expect(record.checklist.find((i) => i.id === 'R09')?.status).toBe('partly');
  const [ratings] = exportFiles(readSource(bundle));
  expect(ratings?.text).toContain(',paper,');
  expect(exportFiles(readSource(bundle)).at(-1)?.text).toContain(FROM_PAPER);
});

test('CSV round trip: the ratings of one evaluation, brought into another, give the same composite', async () => {
  const from = await lockedBundle();
  const source = readSource(from.bytes);
  const csv = exportFiles(source)[0]?.text ?? '';
  const names = new Set(parse<{ reviewer: string }>(csv, { columns: true }).map((r) => r.reviewer));
  const { app } = from;
  const panel = await seatedPanel(app, 3);
  const who = Object.fromEntries([...names].map((n) => [n, null]));
  // The tie of reviewer A is declared on the panel, not in the file: matched to a seat that declares it anew.
  const [a] = panel.reviewers;
  if (!a) throw new Error('nobody is seated');
  await panel.declare(a, [
    { to: 'tool', tool: 'mask-cutter', detail: 'Advice to a cutter seller.' },
  ]);
  accepted(await bringIn(app, panel, csv, { ...who, A: a.seat }));
  const REASON = 'Talked through at the bench with the specimen in hand.';
  const { moderator, act } = panel;
  for (const t of source.result.tasks) {
    const settled = source.state.settled.get(t.task);
    if (!settled) continue;
    const { how } = settled;
    const value = how === 'decide' ? settled.value : null;
    const reason = how === 'adopt' ? null : REASON;
    accepted(await act(moderator, { type: 'settle-task', task: t.task, how, value, reason }));
  }
  for (const [task, gate] of source.state.gates) {
    accepted(
      await act(moderator, { type: 'decide-gate', task, confirm: gate.confirmed, reason: REASON }),
    );
  }
  accepted(await act(moderator, { type: 'lock', meaning: 'The same again, from paper.' }));
  const again = (await panel.live()).state.locked?.result;
  expect(again?.composite).toEqual(source.result.composite);
  expect(again?.means.value).toEqual(source.result.means.value);
  expect(again?.means.interval).toEqual(source.result.means.interval);
  expect(again?.alphaOrdinal).toEqual(source.result.alphaOrdinal);
  expect(again?.verdict).toEqual(source.result.verdict);
  expect(again?.tasks).toEqual(source.result.tasks);
});

test('PA-1: never into a round with sheets, never twice, and no round or sheet beside it', async () => {
  const { app } = testApp();
  const sealed = await seatedPanel(app, 2);
  accepted(await sealed.act(sealed.moderator, { type: 'start-round' }));
  expect(await bringIn(app, sealed, PAPER_CSV, WHO)).toMatchObject({
    rejection: { code: 'round-sealed' },
  });

  const panel = await seatedPanel(app, 0);
  accepted(await bringIn(app, panel, PAPER_CSV, WHO));
  expect(await bringIn(app, panel, PAPER_CSV, WHO)).toMatchObject({
    rejection: { code: 'round-opened' },
  });
  const call = { type: 'call-round' as const, tasks: ['airway-open'], reason: null };
  expect(await panel.act(panel.moderator, call)).toMatchObject({
    rejection: { code: 'already-started' },
  });
  // Who joins afterwards gets no sheet.
  const late = await panel.sit('reviewer', 'Late Comer');
  const { state } = await panel.live();
  expect(state.rounds.every((r) => r.sheets.size === 0)).toBe(true);
  expect(state.seats.get(late.seat)?.role).toBe('reviewer');
});

test('EV-7: the same message again gets the same answer and changes nothing', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 0);
  const id = commandId();
  const first = await bringIn(app, panel, PAPER_CSV, WHO, { id });
  const size = (await panel.live()).size;
  expect(await bringIn(app, panel, PAPER_CSV, WHO, { id })).toEqual(first);
  expect((await panel.live()).size).toBe(size);
});

test('PA-2: nothing is taken while a line is faulty; without it by choice, and then the trail lists it', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 0);
  const csv = `${PAPER_CSV}airway-open,Dan,9,1,\n`;
  const refused = await bringIn(app, panel, csv, WHO);
  expect(refused).toMatchObject({
    rejection: {
      code: 'bad-input',
      message: expect.stringContaining('Line 9, rating: "9" is not a rating'),
    },
  });
  expect((await panel.live()).state.paper).toBeNull();
  accepted(await bringIn(app, panel, csv, WHO, { withoutFaulty: true }));
  expect((await panel.live()).state.paper?.leftOut).toEqual([
    { line: 9, column: 'rating', fault: '"9" is not a rating' },
  ]);
});

test('PA-5: a name that looks like another’s is never taken for a new person; the file that was checked is the one that is brought in, and every person in it is accounted for', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 2);
  const [first] = panel.reviewers;
  const seat = first?.seat ?? '';
  const says = async (who: Who, more = {}) => {
    const answer = await bringIn(app, panel, PAPER_CSV, who, more);
    return answer.ok ? 'taken' : answer.rejection.message;
  };
  const matched = { ...WHO, 'Reviewer 1': seat };
  expect(await says(matched, { sha256: '0'.repeat(64) })).toContain('not the one that was checked');
  expect(await says({ Ana: null, Ben: null })).toContain('Say who “Reviewer 1” of line 7 is');
  expect(await says({ ...matched, Zoe: null })).toContain('“Zoe” has no rating');
  expect(await says({ Ana: seat, Ben: seat, 'Reviewer 1': null })).toContain('looks like');
  expect(
    await says({ Ana: seat, Ben: seat, 'Reviewer 1': panel.reviewers[1]?.seat ?? '' }),
  ).toContain('same seat');
  expect(await says({ Ana: panel.moderator.seat, Ben: null, 'Reviewer 1': seat })).toContain(
    'reviewer’s seat',
  );
  expect(await says({ Ana: null, Ben: null, 'Reviewer 1': seat })).toBe('taken');
});

test('only a moderator checks and brings in; a command without its file brings nothing', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 1);
  const [reviewer] = panel.reviewers;
  if (!reviewer) throw new Error('nobody is seated');
  expect(await bringIn(app, panel, PAPER_CSV, WHO, { who: reviewer })).toMatchObject({
    rejection: { code: 'role-may-not' },
  });
  expect(checkPaper(app, await panel.live(), reviewer, bytes(PAPER_CSV))).toMatchObject({
    rejection: { code: 'role-may-not' },
  });
  const bare = {
    type: 'import-ratings',
    file: 'x',
    sha256: '0'.repeat(64),
    withoutFaulty: false,
    seats: [],
  } as const;
  expect(
    await panel.act(panel.moderator, { ...bare, seats: [{ reviewer: 'Ana', seat: null }] }),
  ).toMatchObject({ ok: false });
});

test('a check tells what would come in, whom a name looks like, and every fault; it keeps nothing', async () => {
  const { app } = testApp();
  const panel = await seatedPanel(app, 1, { fitted: false });
  const live = await panel.live();
  const size = live.size;
  const checked = checkPaper(app, live, panel.moderator, bytes(PAPER_CSV));
  expect(checked).toMatchObject({
    ok: true,
    value: { rows: 7, faults: [], whole: false, rounds: 2, tasks: 3, of: 30, fit: false },
  });
  if (!checked.ok) return;
  expect(checked.value.reviewers).toEqual([
    { reviewer: 'Ana', ratings: 3, seat: null },
    { reviewer: 'Ben', ratings: 3, seat: null },
    { reviewer: 'Reviewer 1', ratings: 1, seat: panel.reviewers[0]?.seat },
  ]);
  const broken = checkPaper(app, live, panel.moderator, new Uint8Array([0xff, 0xfe, 0x41]));
  expect(broken).toMatchObject({
    value: { whole: true, faults: [{ fault: 'the file is not text in UTF-8' }] },
  });
  const alike = checkPaper(
    app,
    live,
    panel.moderator,
    bytes('task,reviewer,rating\nairway-open,Ana,1\nairway-open,ana,2\n'),
  );
  expect(alike).toMatchObject({
    value: { whole: true, faults: [{ line: 3, column: 'reviewer' }] },
  });
  expect((await panel.live()).size).toBe(size);
  // FI-4 holds for paper too.
  expect(
    await bringIn(app, panel, PAPER_CSV, {
      Ana: null,
      Ben: null,
      'Reviewer 1': panel.reviewers[0]?.seat ?? '',
    }),
  ).toMatchObject({
    rejection: { code: 'fit-check-missing' },
  });
});

test('PA-4: nobody is let in on a seat from paper; its name can be erased; other evaluations know nothing of it', async () => {
  const { app, panel, key } = await lockedFromPaper();
  const seat = (await panel.live()).state.paper?.seats[0]?.seat ?? '';
  const invite = {
    type: 'invite',
    role: 'reviewer',
    label: '',
    by: 'code',
    until: null,
    seat,
  } as const;
  expect(await panel.onPanel(panel.moderator, invite)).toMatchObject({ ok: false });
  expect(
    await panel.onPanel(panel.moderator, { type: 'revoke-seat', seat, reason: 'gone' }),
  ).toMatchObject({ ok: false });
  const { SPECIMEN } = await import('../../support/specimen.ts');
  const made = await panel.onPanel(panel.moderator, {
    type: 'create-evaluation',
    title: 'Next',
    specimen: SPECIMEN,
    protocol: { id: 'emergency-access', version: '1.0.0' },
  });
  const next = made.ok && made.result?.kind === 'evaluation' ? made.result.evaluation : '';
  expect((await app.logs.evaluation(next))?.state.seats.has(seat)).toBe(false);
  // The person themselves may come to the panel.
  expect((await panel.sit('reviewer', 'Ana')).seat).not.toBe(seat);
  accepted(await panel.onPanel(panel.moderator, { type: 'erase-name', seat }));
  const { exportBundle } = await import('../../../server/src/flows/export-bundle.ts');
  const bundle = await exportBundle(app, await panel.live());
  if (!bundle.ok) throw new Error('no bundle');
  expect(new TextDecoder().decode(bundle.value)).not.toContain('Ana');
  expect(verifyBundle(bundle.value, { key }).findings).toEqual([]);
});
