import { beforeEach, describe, expect, test } from 'vitest';
import type { CommandAnswer, PanelCommand } from '../../../shared-types/src/index.ts';
import type { Identity } from '../../../server/src/flows/app.ts';
import { exportBundle } from '../../../server/src/flows/export-bundle.ts';
import { findInRegister, lookAtSpecimen } from '../../../server/src/flows/look-register.ts';
import { sweepMedia } from '../../../server/src/flows/media.ts';
import { registerOf } from '../../../server/src/flows/register.ts';
import { photoFile } from '../../../server/src/flows/specimen-photos.ts';
import { buildRecord } from '../../../server/src/report/build-record.ts';
import { verifyBundle } from '../../../server/src/verify/verify-bundle.ts';
import { lockedBundle } from '../../support/locked-bundle.ts';
import { exifSegment, jpegByHand, movieByHand, PLACE } from '../../support/media-by-hand.ts';
import { addPhoto, shade, uploadToPanel } from '../../support/photo.ts';
import { accepted, seatedPanel, type SeatedPanel } from '../../support/seated-panel.ts';
import { DETAILS } from '../../support/specimen.ts';
import { testApp, type TestApp } from '../../support/test-app.ts';

const wordsOf = (answer: CommandAnswer): string =>
  answer.ok ? 'ok' : `${answer.rejection.code}: ${answer.rejection.message}`;

let made: TestApp;
let p: SeatedPanel;
let specimen: string;

const sessionOf = async (who: Identity) => {
  const session = await made.app.store.session(who.session);
  if (!session) throw new Error('nobody to look');
  return session;
};
const look = async (who: Identity, of = specimen) => {
  const found = await lookAtSpecimen(made.app, await sessionOf(who), of);
  if (!found.ok) throw new Error(found.rejection.message);
  return found.value;
};
const captions = async (who: Identity, of = specimen): Promise<string[]> =>
  (await look(who, of)).photos.map((x) => x.caption);
const fileFor = async (who: Identity, photo: string, of = specimen) =>
  photoFile(made.app, await sessionOf(who), of, photo);
const remove = (photo: string): PanelCommand => ({
  type: 'remove-specimen-photo',
  specimen,
  photo,
  reason: 'A face is in it.',
});
const filesOf = async (): Promise<string[]> =>
  (await made.app.media.kept()).filter((k) => k.log.startsWith('rg_')).map((k) => k.sha256);

/** Rates before the trials are shown. */
const keepTrialsBack = (): void => {
  made.app.protocols = new Map(
    [...made.app.protocols].map(([key, published]) => [
      key,
      { ...published, protocol: { ...published.protocol, evidenceBeforeRating: false } },
    ]),
  );
};

beforeEach(async () => {
  made = testApp();
  p = await seatedPanel(made.app, 2, { registered: true });
  const [row] = (await findInRegister(made.app, { text: '', retired: 'no' })).rows;
  specimen = row?.specimen ?? '';
});

