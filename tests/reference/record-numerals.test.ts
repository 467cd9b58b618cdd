import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { exportBundle } from '../../server/src/flows/export-bundle.ts';
import { buildRecord } from '../../server/src/report/build-record.ts';
import { demoWorkspace, type DemoWorkspace } from '../support/demo-workspace.ts';
import { endorsedDay } from '../support/endorsed-bundle.ts';
import { lockedFromPaper } from '../support/from-paper.ts';
import { lockedBundle } from '../support/locked-bundle.ts';
import { addPhoto } from '../support/photo.ts';
import { numeralsOf, plantEverywhere, unexplained } from '../support/recount/numerals.ts';
import { recount } from '../support/recount/record.ts';
import { eventfulDay } from '../support/safety.ts';
import { accepted } from '../support/seated-panel.ts';
import { recordWithTrials } from '../support/trial-record.ts';
import { watchedRecord } from '../support/watched-record.ts';

let demo: DemoWorkspace;
beforeAll(async () => {
  demo = await demoWorkspace();
}, 120_000);

/** Statements with a weight: three count, one has a tie, one rated nothing, one says nothing. */
const endorsed = async (): Promise<Uint8Array> => {
  const rule = { weight: 33.5, content: 1, notContent: 2.5 };
  const day = await endorsedDay(rule, [
    { content: true, step: 2 },
    { content: false, step: 4 },
    { content: true, step: 1 },
    { content: false, step: 2, tied: true },
    { content: true, step: null },
    { content: null, step: 3 },
  ]);
  return (await day.lock()).bytes;
};

/** Withdrawn after its lock, with numbers in the reason. */
const withdrawn = async (): Promise<Uint8Array> => {
  const { app, panel, bytes } = await lockedBundle();
  const { moderator, act } = panel;
  accepted(await act(moderator, { type: 'withdraw', reason: 'The clip of 9 screws was 1 of 12.' }));
  const bundle = await exportBundle(app, await panel.live());
  return bundle.ok ? bundle.value : bytes;
};

const photographed = async (): Promise<Uint8Array> => {
  const locked = await lockedBundle(
    undefined,
    async ({ app }, panel) => {
      const { created } = (await panel.live()).state;
      const specimen = created?.registered?.specimen ?? '';
      const { answer } = await addPhoto(app, panel, specimen, { caption: 'Side 2 of 4' });
      accepted(answer);
    },
    true,
  );
  return locked.bytes;
};

const OTHERS: [name: string, make: () => Promise<Uint8Array>][] = [
  [
    'of two rounds, a tie, a half point, an open task and a gate',
    async () => (await lockedBundle()).bytes,
  ],
  [
    'of a piece of the register, corrected',
    async () => (await lockedBundle(undefined, undefined, true)).bytes,
  ],
  ['with photos of the piece', photographed],
  [
    'opened without a fit check',
    async () => (await lockedBundle(undefined, undefined, false, 'No 3 instructions.')).bytes,
  ],
  [
    'with stops, models and incidents',
    async () => (await lockedBundle(undefined, eventfulDay)).bytes,
  ],
  ['that was withdrawn', withdrawn],
  ['with trials of every kind', async () => (await recordWithTrials()).bytes],
  ['with a clip that one saw alone', async () => (await watchedRecord()).bytes],
  ['with endorsements in its composite', endorsed],
  ['from paper', async () => (await lockedFromPaper()).bytes],
];

const PIECES = ['d3', 'd2', 'd5', 'd1', 'd4', 'd6', 'd2b', 'd7', 'd8', 'd7b'];

describe('RE-3: every number of a record, at its place, from the bundle worked out a second time', () => {
  const expectExplained = (bytes: Uint8Array): void => {
    const record = buildRecord(bytes);
    const said = numeralsOf(record);
    expect(unexplained(said, numeralsOf(recount(bytes, record)))).toEqual([]);
    // Sections, plots and tables are all walked: a record holds hundreds of numbers.
    expect([...said.values()].flat().length).toBeGreaterThan(500);
    expect(new Set([...said.keys()].map((place) => place.split(/[#.]/u)[0])).size).toBe(19);
  };

  test.each(OTHERS)('a record %s', async (_, make) => {
    expectExplained(await make());
  });

  test.each(PIECES)('the invented piece %s', async (piece) => {
    expectExplained(await demo.bundle(piece));
  });
});

describe('a wrong number is noticed wherever it stands', { timeout: 300_000 }, () => {
  let all = 0;
  afterAll(() => {
    process.stdout.write(
      `record: ${String(all)} wrong numbers planted, one at a time, each noticed at its place\n`,
    );
  });
  const whole = process.env['RECOUNT'] === 'whole';
  const some = OTHERS.filter(([name]) => whole || /every kind|composite|paper/u.test(name));
  const pieces = PIECES.filter((piece) => whole || piece === 'd8');
  const cases: [string, () => Promise<Uint8Array>][] = [
    ...some,
    ...pieces.map((piece): [string, () => Promise<Uint8Array>] => [
      piece,
      () => demo.bundle(piece),
    ]),
  ];

  test.each(cases)('in every text, plot and cell of the record %s', async (_, make) => {
    const bytes = await make();
    const record = buildRecord(bytes);
    const counted = numeralsOf(recount(bytes, record));
    const { planted, missed } = plantEverywhere(record, counted);
    expect(missed).toEqual([]);
    expect(planted).toBeGreaterThan(900);
    all += planted;
  });
});