describe('photos of a specimen', () => {
  test('SP-9: a photo is kept clean of its place, shown with its caption, and stands in the trail with its hash', async () => {
    const { app } = made;
    const file = jpegByHand([exifSegment(6)]);
    expect(file.includes(PLACE)).toBe(true);
    const { photo, answer } = await addPhoto(app, p, specimen, { file });
    accepted(answer);
    const [shown] = (await look(p.moderator)).photos;
    expect(shown).toMatchObject({ photo, caption: 'The left side', type: 'image/jpeg' });
    const found = await fileFor(p.moderator, photo);
    if (!found.ok) throw new Error(found.rejection.message);
    const chunks: Buffer[] = [];
    const kept = found.value.file;
    for await (const piece of kept.stream(0, kept.size - 1)) chunks.push(piece as Buffer);
    expect(Buffer.concat(chunks).includes(PLACE)).toBe(false);
    expect(await filesOf()).toEqual([shown?.sha256]);
    expect(await app.media.find(photo)).toBeUndefined();
    const { state } = await p.live();
    expect([...state.specimenPhotos.values()].map((x) => x.sha256)).toEqual([shown?.sha256]);
  });

  test('SP-9: a caption keeps the old one, a removed photo its hash and reason; the file is gone', async () => {
    const { photo, answer } = await addPhoto(made.app, p, specimen);
    accepted(answer);
    const caption = { type: 'caption-specimen-photo', specimen, photo, caption: 'Left' } as const;
    accepted(await p.onPanel(p.moderator, caption));
    expect(await captions(p.moderator)).toEqual(['Left']);
    accepted(await p.onPanel(p.moderator, remove(photo)));
    const { photos, history } = await look(p.moderator);
    expect(photos).toEqual([]);
    expect(history.slice(-3)).toMatchObject([
      { what: 'photo-added', caption: 'The left side' },
      { what: 'photo-captioned', caption: 'The left side' },
      { what: 'photo-removed', caption: 'Left', reason: 'A face is in it.' },
    ]);
    expect(await filesOf()).toEqual([]);
    expect((await fileFor(p.moderator, photo)).ok).toBe(false);
    expect(wordsOf(await p.onPanel(p.moderator, remove(photo)))).toMatch(/^unknown-thing/u);
    const again = await p.onPanel(p.moderator, { ...caption, caption: 'Right' });
    expect(wordsOf(again)).toMatch(/^unknown-thing/u);
    const { state } = await p.live();
    expect(state.specimenPhotos.get(photo)).toMatchObject({
      caption: 'Left',
      removed: { reason: 'A face is in it.' },
    });
  });

  test('SP-9: who may not register may not show, a clip is no photo, and one file stands once; nothing of it is left', async () => {
    const { app } = made;
    const reviewer = p.reviewers[0]!;
    const barred = await addPhoto(app, p, specimen, { who: reviewer });
    expect(wordsOf(barred.answer)).toMatch(/^role-may-not/u);
    const clip = await addPhoto(app, p, specimen, { file: movieByHand() });
    expect(wordsOf(clip.answer)).toMatch(/shown by photos/u);
    expect(await app.media.find(clip.photo)).toBeUndefined();
    accepted((await addPhoto(app, p, specimen)).answer);
    const twice = await addPhoto(app, p, specimen);
    expect(wordsOf(twice.answer)).toMatch(/with this specimen already/u);
    const nowhere = await addPhoto(app, p, `sp_${'x'.repeat(22)}`, { file: shade(9) });
    expect(wordsOf(nowhere.answer)).toMatch(/no such specimen/u);
    const never: PanelCommand = {
      type: 'add-specimen-photo',
      specimen,
      photo: `md_${'x'.repeat(22)}`,
      caption: 'Nothing',
      withoutFaces: true,
    };
    expect(wordsOf(await p.onPanel(p.moderator, never))).toMatch(/not complete/u);
    expect(await filesOf()).toHaveLength(1);
  });

  test('SP-9: nobody shows what another one uploaded', async () => {
    const recorder = await p.sit('recorder', 'Rita');
    const photo = await uploadToPanel(made.app, p, recorder, shade(3));
    const command: PanelCommand = {
      type: 'add-specimen-photo',
      specimen,
      photo,
      caption: 'Mine',
      withoutFaces: true,
    };
    expect(wordsOf(await p.onPanel(p.moderator, command))).toMatch(/not complete/u);
    accepted(await p.onPanel(recorder, command));
  });

  test('ME-19: what a kill left of a removed photo goes at the next start; a file that another specimen shows stays', async () => {
    const { app } = made;
    const { photo, answer } = await addPhoto(app, p, specimen);
    accepted(answer);
    accepted(await p.onPanel(p.moderator, { type: 'register-specimen', details: DETAILS }));
    const [other] = (await findInRegister(app, { text: '', retired: 'no' })).rows;
    accepted((await addPhoto(app, p, other?.specimen ?? '')).answer);
    accepted(await p.onPanel(p.moderator, remove(photo)));
    expect(await filesOf()).toHaveLength(1);
    const gone = await addPhoto(app, p, specimen, { file: shade(2) });
    accepted(gone.answer);
    accepted(await p.onPanel(p.moderator, remove(gone.photo)));
    await app.media.keep((await registerOf(app)).id, shade(2));
    expect(await filesOf()).toHaveLength(2);
    await sweepMedia(app);
    expect(await filesOf()).toHaveLength(1);
  });
});

describe('photos beside evaluations', () => {
  const opened = async (): Promise<void> => {
    accepted(await p.act(p.moderator, { type: 'start-round' }));
    await p.rate(p.reviewers[0]!, { 'airway-open': 1 });
    accepted(await p.act(p.moderator, { type: 'open-round', withMissing: true }));
  };

  test('SP-10: a photo added since an evaluation began is kept from those from whom it keeps its trials', async () => {
    made = testApp();
    p = await seatedPanel(made.app, 1, { registered: true });
    specimen = (await findInRegister(made.app, { text: '', retired: 'no' })).rows[0]!.specimen;
    const stranger = await seatedPanel(made.app, 1, { fitted: false });
    keepTrialsBack();
    made.clock.advance(1000);
    const { photo, answer } = await addPhoto(made.app, p, specimen, {
      caption: 'Strap cut through',
    });
    accepted(answer);
    const reviewer = p.reviewers[0]!;
    for (const who of [reviewer, stranger.reviewers[0]!]) {
      expect(JSON.stringify(await look(who))).not.toMatch(new RegExp(`Strap cut|${photo}`, 'u'));
      expect((await fileFor(who, photo)).ok).toBe(false);
    }
    expect(await captions(p.moderator)).toEqual(['Strap cut through']);
    await opened();
    for (const who of [reviewer, stranger.reviewers[0]!]) {
      expect(await captions(who)).toEqual(['Strap cut through']);
      expect((await fileFor(who, photo)).ok).toBe(true);
    }
  });

  test('SP-10: what was there before the evaluation is its description, and everybody sees it', async () => {
    const { app } = made;
    const { answer } = await addPhoto(app, p, specimen, { caption: 'As delivered' });
    accepted(answer);
    accepted(await p.act(p.moderator, { type: 'withdraw', reason: 'Begun by mistake.' }));
    made.clock.advance(1000);
    const protocol = { id: 'emergency-access', version: '1.0.0' };
    const create = { type: 'create-evaluation', title: 'Again', registered: specimen, protocol };
    accepted(await p.onPanel(p.moderator, create as PanelCommand));
    keepTrialsBack();
    expect(await captions(p.reviewers[0]!)).toEqual(['As delivered']);
  });

  test('SP-9: a kit carries its own photos and those of its pieces, in the register and in its evaluations', async () => {
    const { app } = made;
    const add = async (details: typeof DETAILS): Promise<string> => {
      const answer = await p.onPanel(p.moderator, { type: 'register-specimen', details });
      return answer.ok && answer.result?.kind === 'specimen' ? answer.result.specimen : '';
    };
    const pads = await add({ ...DETAILS, kind: 'pads', model: 'Tern' });
    const kit = await add({
      ...DETAILS,
      kind: 'combined',
      model: 'Set',
      hardware: [],
      pieces: [specimen, pads],
    });
    accepted((await addPhoto(app, p, kit, { caption: 'Worn together', file: shade(1) })).answer);
    accepted((await addPhoto(app, p, pads, { caption: 'The buckles', file: shade(2) })).answer);
    const shown = await look(p.reviewers[0]!, kit);
    expect(shown.photos.map((x) => x.caption)).toEqual(['Worn together']);
    expect(shown.parts.map((x) => x.photos.map((y) => y.caption))).toEqual([[], ['The buckles']]);
    const protocol = { id: 'emergency-access', version: '1.0.0' };
    const create = { type: 'create-evaluation', title: 'Set', registered: kit, protocol } as const;
    const answer = await p.onPanel(p.moderator, create);
    if (!answer.ok || answer.result?.kind !== 'evaluation') throw new Error(wordsOf(answer));
    const late = await addPhoto(app, p, specimen, { caption: 'The shell', file: shade(3) });
    accepted(late.answer);
    const live = await app.logs.evaluation(answer.result.evaluation);
    expect([...(live?.state.specimenPhotos.values() ?? [])].map((x) => x.caption)).toEqual([
      'Worn together',
      'The buckles',
      'The shell',
    ]);
  });

  test('SP-9 SP-11: the record names the photos, and a removal after the lock stands in the bundle, which holds', async () => {
    let photo = '';
    const locked = await lockedBundle(
      undefined,
      async (test, panel) => {
        const of = (await panel.live()).state.created?.registered?.specimen ?? '';
        const added = await addPhoto(test.app, panel, of, { caption: 'Chin strap, left' });
        accepted(added.answer);
        ({ photo } = added);
      },
      true,
    );
    const textOf = (bytes: Uint8Array): string =>
      JSON.stringify(buildRecord(bytes).sections.find((s) => s.id === 'specimen'));
    expect(verifyBundle(locked.bytes).ok).toBe(true);
    const { state } = await locked.panel.live();
    const { sha256, specimen: of } = state.specimenPhotos.get(photo) ?? {};
    expect(textOf(locked.bytes)).toContain('Chin strap, left');
    expect(textOf(locked.bytes)).toContain(sha256);
    const { panel, app } = locked;
    accepted(
      await panel.onPanel(panel.moderator, { ...remove(photo), specimen: of } as PanelCommand),
    );
    const bundle = await exportBundle(app, await panel.live());
    if (!bundle.ok) throw new Error(bundle.rejection.message);
    expect(verifyBundle(bundle.value).findings).toEqual([]);
    expect(textOf(bundle.value)).toContain('removed: A face is in it.');
  });

  test('SP-5: a piece that a kit got after an evaluation began is no matter of that evaluation, whose bundle holds', async () => {
    const { app } = made;
    const add = async (details: typeof DETAILS): Promise<string> => {
      const answer = await p.onPanel(p.moderator, { type: 'register-specimen', details });
      return answer.ok && answer.result?.kind === 'specimen' ? answer.result.specimen : '';
    };
    const [pads, guard] = [
      await add({ ...DETAILS, kind: 'pads', model: 'Tern' }),
      await add({ ...DETAILS, kind: 'torso', model: 'Wren' }),
    ];
    const set = { ...DETAILS, kind: 'combined' as const, model: 'Set', hardware: [] };
    const kit = await add({ ...set, pieces: [specimen, pads] });
    const protocol = { id: 'emergency-access', version: '1.0.0' };
    const create = { type: 'create-evaluation', title: 'Set', registered: kit, protocol } as const;
    const answer = await p.onPanel(p.moderator, create);
    if (!answer.ok || answer.result?.kind !== 'evaluation') throw new Error(wordsOf(answer));
    const correct = async (of: string, details: typeof DETAILS): Promise<void> =>
      accepted(
        await p.onPanel(p.moderator, {
          type: 'correct-specimen',
          specimen: of,
          details,
          reason: 'Another piece belongs to it.',
        }),
      );
    await correct(kit, { ...set, pieces: [specimen, guard] });
    await correct(guard, { ...DETAILS, kind: 'torso', model: 'Wren 2' });
    await correct(pads, { ...DETAILS, kind: 'pads', model: 'Tern 2' });
    const live = await app.logs.evaluation(answer.result.evaluation);
    expect(live?.state.specimenCorrections.map((c) => c.specimen)).toEqual([kit, pads]);
  });
});
